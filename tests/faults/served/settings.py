"""Purlin as it is served, with one app more: tasks that take a while, and addresses that ask for them."""

from coaching.settings.base import *  # noqa: F403
from coaching.settings.base import INSTALLED_APPS as OURS
from coaching.settings.base import VAR, env

SECRET_KEY = "test-only-" + "not-a-secret" * 4
# First: its clock is in place before another app imports the real one.
INSTALLED_APPS = ["tests.faults.served", *OURS]
ROOT_URLCONF = "tests.faults.served.urls"
STATIC_ROOT = VAR / "static"

# The shipped values unless a test is in a hurry.
JOBS_LEASE_SECONDS = env.float("FAULTS_LEASE_SECONDS", default=20)
JOBS_SWEEP_SECONDS = env.float("FAULTS_SWEEP_SECONDS", default=5)

# How long the tasks pretend to work.
SHORT_SECONDS = 0.05
LONG_SECONDS = env.float("FAULTS_LONG_SECONDS", default=3.3 * JOBS_LEASE_SECONDS)

# The file of a faked clock.
FAKED_CLOCK = env.str("FAULTS_CLOCK", default="")

"""The whole room is tested in seconds: few examples here, many in the long runs (tests/soak)."""

import os

from hypothesis import settings

# Doctests are looked for in every module here, and this one imports pandas and statsmodels.
collect_ignore = ["libraries.py"]

settings.register_profile("quick", max_examples=10, deadline=None, derandomize=True, database=None)
settings.register_profile("thorough", max_examples=200, deadline=None, database=None)
settings.register_profile("guards", max_examples=100, deadline=None, derandomize=True, database=None)
settings.register_profile("long", max_examples=2000, deadline=None, database=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))

"""Settings with the jobs' tables alone, in a real database, for processes that a test starts."""

from coaching.settings.base import VAR, database

SECRET_KEY = "test-only"
INSTALLED_APPS = ["jobs"]
USE_TZ = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
DATABASES = {"default": database(VAR / "jobs.sqlite3")}
BROKER_FOLDER = VAR / "broker"
CELERY_BROKER_URL = "memory://"
JOBS_LEASE_SECONDS = 60
JOBS_SWEEP_SECONDS = 5
JOBS_TIME_LIMIT_SECONDS = 60

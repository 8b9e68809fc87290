"""Settings of the test suite: SQLite in memory, or the PostgreSQL named by PURLIN_DATABASE_URL."""

import tempfile
from pathlib import Path

from coaching.settings.base import *  # noqa: F403
from coaching.settings.base import SQLITE_OPTIONS, database

SECRET_KEY = "test-only-" + "not-a-secret" * 4
VAR = Path(tempfile.mkdtemp(prefix="purlin-test-"))
DATABASES = {"default": database(VAR / "test.sqlite3")}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # The memory database takes no write-ahead log.
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS | {"init_command": "PRAGMA synchronous=OFF"}
MEDIA_ROOT = VAR / "media"
UPLOAD_ROOT = VAR / "uploads"
BROKER_FOLDER = VAR / "broker"
CELERY_BROKER_URL = "memory://"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
# Whitenoise walks this folder for every test client; the collected files of a run from here would be hundreds.
STATIC_ROOT = VAR / "static"
STATIC_ROOT.mkdir()

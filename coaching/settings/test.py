"""Settings of the test suite: SQLite in memory, no broker and a folder, or what PURLIN_* names (tests/shapes)."""

import os
import tempfile
from pathlib import Path

from coaching.settings.base import *  # noqa: F403
from coaching.settings.base import SQLITE_OPTIONS, database, env
from coaching.settings.storage import clip_storage

SECRET_KEY = "test-only-" + "not-a-secret" * 4
VAR = Path(tempfile.mkdtemp(prefix="purlin-test-"))
DATABASES = {"default": database(VAR / "test.sqlite3")}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # A file, as in production: in memory all threads of a served test would share one connection. A killed test run
    # loses it anyway, so nothing waits for the disk.
    DATABASES["default"]["TEST"] = {"NAME": VAR / "test-database.sqlite3"}
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS | {
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF"
    }
MEDIA_ROOT = VAR / "media"
UPLOAD_ROOT = VAR / "uploads"
BROKER_FOLDER = VAR / "broker"
CELERY_BROKER_URL = env("PURLIN_BROKER_URL", default="memory://")
# Processes that share a run share its Redis too: each has a queue of its own.
CELERY_TASK_DEFAULT_QUEUE = f"celery{os.environ.get('PYTEST_XDIST_WORKER', '')}"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
STORAGES = {
    # A place of this run's own: what the tests sweep must never be somebody's clips.
    "default": clip_storage(below=VAR.name),
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
# Whitenoise walks this folder for every test client; the collected files of a run from here would be hundreds.
STATIC_ROOT = VAR / "static"
STATIC_ROOT.mkdir()

"""The demo: loopback only, an invented practice, sign-in by one-time links, mail kept in a mailbox page."""

from coaching.settings.base import *  # noqa: F403
from coaching.settings.base import STORAGES, VAR, database
from coaching.settings.storage import clip_storage

DEMO = True
VAR = VAR / "demo"
DATABASES = {"default": database(VAR / "demo.sqlite3")}
MEDIA_ROOT = VAR / "media"
STORAGES = STORAGES | {"default": clip_storage(below="demo")}
UPLOAD_ROOT = VAR / "uploads"
BROKER_FOLDER = VAR / "broker"
# Not a secret: the demo listens on loopback, holds invented people, and production refuses this value.
SECRET_KEY = "demo-only-" + "not-a-secret" * 4
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]

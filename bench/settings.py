"""Production's settings, but for the collected files, which nobody has collected here."""

from coaching.settings.production import *  # noqa: F403
from coaching.settings.production import STORAGES

STORAGES = STORAGES | {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}

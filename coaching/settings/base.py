"""Settings shared by every shape of Purlin. Everything that differs between machines is read from PURLIN_*."""

from pathlib import Path

import environ
from csp.constants import NONCE, NONE, SELF
from django.utils.translation import gettext_lazy as _

from coaching import logs
from coaching.settings.storage import clip_storage

ROOT = Path(__file__).resolve().parent.parent.parent
env = environ.Env()

# What the process writes: database file, media, broker folder. One folder, so that it can be one volume.
VAR = Path(env("PURLIN_VAR", default=str(ROOT / "var")))

DEBUG = False
DEMO = False
ALLOWED_HOSTS = env.list("PURLIN_HOSTS", default=["localhost", "127.0.0.1", "[::1]"])
CSRF_TRUSTED_ORIGINS = env.list("PURLIN_ORIGINS", default=[])
SITE_URL = env("PURLIN_SITE_URL", default="http://127.0.0.1:8000")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.humanize",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django.forms",
    "rest_framework",
    "django_htmx",
    "template_partials",
    "csp",
    "jobs",
    "clients",
    "programs",
    "submissions",
    "coaching",
]

MIDDLEWARE = [
    "coaching.middleware.request_id",
    "coaching.middleware.access_line",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "coaching.middleware.local_time",
    "coaching.middleware.private_pages",
]

ROOT_URLCONF = "coaching.urls"
WSGI_APPLICATION = "coaching.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "csp.context_processors.nonce",
                "coaching.context.site",
            ],
        },
    },
]

FORM_RENDERER = "coaching.form_renderer.FormRenderer"

AUTH_USER_MODEL = "clients.User"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
# Length and a list of common passwords, no composition rules (NIST SP 800-63B-4, 3.1.1.2).
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]

SQLITE_OPTIONS = {
    "timeout": 20,
    # A deferred transaction that reads and then writes fails at once under a second writer.
    "transaction_mode": "IMMEDIATE",
    # FULL: an acknowledged set or clip survives a power cut, not only a killed process.
    "init_command": (
        "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA mmap_size=134217728;"
        "PRAGMA journal_size_limit=27103364;PRAGMA cache_size=-20000"
    ),
}


def database(default_file: Path) -> dict:
    """PostgreSQL when PURLIN_DATABASE_URL names one, else the SQLite file."""
    config = env.db_url("PURLIN_DATABASE_URL", default=f"sqlite:///{default_file}")
    if config["ENGINE"] == "django.db.backends.sqlite3":
        return config | {"OPTIONS": SQLITE_OPTIONS}
    return config | {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True}


DATABASES = {"default": database(VAR / "purlin.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
FORMAT_MODULE_PATH = ["coaching.formats"]
LOCALE_PATHS = [ROOT / "locale"]
TIME_ZONE = "UTC"
USE_TZ = True

STATIC_URL = "/static/"
STATIC_ROOT = ROOT / "build" / "static"
STATICFILES_DIRS = [ROOT / "static", ("vendor", ROOT / "build" / "vendor")]
MEDIA_ROOT = VAR / "media"
# Resumable uploads are assembled here before they become a clip.
UPLOAD_ROOT = VAR / "uploads"
CLIP_MAX_BYTES = 500 * 1024 * 1024
STORAGES = {
    "default": clip_storage(),
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

EMAIL_CONFIG = env.email_url("PURLIN_EMAIL_URL", default="dummymail://")
vars().update(EMAIL_CONFIG)
DEFAULT_FROM_EMAIL = env("PURLIN_MAIL_FROM", default="Purlin <no-reply@purlin.example>")

# The broker only carries hints that a job row exists; the rows are the truth (docs/decisions/jobs.md).
BROKER_FOLDER = VAR / "broker"
CELERY_BROKER_URL = env("PURLIN_BROKER_URL", default="filesystem://localhost")
JOBS_LEASE_SECONDS = 20
JOBS_SWEEP_SECONDS = 5
JOBS_TIME_LIMIT_SECONDS = 3600

SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
CSRF_COOKIE_HTTPONLY = False  # our scripts read the token for htmx and uploads
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF, NONCE],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "media-src": [SELF, "blob:"],
        "connect-src": [SELF],
        "font-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "UNAUTHENTICATED_USER": "django.contrib.auth.models.AnonymousUser",
}

LOGGING = logs.to_console("lines", level=env("PURLIN_LOG_LEVEL", default="WARNING"))

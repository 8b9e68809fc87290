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
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
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
    "coaching.middleware.without_cookies",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "allauth.account.middleware.AccountMiddleware",
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
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
# Length and what others would try; no composition rules (docs/decisions/accounts.md).
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "clients.domain.passwords.LengthValidator"},
    {"NAME": "clients.domain.passwords.EverybodysPasswordValidator"},
    {"NAME": "clients.domain.passwords.KnownWordsValidator"},
]
PASSWORD_RESET_TIMEOUT = 60 * 60

ACCOUNT_ADAPTER = "clients.accounts.adapter.AccountAdapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_SESSION_REMEMBER = True
# An account begins with a letter that arrived; only a new address still has to be proven.
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_CHANGE_EMAIL = True
ACCOUNT_EMAIL_UNKNOWN_ACCOUNTS = False
ACCOUNT_EMAIL_NOTIFICATIONS = True
ACCOUNT_REAUTHENTICATION_REQUIRED = True
ACCOUNT_PASSWORD_RESET_TOKEN_GENERATOR = "clients.accounts.tokens.ResetTokens"  # noqa: S105 -- a class
# Wrong passwords are counted by clients.domain.limits, per network and device and never per account.
ACCOUNT_RATE_LIMITS = {"login": None, "login_failed": "5/5m/key", "reset_password": "20/m/ip"}
ACCOUNT_FORMS = {
    "login": "clients.accounts.forms.SignInForm",
    "reset_password": "clients.accounts.forms.AskForPasswordForm",
    "reset_password_from_key": "clients.accounts.forms.NewPasswordForm",
    "user_token": "clients.accounts.forms.ResetLinkForm",
    "change_password": "clients.accounts.forms.ChangePasswordForm",
    "set_password": "clients.accounts.forms.FirstPasswordForm",
    "add_email": "clients.accounts.forms.NewAddressForm",
    "reauthenticate": "clients.accounts.forms.ConfirmPasswordForm",
}
MFA_ADAPTER = "clients.accounts.second_factors.SecondFactorAdapter"
MFA_SUPPORTED_TYPES = ["recovery_codes", "totp", "webauthn"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_WEBAUTHN_USER_VERIFICATION = "required"
MFA_RECOVERY_CODES_SHOW_ONCE = True
MFA_TOTP_TOLERANCE = 1
# Every account has a proven address; a change of it under way is no reason to refuse a second factor.
MFA_ALLOW_UNVERIFIED_EMAIL = True
MFA_FORMS = {
    "authenticate": "clients.accounts.forms.SignInCodeForm",
    "reauthenticate": "clients.accounts.forms.ConfirmCodeForm",
    "activate_totp": "clients.accounts.forms.TurnOnAppForm",
    "add_webauthn": "clients.accounts.forms.AddPasskeyForm",
    "login_webauthn": "clients.accounts.forms.SignInByPasskeyForm",
}
# The proxy in front adds the address it saw as the last one; without a proxy anybody could write this header.
ALLAUTH_TRUSTED_PROXY_COUNT = int(env.bool("PURLIN_BEHIND_PROXY", default=False))

# Holds counts of tries and used codes, which all web processes have to share. A migration makes the table.
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "purlin_cache",
        "OPTIONS": {"MAX_ENTRIES": 100_000},
    }
}

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
# Sent in one piece by a form.
DEMONSTRATION_MAX_BYTES = 100 * 1024 * 1024
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
CSRF_FAILURE_VIEW = "clients.views.accounts.form_not_from_here"
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

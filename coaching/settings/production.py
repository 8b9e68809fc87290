"""Production, on one machine or many. Everything comes from PURLIN_*; README.md holds the table."""

from coaching import logs
from coaching.settings.base import *  # noqa: F403
from coaching.settings.base import env

SECRET_KEY = env("PURLIN_SECRET_KEY")
SECURE_SSL_REDIRECT = env.bool("PURLIN_HTTPS", default=True)
SESSION_COOKIE_SECURE = SECURE_SSL_REDIRECT
CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT
SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365 if SECURE_SSL_REDIRECT else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_SSL_REDIRECT
SECURE_HSTS_PRELOAD = SECURE_SSL_REDIRECT
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if env.bool("PURLIN_BEHIND_PROXY", default=False) else None
)
SECURE_REDIRECT_EXEMPT = [r"^livez$", r"^readyz$"]

LOGGING = logs.to_console("json", level=env("PURLIN_LOG_LEVEL", default="INFO"))

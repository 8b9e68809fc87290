"""Production, on one machine or many. Everything comes from PURLIN_*; docs/deployment.md holds the table."""

import os

from coaching import configuration, logs

# Before the values are used: whoever starts anything reads all that is wrong, in sentences.
configuration.insist(os.environ)

from coaching.settings.base import *  # noqa: E402, F403
from coaching.settings.base import env  # noqa: E402

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

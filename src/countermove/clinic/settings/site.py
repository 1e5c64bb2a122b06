"""A server with a certificate, reached from outside."""

import os

from countermove.clinic.settings.base import *  # noqa: F403

ALLOWED_HOSTS = os.environ.get("COUNTERMOVE_HOSTS", "").split()
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS]
SECURE_SSL_REDIRECT = True
SECURE_HSTS_SECONDS = 365 * 24 * 3600
SECURE_HSTS_INCLUDE_SUBDOMAINS = True
SECURE_HSTS_PRELOAD = True
SESSION_COOKIE_SECURE = True
CSRF_COOKIE_SECURE = True

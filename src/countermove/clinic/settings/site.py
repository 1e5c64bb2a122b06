"""
A server reached from outside, through a proxy that holds the certificate.

The clinic itself listens on loopback alone, so that nobody passes the proxy by; the proxy says by
`X-Forwarded-Proto` that a request came encrypted, and appends the caller to `X-Forwarded-For`.
"""

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
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
ALLAUTH_TRUSTED_PROXY_COUNT = 1

"""
What holds in every profile.

The practice's data folder (`COUNTERMOVE_DATA`) holds the database, uploads and the secret key.
PostgreSQL is one setting: `COUNTERMOVE_DATABASE`, a connection string or a libpq service.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF

from countermove.clinic.settings.database import postgresql
from countermove.clinic.settings.secret import secret_key_in

DATA = Path(os.environ.get("COUNTERMOVE_DATA", "practice-data")).resolve()
SECRET_KEY = secret_key_in(DATA)
DEBUG = False

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "csp",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "simple_history",
    "template_partials",
    "countermove.clinic.accounts",
    "countermove.clinic.practice",
    "countermove.clinic.people",
    "countermove.clinic.visits",
    "countermove.clinic.work",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
]

ROOT_URLCONF = "countermove.clinic.urls"
TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [Path(__file__).parent.parent / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

# Rollback journal and FULL: an acknowledged entry survives the power going. IMMEDIATE: a writer
# waits for its turn instead of failing half-way. (WAL is left alone: it had a corruption bug in
# SQLite before 3.51.3.)
SQLITE: dict[str, Any] = {
    "ENGINE": "django.db.backends.sqlite3",
    "NAME": DATA / "practice.sqlite3",
    "OPTIONS": {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=DELETE; PRAGMA synchronous=FULL;"
        " PRAGMA foreign_keys=ON;",
    },
}
TOLD = os.environ.get("COUNTERMOVE_DATABASE")
DATABASES = {"default": postgresql(TOLD) if TOLD else SQLITE}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
ATOMIC_REQUESTS = False

# The database cache is shared by all processes, so that the limits on logins hold for all.
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "clinic_cache",
    }
}

# A queue and no more: `Job` holds state, progress and what became of slow work.
TASKS: dict[str, Any] = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

AUTH_USER_MODEL = "accounts.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ["username", "name"]},
    },
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "people"
LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*", "password2*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_ADAPTER = "countermove.clinic.accounts.adapter.ClosedDoor"
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_SESSION_REMEMBER = True
# Half an hour: one asking covers the sheets of a training session (our default).
ACCOUNT_REAUTHENTICATION_TIMEOUT = 1800
# Five wrong passwords shut an account for five minutes; the others bound what a machine may try.
ACCOUNT_RATE_LIMITS = {
    "login": "30/m/ip",
    "login_failed": "10/m/ip,5/5m/key",
    "reauthenticate": "10/m/user",
    "change_password": "5/m/user",
    "token": "20/m/ip",
}
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]
MFA_TOTP_ISSUER = "countermove"

# A message may name an athlete; in the session it leaves the machine as part of the page alone.
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"

SESSION_COOKIE_AGE = 12 * 3600  # a working day
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "base-uri": [NONE],
        "connect-src": [SELF],
        "font-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "img-src": [SELF, "data:"],
        "script-src": [SELF],
        "style-src": [SELF],
    }
}

STATIC_URL = "static/"
STATICFILES_DIRS = [Path(__file__).parent.parent / "static"]
STATIC_ROOT: Path | None = DATA / "static"
MEDIA_ROOT = DATA / "uploads"
FILE_UPLOAD_PERMISSIONS = 0o600
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 2**20

LANGUAGE_CODE = "en"
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("COUNTERMOVE_TIME_ZONE", "UTC")

# Nothing of a request but its method, path and status goes to the log, and no path carries health
# data: athletes are named by random keys.
LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"stderr": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}

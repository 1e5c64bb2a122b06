"""
The invented club: no password, so only on loopback and only in a folder made for a demo.

`countermove demo` marks its folder; with any other these settings refuse to load.
"""

from django.core.exceptions import ImproperlyConfigured

from countermove.clinic.settings.desk import *  # noqa: F403
from countermove.clinic.settings.desk import DATA, MIDDLEWARE, SQLITE

MARK = "demo"  # a file of this name in the data folder

if not (DATA / MARK).exists():
    raise ImproperlyConfigured(
        f"{DATA} was not made for a demo, which needs no password; use `countermove demo`"
    )

_after = MIDDLEWARE.index("django.contrib.auth.middleware.AuthenticationMiddleware") + 1
MIDDLEWARE = [
    *MIDDLEWARE[:_after],
    "countermove.clinic.accounts.demo.no_password",
    *MIDDLEWARE[_after:],
]

ROOT_URLCONF = "countermove.clinic.work.tour_urls"

# The club's recordings are made when somebody opens one.
STORAGES = {
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    "default": {"BACKEND": "countermove.clinic.work.club.MadeWhenOpened"},
}

# Nothing of a demo is kept, so nothing waits for the disk.
DATABASES = {
    "default": SQLITE
    | {
        "OPTIONS": SQLITE["OPTIONS"]
        | {
            "init_command": "PRAGMA journal_mode=MEMORY; PRAGMA synchronous=OFF;"
            " PRAGMA foreign_keys=ON;"
        }
    }
}

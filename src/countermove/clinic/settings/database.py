"""PostgreSQL for a server: one setting, named as libpq names it."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ImproperlyConfigured

# What Django names itself; the rest of a connection string goes to the driver as it is.
OURS = {"dbname": "NAME", "user": "USER", "password": "PASSWORD", "host": "HOST", "port": "PORT"}


def postgresql(told: str) -> dict[str, Any]:
    """
    Give Django's settings for a PostgreSQL database.

    Parameters
    ----------
    told : str
        A connection string (``host=db dbname=clinic user=clinic``), an address
        (``postgresql://clinic@db/clinic``), or the name of a libpq service.

    Raises
    ------
    ImproperlyConfigured
        If the driver is not installed or the string cannot be read.

    References
    ----------
    .. [1] PostgreSQL 15 documentation, 34.1.1 "Connection Strings" and 34.17 "The Connection
       Service File".
    """
    parts = _parts(told)
    settings: dict[str, Any] = {
        "ENGINE": "django.db.backends.postgresql",
        "CONN_MAX_AGE": 60,
        "CONN_HEALTH_CHECKS": True,
    }
    settings |= {OURS[name]: value for name, value in parts.items() if name in OURS}
    return settings | {"OPTIONS": {k: v for k, v in parts.items() if k not in OURS}}


def _parts(told: str) -> dict[str, Any]:
    try:
        from psycopg import ProgrammingError, conninfo  # noqa: PLC0415 - only a server has it
    except ImportError as error:
        raise ImproperlyConfigured(
            "COUNTERMOVE_DATABASE names a PostgreSQL database, and its driver is not installed;"
            " install countermove[site]"
        ) from error
    if "=" not in told and "://" not in told:
        return {"service": told}
    try:
        return {name: value for name, value in conninfo.conninfo_to_dict(told).items() if value}
    except ProgrammingError:
        # The string may hold a password: it is not repeated.
        raise ImproperlyConfigured(
            "COUNTERMOVE_DATABASE cannot be read; write it like"
            " 'host=db dbname=clinic user=clinic', or name a libpq service"
        ) from None

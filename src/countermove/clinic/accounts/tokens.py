"""One-time tokens: shown once in the terminal, kept as a hash, gone after use or an hour."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta

from django.db.models import QuerySet
from django.utils import timezone

from countermove.clinic.accounts.models import Token, User

LASTS = timedelta(hours=1)
# Letters and digits that nobody mistakes for one another when reading off a terminal.
ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"


def issue(user: User | None = None) -> str:
    """Give a new token for an account, or for the owner's first one if `user` is None."""
    word = "-".join("".join(secrets.choice(ALPHABET) for _ in range(5)) for _ in range(4))
    Token.objects.create(digest=_digest(word), user=user, expires_at=timezone.now() + LASTS)
    return word


def peek(word: str) -> Token | None:
    """Give a token that would open now, without using it; None if it is unknown, used or old."""
    return _fresh(word).select_related("user").first()


def redeem(word: str) -> Token | None:
    """Use a token up; None if it is unknown, used or too old."""
    if _fresh(word).update(used_at=timezone.now()) != 1:
        return None
    return Token.objects.select_related("user").get(digest=_digest(word))


def _fresh(word: str) -> QuerySet[Token]:
    digest = _digest(word)
    return Token.objects.filter(digest=digest, used_at=None, expires_at__gt=timezone.now())


def _digest(word: str) -> str:
    return hashlib.sha256(word.strip().lower().encode()).hexdigest()

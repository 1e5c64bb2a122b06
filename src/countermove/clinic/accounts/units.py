"""Lengths and masses as somebody reads them: sentences are turned at the edge, never on record."""

from __future__ import annotations

from typing import Any, TypeVar

import msgspec

from countermove.clinic.accounts.models import Units, User
from countermove.units import imperial_words

T = TypeVar("T")


def worded(told: T, user: User) -> T:
    """
    Give a result, or a sentence, with its words in the user's units.

    Only words change: numbers that stand as numbers stay SI, and what is kept stays as it was
    written.
    """
    if user.units != Units.IMPERIAL:
        return told
    return msgspec.convert(_turned(msgspec.to_builtins(told)), type(told))


def _turned(node: Any) -> Any:
    if isinstance(node, str):
        return imperial_words(node)
    if isinstance(node, dict):
        return {key: _turned(value) for key, value in node.items()}
    if isinstance(node, list | tuple):
        return [_turned(value) for value in node]
    return node

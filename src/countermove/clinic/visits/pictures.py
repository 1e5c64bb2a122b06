"""The picture of a test; a card without one leaves its place empty."""

from __future__ import annotations

from importlib import import_module

from countermove.catalogue import Catalogue
from countermove.errors import BadInput

ROOM = "countermove.figure"
_drawn: dict[tuple[str, str], str] = {}  # by test and catalogue version: drawn once a process


def can_draw() -> bool:
    """Tell whether the drawing room is installed."""
    try:
        import_module(ROOM)
    except ModuleNotFoundError:
        return False
    return True


def picture_of(test: str, catalogue: Catalogue) -> str:
    """Draw a test as SVG; empty where nobody can draw it."""
    place = test, catalogue.version
    if place not in _drawn:
        try:
            _drawn[place] = str(import_module(ROOM).draw_test(test, catalogue))
        except (ModuleNotFoundError, BadInput):
            return ""
    return _drawn[place]

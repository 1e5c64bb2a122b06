"""The picture of a test; a card without one leaves its place empty."""

from __future__ import annotations

from importlib import import_module, util

from django.utils.safestring import SafeString

from countermove.catalogue import Catalogue


def picture_of(test: str, catalogue: Catalogue) -> SafeString:
    """Draw a test; empty where the drawing room is not installed."""
    if util.find_spec("countermove.figure") is None:
        return SafeString("")
    # Our own drawing, from the catalogue alone: nothing a user wrote is in it.
    drawn = import_module("countermove.figure").draw_test(test, catalogue)
    return SafeString(drawn)

"""The picture of a test; a practice's own test may have none, and its place stays empty."""

from __future__ import annotations

from countermove.catalogue import Catalogue
from countermove.figure import draw_test, load_poses

# By test, width and catalogue version: drawn once a process.
_drawn: dict[tuple[str, bool, str], str] = {}


def has_picture(test: str) -> bool:
    """Tell whether a pose is kept for a test."""
    return test in load_poses("tests")


def picture_of(test: str, catalogue: Catalogue, *, narrow: bool = False) -> str:
    """Draw a test as SVG, for a phone its last moment alone; empty where it has no pose."""
    if test not in catalogue.tests or not has_picture(test):
        return ""
    place = test, narrow, catalogue.version
    if place not in _drawn:
        _drawn[place] = draw_test(test, catalogue, frame=-1 if narrow else None)
    return _drawn[place]

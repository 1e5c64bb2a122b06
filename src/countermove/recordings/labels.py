"""
What a column's heading says: time or force, which foot, which plate, which unit.

Headings come in any tongue and any spelling; the words that are known stand in `heading_words`.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from countermove.record import Side
from countermove.recordings.heading_words import (
    COUNTERS,
    FORCE,
    FORCE_UNITS,
    LEFT,
    OTHER,
    RIGHT,
    SHEAR,
    TIME,
    TIME_UNITS,
    TOTAL,
    UNIT_OF,
    VERTICAL,
)

BRACKETED = re.compile(r"[(\[<{]\s*([^()\[\]<>{}]*?)\s*[)\]>}]")
TRAILING = re.compile(r"(?:[\s_.,;:/-]|\bin)\s*([^\s_.,;:/()\[\]-]+)\s*$", re.IGNORECASE)
CAMEL = re.compile(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[LR])(?=F[XYZxyz])")
WORD = re.compile(r"[a-z]+|\d+")
AXIS_FORCE = re.compile(r"([lr]?)f([xyz])([lr]?)|f(\d+)([xyz])")


@dataclass(frozen=True)
class Label:
    """
    What one heading says; empty or None where it does not.

    Attributes
    ----------
    text : str
        The heading as it stands in the file.
    kind : str
        ``time``, ``counter``, ``force``, ``shear``, ``other``, or empty.
    vertical : bool
        The heading names the vertical axis.
    side : Side or None
        Which foot.
    plate : str
        Number of the plate.
    total : bool
        All plates together.
    unit : str
        ``s``, ``ms``, ``us``, ``N``, ``kN``, ``kgf``, ``lbf``, ``relative``, ``raw``, ``other``.
    """

    text: str
    kind: str = ""
    vertical: bool = False
    side: Side | None = None
    plate: str = ""
    total: bool = False
    unit: str = ""


@lru_cache(maxsize=512)
def read_label(text: str, unit_cell: str = "") -> Label:
    """
    Read one heading.

    Parameters
    ----------
    text : str
        The heading.
    unit_cell : str
        What the row of units below it says.
    """
    name, unit = _parted(text)
    unit = unit_named(unit_cell) or unit
    words = _words(name)
    axis, side = _axis_force(words)
    side = side or _side(set(words))
    return Label(
        text=text,
        kind=_kind(words, unit, axis),
        vertical=axis == "z" or _upright(words),
        side=side,
        plate=next((word for word in words if word.isdigit()), ""),
        total=bool(TOTAL & set(words)),
        unit=unit,
    )


def unit_named(text: str) -> str:
    """Give the unit that a cell such as ``[N]`` or ``(ms)`` names; empty where it names none."""
    return UNIT_OF.get(text.strip(" ()[]<>{}").lower().replace(" ", ""), "")


def _parted(text: str) -> tuple[str, str]:
    """Part a heading from the unit in it."""
    for match in BRACKETED.finditer(text):
        if unit := unit_named(match[1]):
            return text[: match.start()] + " " + text[match.end() :], unit
    if unit := unit_named(text):
        return ("" if len(text.strip()) <= 2 else text), unit
    last = TRAILING.search(text)
    if last and (unit := unit_named(last[1])):
        return text[: last.start()], unit
    return text, ""


def _words(name: str) -> list[str]:
    plain = unicodedata.normalize("NFKD", CAMEL.sub(" ", name))
    letters = "".join(c for c in plain if not unicodedata.combining(c)).lower()
    pieces = WORD.findall(letters)
    joined = [
        "".join(trio)
        for trio in zip(pieces, pieces[1:], pieces[2:], strict=False)
        if trio[0] == "f" and trio[1].isdigit() and trio[2] in ("x", "y", "z")
    ]
    return joined + pieces


def _axis_force(words: list[str]) -> tuple[str, Side | None]:
    """Give the axis of headings such as Fz, FzL, RFz, F1z, and the foot in them."""
    for word in words:
        match = AXIS_FORCE.fullmatch(word)
        if match:
            foot = match[1] or match[3]
            side = {"l": Side.LEFT, "r": Side.RIGHT}.get(foot or "")
            return (match[2] or match[5]), side
    lone = {"x", "y", "z"} & set(words)
    if len(lone) == 1 and _is_force(words):
        return lone.pop(), None
    return "", None


def _side(words: set[str]) -> Side | None:
    left = bool(words & LEFT) or any(w.startswith("kraft") and w.endswith("links") for w in words)
    right = bool(words & RIGHT) or any(
        w.startswith("kraft") and w.endswith("rechts") for w in words
    )
    if left == right:
        return None
    return Side.LEFT if left else Side.RIGHT


def _is_force(words: list[str]) -> bool:
    return bool(FORCE & set(words)) or any("kraft" in word for word in words)


def _upright(words: list[str]) -> bool:
    return bool(VERTICAL & set(words)) or any(word.startswith("vertik") for word in words)


def _kind(words: list[str], unit: str, axis: str) -> str:
    met = set(words)
    if unit == "other" or met & OTHER:
        return "other"
    if axis in ("x", "y") or met & SHEAR:
        return "shear"
    if axis == "z" or _upright(words) or _is_force(words):
        return "force"
    if met & TIME or unit in TIME_UNITS:
        return "time"
    if unit in FORCE_UNITS or unit in ("relative", "raw"):
        return "force"
    return "counter" if met & COUNTERS else ""

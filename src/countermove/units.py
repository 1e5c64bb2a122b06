"""
Units at the edge: what people write, in SI and back.

Inside, everything is SI (metre, kilogram, second, newton, radian). A value keeps the unit it was
entered in until science asks for it, so that 8.6 cm stays 8.6 cm on the record. Counts and
fractions are pure numbers. A lunge distance and a lunge angle measure different things: there is
no conversion between kinds, only within one.
"""

from __future__ import annotations

import re
from math import pi
from typing import NamedTuple

from countermove.errors import UnknownUnit


class Unit(NamedTuple):
    """What a unit measures and how many SI units it is."""

    kind: str
    si: float


# Exact by definition: the inch and the pound (international yard and pound agreement, 1959),
# standard gravity in the kilogram-force (BIPM SI brochure, 9th ed.).
UNITS: dict[str, Unit] = {
    "m": Unit("length", 1.0),
    "cm": Unit("length", 0.01),
    "mm": Unit("length", 0.001),
    "in": Unit("length", 0.0254),
    "ft": Unit("length", 0.3048),
    "kg": Unit("mass", 1.0),
    "lb": Unit("mass", 0.45359237),
    "s": Unit("time", 1.0),
    "ms": Unit("time", 0.001),
    "min": Unit("time", 60.0),
    "h": Unit("time", 3600.0),
    "day": Unit("time", 86400.0),
    "week": Unit("time", 604800.0),
    "month": Unit("time", 2629746.0),  # 1/12 of the mean Gregorian year
    "year": Unit("time", 31556952.0),
    "rad": Unit("angle", 1.0),
    "deg": Unit("angle", pi / 180.0),
    "N": Unit("force", 1.0),
    "kN": Unit("force", 1000.0),
    "kgf": Unit("force", 9.80665),
    "lbf": Unit("force", 4.4482216152605),
    "N.m": Unit("moment", 1.0),
    "N.m/kg": Unit("moment per mass", 1.0),
    "N/kg": Unit("force per mass", 1.0),
    "W": Unit("power", 1.0),
    "W/kg": Unit("power per mass", 1.0),
    "J": Unit("energy", 1.0),
    "N.s": Unit("impulse", 1.0),
    "m/s": Unit("speed", 1.0),
    "m/s2": Unit("acceleration", 1.0),
    "Hz": Unit("rate", 1.0),
    "kg.m2": Unit("inertia", 1.0),
    "1": Unit("ratio", 1.0),
    "%": Unit("ratio", 0.01),
    "x BW": Unit("ratio to body weight", 1.0),
    "% BW": Unit("ratio to body weight", 0.01),
    "reps": Unit("count", 1.0),
    "sets": Unit("count", 1.0),
    "contacts": Unit("count", 1.0),
    "trials": Unit("count", 1.0),
    "points": Unit("score", 1.0),
}


def unit_of(name: str) -> Unit:
    """
    Look a unit up.

    Raises
    ------
    UnknownUnit
        If the table does not hold it.
    """
    try:
        return UNITS[name]
    except KeyError:
        raise UnknownUnit(f"unit {name!r} is not known; use one of {', '.join(UNITS)}") from None


def to_si(value: float, unit: str) -> float:
    """
    Give a value in SI units.

    Parameters
    ----------
    value : float
        In `unit`.
    unit : str
        A name in `UNITS`.

    Raises
    ------
    UnknownUnit
        If the unit is not known.
    """
    return value * unit_of(unit).si


def from_si(value: float, unit: str) -> float:
    """Give an SI value in `unit`; the inverse of `to_si`."""
    return value / unit_of(unit).si


def check_kind(unit: str, like: str) -> None:
    """
    Refuse a unit that measures something else than `like` does.

    Raises
    ------
    UnknownUnit
        If either is unknown, or their kinds differ.
    """
    met, needed = unit_of(unit).kind, unit_of(like).kind
    if met != needed:
        fitting = ", ".join(name for name, entry in UNITS.items() if entry.kind == needed)
        raise UnknownUnit(f"{unit!r} is a unit of {met}, {needed} is needed; use {fitting}")


# What a reader of inches and pounds is told in place of what was written, and its decimals.
IMPERIAL = {"cm": "in", "m": "ft", "kg": "lb"}
_NUMBER = r"\d+(?:\.\d+)?"
_AMOUNTS = re.compile(
    rf"(?P<numbers>(?:{_NUMBER}(?:, | and | or | to |-|\u2013))*{_NUMBER})"
    r" (?P<unit>cm|m|kg)\b(?![/\u00b2])"
)
_NAMED = re.compile(r"(\u201c[^\u201d]*\u201d)")  # the name of a test keeps its own words


def imperial_words(text: str) -> str:
    """
    Write a sentence's lengths and masses in inches, feet and pounds.

    Numbers in a list or a range that share one unit are converted together; what stands in
    quotation marks is a name and stays. Areas, speeds and forces stay SI.

    Parameters
    ----------
    text : str
        Such as ``"short by 2.8 cm of the 10 cm asked"``.
    """
    pieces = _NAMED.split(text)
    return "".join(
        piece if i % 2 else _AMOUNTS.sub(_imperial_amounts, piece) for i, piece in enumerate(pieces)
    )


def _imperial_amounts(met: re.Match[str]) -> str:
    unit = IMPERIAL[met["unit"]]

    def turned(number: re.Match[str]) -> str:
        return f"{from_si(to_si(float(number[0]), met['unit']), unit):.1f}".removesuffix(".0")

    return f"{re.sub(_NUMBER, turned, met['numbers'])} {unit}"

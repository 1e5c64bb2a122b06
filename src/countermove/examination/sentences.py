"""Numbers, sides and sources as they stand in a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from countermove.catalogue import Catalogue
from countermove.record import Side
from countermove.units import from_si

ON_SIDE = {Side.LEFT: "on the left", Side.RIGHT: "on the right", Side.BOTH: ""}
PURE = ("1", "")  # units that are not written out
FINE = ("m/s", "x BW", "N.m/kg")  # units of small numbers: one decimal would hide a change


def amount(value: float, unit: str) -> str:
    """
    Write an SI value in a unit, with at most one decimal; two where the numbers are small.

    Examples
    --------
    >>> amount(0.072, "cm"), amount(0.1, "cm"), amount(22.0, "reps")
    ('7.2 cm', '10 cm', '22 reps')
    """
    if unit in FINE:
        return f"{from_si(value, unit):.2f} {unit}".replace("-0.00", "0.00")
    number = f"{from_si(value, unit):.1f}".removesuffix(".0")
    number = "0" if number == "-0" else number
    return number if unit in PURE else f"{number} {unit}"


def centimetres(length_m: float) -> str:
    """Write a height with the one decimal that a tape and a plate can tell: 28.0 cm."""
    return f"{100 * length_m:.1f} cm".replace("-0.0", "0.0")


def counted(number: float, word: str) -> str:
    """Write a count with its word: 1 day, 3 days."""
    return f"{number:g} {word}" if number == 1 else f"{number:g} {word}s"


def listed(words: Iterable[str]) -> str:
    """Join words as a sentence does: a, b and c."""
    *first, last = [*words] or [""]
    return f"{', '.join(first)} and {last}" if first else last


def opening(text: str) -> str:
    """Begin a sentence with a capital letter; the rest stays as it is."""
    return text[:1].upper() + text[1:]


def source_name(key: str, catalogue: Catalogue) -> str:
    """
    Name a source shortly: first author and year, or the words for what is no publication.

    A citation without an author goes by the number that finds it.
    """
    if key in ("common-practice", "our-default"):
        return key.replace("-", " ")
    citation = catalogue.sources[key].citation
    archive = re.search(r"PMC\d+", citation)
    year = re.search(r"\((?:19|20)\d\d\)", citation)
    author = re.split(r",|;| and |\(", citation, maxsplit=1)[0].strip()
    surname = re.sub(r"^(?:[A-Z]\.[ -]?)+", "", author)
    if surname == author and archive:
        return archive.group()
    return f"{surname} {year.group()[1:-1]}" if year else surname


def sources_named(keys: Sequence[str], catalogue: Catalogue) -> str:
    """Name several sources, each once."""
    return listed(source_name(key, catalogue) for key in dict.fromkeys(keys))

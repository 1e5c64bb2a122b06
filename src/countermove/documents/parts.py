"""The pieces a sheet is built from: whom it is from, lines, parts, how it opens."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One paragraph; `strong` opens it in bold."""

    strong: str = ""
    text: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A heading and its lines; `bar` sets the upright bar of a stop beside them."""

    heading: str
    lines: tuple[Line, ...]
    numbered: bool = False
    bar: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """How a sheet begins: its one sentence, what goes with it, and the first parts."""

    aim: str
    aside: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Practice:
    """Whom the sheet is from, whom to call, and the number for an emergency."""

    name: str = ""
    phone: str = ""
    emergency: str = "112"

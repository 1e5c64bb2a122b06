"""Words and lines for a terminal: plain text, 88 columns, read at arm's length."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from datetime import date

WIDTH = 88
RULE = "─" * WIDTH


def paragraph(text: str, *, indent: int = 0, first: str = "") -> str:
    """Fold a text to the page, its first line opened by `first`."""
    space = " " * indent
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=space + first,
        subsequent_indent=space + " " * len(first),
        break_on_hyphens=False,
    )


def page(parts: Iterable[str]) -> str:
    """Join the parts of a page with air between them; empty parts fall away."""
    return "\n\n".join(part for part in parts if part) + "\n"


def part(heading: str, lines: Iterable[str]) -> str:
    """Give a part of a page under its heading; nothing if it has no lines."""
    kept = [line for line in lines if line]
    return "\n".join([heading, *kept]) if kept else ""


def spoken_date(day: date) -> str:
    """Write a date as people say it."""
    return f"{day.day} {day:%B %Y}"


def band(value: float, error: float, target: float | None, low: float, high: float) -> str:
    """
    Draw a measured value with its error against what is asked, on a line from low to high.

    Parameters
    ----------
    value, error, target, low, high : float
        All in one unit; `error` is the half-width.
    """
    columns = 25
    span = (high - low) or 1.0

    def at(x: float) -> int:
        return min(columns - 1, max(0, round((x - low) / span * (columns - 1))))

    line = ["·"] * columns
    if error > 0:
        first, last = at(value - error), at(value + error)
        line[first : last + 1] = "─" * (last + 1 - first)
        line[first], line[last] = "├", "┤"
    if target is not None:
        line[at(target)] = "┃"
    line[at(value)] = "●"
    return "".join(line)

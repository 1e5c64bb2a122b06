"""Small shapes that arguments come in."""

from __future__ import annotations

from math import isfinite

import typer


def words(text: str) -> tuple[str, ...]:
    """Split ``A,B`` into its parts."""
    return tuple(part.strip() for part in text.split(",") if part.strip())


def pair(text: str, *, flag: str) -> tuple[float, float] | None:
    """Read ``FROM,TO`` as two numbers, the first the smaller; None for an empty text."""
    if not text:
        return None
    try:
        first, last = (float(part) for part in text.split(","))
    except ValueError:
        raise typer.BadParameter(
            f"{text!r} was met, two numbers FROM,TO are needed", param_hint=flag
        ) from None
    if not (isfinite(first) and isfinite(last)):
        raise typer.BadParameter(f"{text!r} was met, plain numbers are needed", param_hint=flag)
    if not first < last:
        raise typer.BadParameter(f"{text!r} was met, FROM must be less than TO", param_hint=flag)
    return first, last

"""What a card offers for timing and counting, read from the test: watch, beat, counter."""

from __future__ import annotations

import re
from dataclasses import dataclass

from countermove.catalogue import Test

BEATS = re.compile(r"(\d+) beats a minute")
ENDS = re.compile(r"(\d+) seconds at the latest")


@dataclass(frozen=True, kw_only=True)
class Clock:
    """
    What helps to time or count a test.

    Attributes
    ----------
    counts : {"", "seconds", "reps"}
        What one press notes into the field of a trial.
    ends_s : int, optional
        Where the watch stops by itself. [s]
    beats : int, optional
        Beats a minute of the metronome.
    """

    counts: str = ""
    ends_s: int | None = None
    beats: int | None = None


def clock_of(test: Test) -> Clock:
    """Give what helps to time or count a test; the tempo and the end are the test's own words."""
    counts = {"s": "seconds", "reps": "reps"}.get(test.unit, "")
    return Clock(
        counts=counts,
        ends_s=_number(ENDS, test.position) if counts == "seconds" else None,
        beats=_number(BEATS, test.position),
    )


def _number(pattern: re.Pattern[str], text: str) -> int | None:
    met = pattern.search(text)
    return int(met.group(1)) if met else None

"""
The two axes of a row: days to the right, values up.

Visits that would lie on top of each other are moved apart, and time between two posts runs evenly;
the weekly hatches below the floor follow, so that the axis shows where it was stretched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

LEAST_GAP_PX = 30.0  # two posts with their marks side by side
WEEK = timedelta(days=7)
MOST_HATCHES = 80


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """Days and where they stand. [px]"""

    days: tuple[date, ...]
    xs: tuple[float, ...]

    def x(self, day: date) -> float:
        """Give the place of a day between the first and the last visit."""
        for (d0, x0), (d1, x1) in pairwise(self._posts()):
            if d0 <= day <= d1:
                return x0 + (x1 - x0) * ((day - d0) / (d1 - d0))
        return self.xs[0] if day <= self.days[0] else self.xs[-1]

    def _posts(self) -> list[tuple[date, float]]:
        return list(zip(self.days, self.xs, strict=True))

    def gap_after(self, place: int) -> float:
        """Give the room to the next post; endless after the last. [px]"""
        if place + 1 >= len(self.xs):
            return float("inf")
        return self.xs[place + 1] - self.xs[place]

    def hatches(self) -> list[float]:
        """Give one place a week, or fewer where they would run together."""
        if not self.days:
            return []
        weeks = (self.days[-1] - self.days[0]).days // 7
        step = WEEK * (1 + weeks // MOST_HATCHES)
        count = (self.days[-1] - self.days[0]) // step
        return [self.x(self.days[0] + step * i) for i in range(count + 1)]


def time_axis(days: Sequence[date], start: float, end: float) -> TimeAxis:
    """
    Lay days out between two places.

    Parameters
    ----------
    days : sequence of date
        Of the visits, oldest first, each once.
    start, end : float
        Places of the first and the last. [px] A single visit stands in the middle.

    Returns
    -------
    TimeAxis
        Neighbours at least `LEAST_GAP_PX` apart, or evenly spread where that many do not fit.
    """
    if len(days) < 2:
        return TimeAxis(tuple(days), tuple((start + end) / 2 for _ in days))
    shares = [(b - a).days for a, b in pairwise(days)]
    least = min(LEAST_GAP_PX, (end - start) / len(shares))
    room = (end - start) - least * len(shares)
    xs = [start]
    for share in shares:
        xs.append(xs[-1] + least + room * share / sum(shares))
    return TimeAxis(tuple(days), tuple(xs))


@dataclass(frozen=True, slots=True)
class ValueAxis:
    """Values in SI units and where they stand: more is higher up. [px]"""

    low: float
    high: float
    top: float
    bottom: float

    def y(self, value: float) -> float:
        """Give the place of a value."""
        return self.bottom - (self.bottom - self.top) * (value - self.low) / (self.high - self.low)


def value_axis(
    values: Sequence[float], errors: Sequence[float], top: float, bottom: float
) -> ValueAxis:
    """
    Choose a range that holds every value with its error, never so narrow that error fills the row.

    Parameters
    ----------
    values : sequence of float
        Measured values and the target. [SI]
    errors : sequence of float
        Half-widths of the bands. [SI]
    top, bottom : float
        Room of the row. [px]
    """
    error = max(errors, default=0.0)
    low, high = min(values) - error, max(values) + error
    least = max(5 * error, 0.1 * max(abs(low), abs(high)), 1e-9)
    spare = max(0.0, least - (high - low)) / 2
    return ValueAxis(low - spare, high + spare, top, bottom)

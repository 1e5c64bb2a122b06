"""
Events of a jump set by hand, in place of the found ones.

A hand may know better than a rule where a noisy edge ends or where a twitch was no jump. What it
sets replaces what was found; everything behind it is computed anew, and the trial says so.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import pairwise
from math import isfinite

from countermove.errors import BadEvent

EVENTS = ("onset_s", "takeoff_s", "landing_s")  # in the order of a jump
WORDS = {
    "weighing_s": "weighing",
    "onset_s": "onset",
    "takeoff_s": "take-off",
    "landing_s": "landing",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class HandEvents:
    """
    What a hand set of one jump, on the recording's own axis; None stays as found.

    Attributes
    ----------
    weighing_s : tuple of float, optional
        Start and end of the quiet standing. [s]
    onset_s : float, optional
        Where the movement begins; integration starts 30 ms earlier. [s]
    takeoff_s, landing_s : float, optional
        Last and first contact. [s]

    Raises
    ------
    BadEvent
        If a time is no number, or they are not in the order of a jump.
    """

    weighing_s: tuple[float, float] | None = None
    onset_s: float | None = None
    takeoff_s: float | None = None
    landing_s: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no jump can be."""
        times = [(name, getattr(self, name)) for name in EVENTS if getattr(self, name) is not None]
        window = self.weighing_s or ()
        if not all(isfinite(time) for time in (*window, *(time for _, time in times))):
            raise BadEvent("an event set by hand is a time in seconds; a number is needed")
        for (name, first), (later, second) in pairwise(times):
            if first >= second:
                raise BadEvent(
                    f"{WORDS[later]} at {second:.3f} s does not come after {WORDS[name]} at"
                    f" {first:.3f} s; a jump runs from onset to take-off to landing"
                )
        if window and self.onset_s is not None and window[0] < self.onset_s < window[1]:
            raise BadEvent(
                f"the onset at {self.onset_s:.3f} s lies inside the weighing window; end the"
                " weighing before it"
            )

    def __bool__(self) -> bool:
        """Whether anything was set."""
        return any(getattr(self, field.name) is not None for field in fields(self))


def sample_at(time_s: float, start_s: float, rate_hz: float, found: float | None) -> float:
    """
    Give the sample of a time, with its fraction; the found sample itself where they are one time.

    So an event set where it was found changes no bit of any number.
    """
    if found is not None and start_s + found / rate_hz == time_s:
        return found
    return (time_s - start_s) * rate_hz


def refuse_outside(what: str, time_s: float, first_s: float, last_s: float, why: str) -> None:
    """
    Refuse an event outside the stretch it can lie in.

    Raises
    ------
    BadEvent
        With the stretch.
    """
    if not first_s < time_s < last_s:
        raise BadEvent(
            f"{what} at {time_s:.3f} s cannot be: {why}; choose a time between {first_s:.3f} and"
            f" {last_s:.3f} s"
        )

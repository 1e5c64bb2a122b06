"""
Onset: where the force leaves body weight for the jump itself.

The rule is Owen's: the first sample beyond body weight ± 5 standard deviations of the weighing, and
integration from 30 ms earlier. A rule that reads forwards takes the first twitch for the jump. So
the search runs backwards from the movement (the unweighting dip, or in a squat jump the push) to
the last time the force had stayed within the band for a tenth of a second.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight, Span, joined, runs
from countermove.jumps.weighing import Weighing

BAND_SD = 5.0  # Owen et al., J. Strength Cond. Res. 28 (2014) 1552-1558
STEP_BACK_S = 0.03  # the same
SD_FLOOR_SHARE = 0.001  # of weight; for traces without noise (our-default)
HOLD_S = 0.1  # within the band for this long is standing (our-default)
TWITCH_S = 0.02  # an excursion shorter than this does not end standing (our-default)
PUSH_S = 1.2  # the push peaks within this before take-off (our-default)
DIP_S = 0.8  # the dip lies within this before the push (our-default)


@dataclass(frozen=True)
class Onset:
    """
    Where the movement begins.

    Attributes
    ----------
    sample : int
        First sample outside the band.
    band_n : float
        Half width of the band. [N]
    dip : int or None
        Sample of the least force before the push; None where the force never left the band
        downwards.
    push : int
        Last sample below weight before the push.
    rested : bool
        Whether standing was found before it.
    """

    sample: int
    band_n: float
    dip: int | None
    push: int
    rested: bool


def push_start(force_n: Floats, rate_hz: float, flight: Flight, weight_n: float) -> int:
    """Give the last sample below weight before the push of a jump."""
    start = max(flight.before.start, flight.before.stop - round(PUSH_S * rate_hz))
    net = force_n[start : flight.before.stop] - weight_n
    peak = int(np.argmax(net))
    low = np.flatnonzero(net[:peak] < 0)
    return start + (int(low[-1]) if low.size else 0)


def find_onset(force_n: Floats, rate_hz: float, flight: Flight, weighing: Weighing) -> Onset:
    """
    Give the onset of one jump.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        Total force with the empty plate at zero. [N]
    rate_hz : float
        [Hz]
    flight : Flight
        The flight that the jump ends in.
    weighing : Weighing
        Gives the band.
    """
    weight = weighing.weight_n
    band = BAND_SD * max(weighing.sd_n, SD_FLOOR_SHARE * weight)
    push = push_start(force_n, rate_hz, flight, weight)
    first = flight.before.start
    if weighing.place == "before" and weighing.span.start < push:
        first = max(first, weighing.span.start)
    dip = _dip(force_n, rate_hz, Span(first, push + 1), weight - band)
    peak = push + int(np.argmax(force_n[push : flight.before.stop]))
    anchor = peak if dip is None else dip
    within = np.abs(force_n[first : anchor + 1] - weight) <= band
    standing = [
        span
        for span in joined(runs(within), max(1, round(TWITCH_S * rate_hz)))
        if len(span) >= HOLD_S * rate_hz
    ]
    if not standing:
        return Onset(first, band, dip, push, False)
    return Onset(first + standing[-1].stop, band, dip, push, True)


def _dip(force_n: Floats, rate_hz: float, region: Span, below_n: float) -> int | None:
    """Give the sample of the unweighting dip before the push, if the force left the band there."""
    start = max(region.start, region.stop - round(DIP_S * rate_hz))
    part = force_n[start : region.stop]
    lowest = int(np.argmin(part)) if part.size else 0
    if not part.size or part[lowest] >= below_n:
        return None
    return start + lowest

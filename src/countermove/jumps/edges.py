"""
The instants of take-off and landing, between the samples.

The force falls through a threshold (five standard deviations of the flight above its mean) before
the feet have left. At 10 N of noise that is 50 N, and stopping there would cost up to 2 ms, or 5 mm
of height. So the last part of the edge is followed down to the empty plate: it is taken as
F ∝ (time left)^1.5, half way between an edge that ends sharply (power 1) and one that fades
(power 2), through its crossings of the threshold and of a higher level.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight

THRESHOLD_SD = 5.0  # of the unloaded plate (McMahon et al. 2018, from memory)
THRESHOLD_FLOOR_N = 5.0  # where there is no noise (our-default)
EDGE_POWER = 1.5  # our-default, see above
EDGE_S = 0.06  # an edge is sought this close to the rough one (our-default)
UPPER_SHARE = 0.25  # of body weight; the higher level on the edge (our-default)


@dataclass(frozen=True)
class Edges:
    """Take-off and landing in samples, with fractions; `landing` is None if not recorded."""

    takeoff: float
    landing: float | None


def find_edges(force_n: Floats, rate_hz: float, flight: Flight, weight_n: float) -> Edges:
    """
    Give take-off and landing of one flight.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        Total force with the empty plate at zero. [N]
    rate_hz : float
        [Hz]
    flight : Flight
        As found roughly.
    weight_n : float
        Body weight, roughly. [N]
    """
    air = flight.air.inner(max(2, len(flight.air) // 4))
    quiet = air.of(force_n)
    level = float(quiet.mean())
    lower = max(THRESHOLD_SD * float(quiet.std()), THRESHOLD_FLOOR_N)
    upper = max(2.5 * lower, UPPER_SHARE * weight_n)
    reach = round(EDGE_S * rate_hz) + 2
    middle = (air.start + air.stop) // 2
    start = max(0, flight.air.start - reach)
    falling = force_n[start:middle][::-1] - level
    takeoff = middle - 1 - _end_of_edge(falling, lower, upper)
    if not flight.landed:
        return Edges(takeoff, None)
    rising = force_n[middle : flight.air.stop + reach] - level
    return Edges(takeoff, middle + _end_of_edge(rising, lower, upper))


def _end_of_edge(rise_n: Floats, lower_n: float, upper_n: float) -> float:
    """Give where a rise out of the empty plate begins, in samples from the first."""
    low = _crossing(rise_n, lower_n)
    high = _crossing(rise_n, upper_n)
    left = (high - low) / ((upper_n / lower_n) ** (1 / EDGE_POWER) - 1)
    return float(max(0.0, low - left))


def _crossing(rise_n: Floats, level_n: float) -> float:
    """Give where a rise first passes a level, by linear interpolation; its end if it never does."""
    above = rise_n > level_n
    first = int(np.argmax(above))
    if first == 0:
        return 0.0 if bool(above[0]) else float(rise_n.size - 1)
    before, after = float(rise_n[first - 1]), float(rise_n[first])
    return first - 1.0 + (level_n - before) / (after - before)

"""
The instants of take-off and landing, between the samples.

The force falls through a threshold (five standard deviations of the flight above its mean) before
the feet have left. At 10 N of noise that is 50 N, and stopping there would end the push up to 6 ms
early, or cost 15 mm of height. So the foot of the edge is followed down to the empty plate. It is
taken as F = a (time left)^p with p between 1 (it ends sharply) and 2 (it fades); every end and
every p is weighed by how well it fits the samples, and the weighted mean is the instant. Nothing
is filtered: the samples themselves are fitted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight

THRESHOLD_SD = 5.0  # of the unloaded plate (McMahon et al. 2018, from memory)
THRESHOLD_FLOOR_N = 5.0  # where there is no noise (our-default)
EDGE_POWERS = np.array([1.0, 1.25, 1.5, 1.75, 2.0])  # our-default, see above
EDGE_S = 0.06  # an edge is sought this close to the rough one (our-default)
FOOT_S = 0.012  # the foot of an edge below the threshold is at most this long (our-default)
UPPER_SHARE = 0.2  # of body weight; the edge is fitted up to here (our-default)
MISFIT_SHARE = 0.01  # of body weight; no edge follows a power law better than this (our-default)
TRIED = 40  # instants tried along the foot, at least; three a sample at high rates


@dataclass(frozen=True)
class Edges:
    """
    Take-off and landing in samples, with fractions; `landing` is None if not recorded.

    `takeoff_sd` is how far take-off is unsure, which noise decides.
    """

    takeoff: float
    landing: float | None
    takeoff_sd: float


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
    upper = max(2 * lower, UPPER_SHARE * weight_n)
    blur = float(np.hypot(quiet.std(), MISFIT_SHARE * weight_n))
    foot = FOOT_S * rate_hz
    reach = round(EDGE_S * rate_hz) + 2
    middle = (air.start + air.stop) // 2
    quiet_again = min(middle, flight.air.start + reach)
    start = max(0, flight.air.start - reach)
    falling = force_n[start:quiet_again][::-1] - level
    end, unsure = _end_of_edge(falling, (lower, upper), blur, foot)
    takeoff = quiet_again - 1 - end
    if not flight.landed:
        return Edges(takeoff, None, unsure)
    still_quiet = max(middle, flight.air.stop - reach)
    rising = force_n[still_quiet : flight.air.stop + reach] - level
    begin, _ = _end_of_edge(rising, (lower, upper), blur, foot)
    return Edges(takeoff, still_quiet + begin, unsure)


def _end_of_edge(
    rise_n: Floats, levels_n: tuple[float, float], blur_n: float, foot: float
) -> tuple[float, float]:
    """Give where a rise out of the empty plate begins, in samples from the first, and its SD."""
    low, high = (_crossing(rise_n, level) for level in levels_n)
    first, last = max(0, int(low - 1.5 * foot)), min(rise_n.size, int(high) + 2)
    samples = rise_n[first:last]
    # Few samples: a steep edge may begin anywhere up to its first sample above the threshold.
    ends = np.linspace(max(0.0, low - foot), np.ceil(low), max(TRIED, round(3 * foot)))
    left = np.maximum(np.arange(first, last) - ends[:, None], 0.0)
    # Logarithms are taken once for all powers; nothing is left of the edge where none remains.
    logs = np.log(np.maximum(left, 1e-9))
    shapes = np.where(left > 0, np.exp(EDGE_POWERS[:, None, None] * logs), 0.0)
    against = shapes @ samples
    size = np.einsum("pes,pes->pe", shapes, shapes)
    explained = against**2 / np.maximum(size, 1e-30) / (2 * blur_n**2)
    weights = np.exp(explained - explained.max())
    weights /= weights.sum()
    mean = float((weights * ends).sum())
    return mean, float(np.sqrt((weights * (ends - mean) ** 2).sum()))


def _crossing(rise_n: Floats, level_n: float) -> float:
    """Give where a rise first passes a level, by linear interpolation; its end if it never does."""
    above = rise_n > level_n
    first = int(np.argmax(above))
    if first == 0:
        return 0.0 if bool(above[0]) else float(rise_n.size - 1)
    before, after = float(rise_n[first - 1]), float(rise_n[first])
    return first - 1.0 + (level_n - before) / (after - before)

"""
Faults of the signal itself: flat tops and samples that are not measurements.

Both leave equal neighbouring values, which a live signal with noise seldom shows. How seldom is
taken from the trace: coarse steps and quiet sensors repeat a value by chance, so a run must be
longer than chance would make one in a thousand recordings.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Span, runs

CHANCE = 1e-3  # a run this rare is no accident (our-default)
LEAST_RUN = 4  # samples (our-default)
# Between two samples no push changes by more than this (our-default): 100 N a millisecond is three
# times what take-off shows.
LEAP_SHARE, LEAP_N_S = 0.3, 100_000.0
LEAP_S = 0.06  # a leap that is not undone within this is something else (our-default)
LEAST_MISSED_SHARE = 0.01  # of weight: smaller flat tops are rounding (our-default)


@dataclass(frozen=True)
class FlatTop:
    """Samples held at the highest value, and about how much of the peak is missing. [N]"""

    span: Span
    missed_n: float


def is_live(force_n: Floats, loaded: np.ndarray) -> bool:
    """Tell a measured trace from one without noise, which repeats itself everywhere."""
    same = (force_n[1:] == force_n[:-1]) & loaded[1:]
    return bool(np.count_nonzero(same) < 0.5 * np.count_nonzero(loaded))


def repeated_runs(force_n: Floats, loaded: np.ndarray) -> list[Span]:
    """
    Give stretches of exactly repeated values that chance does not explain.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        One plate, as recorded. [N]
    loaded : ndarray of bool, shape (n_samples,)
        Where somebody stands on it; an empty plate may well read the same twice.
    """
    same = (force_n[1:] == force_n[:-1]) & loaded[1:] & loaded[:-1]
    if np.count_nonzero(same) < LEAST_RUN - 1:
        return []
    found = [span for span in runs(same) if len(span) >= LEAST_RUN - 1]
    by_chance = _share_by_chance(same, found, int(np.count_nonzero(loaded)))
    needed = LEAST_RUN - 1
    if by_chance > 0:
        needed = max(needed, int(np.ceil(np.log(CHANCE / same.size) / np.log(by_chance))))
    return [Span(span.start, span.stop + 1) for span in found if len(span) >= needed]


def _share_by_chance(same: np.ndarray, found: list[Span], count: int) -> float:
    """Give how often neighbours are equal outside the longest runs."""
    longest = sum(len(span) for span in found if len(span) > 12)
    return (int(np.count_nonzero(same)) - longest) / max(1, count - longest)


def glitches(force_n: Floats, rate_hz: float, span: Span, weight_n: float) -> list[Span]:
    """
    Give samples that leap away and back: zeros or spikes of a lost signal.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        All plates together. [N]
    rate_hz : float
        [Hz]
    span : Span
        From the weighing to just before take-off; a landing may leap by itself.
    weight_n : float
        Body weight. [N]
    """
    steps = np.diff(span.of(force_n))
    limit = max(LEAP_SHARE * weight_n, LEAP_N_S / rate_hz)
    leaps = np.flatnonzero(np.abs(steps) > limit)
    back = np.flatnonzero(
        (np.diff(leaps) <= LEAP_S * rate_hz) & (np.diff(np.sign(steps[leaps])) != 0)
    )
    pairs = [(int(leaps[k]), int(leaps[k + 1])) for k in back]
    return [Span(span.start + first + 1, span.start + last + 1) for first, last in pairs]


def flat_tops(force_n: Floats, weight_n: float) -> list[FlatTop]:
    """
    Give where a plate stayed at its highest value while the force was steep on either side.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        One plate, as recorded. [N]
    weight_n : float
        Body weight, to tell a flat top from rounding. [N]
    """
    top = float(force_n.max())
    at_top = np.flatnonzero(force_n == top)
    if at_top.size < 3:
        return []
    breaks = np.flatnonzero(np.diff(at_top) > 1) + 1
    groups = np.split(at_top, breaks)
    spans = [Span(int(group[0]), int(group[-1]) + 1) for group in groups if group.size >= 3]
    tops = [FlatTop(span, _missed(force_n, span)) for span in spans]
    return [found for found in tops if found.missed_n > LEAST_MISSED_SHARE * weight_n]


def _missed(force_n: Floats, span: Span) -> float:
    """Carry the slopes on either side on to where they meet, and halve it: real peaks are round."""
    reach = max(3, len(span) // 3)
    top = float(force_n[span.start])
    before, after = max(0, span.start - reach), min(force_n.size - 1, span.stop - 1 + reach)
    rise = (top - float(force_n[before])) / max(1, span.start - before)
    fall = (top - float(force_n[after])) / max(1, after - span.stop + 1)
    if rise <= 0 or fall <= 0:
        return 0.0
    return min(0.5 * len(span) * rise * fall / (rise + fall), 0.3 * abs(top))

"""
Weighing: the athlete's weight from the longest quiet standing just before the jump.

Owen et al. (2014) ask for at least one second of quiet stance. People sway, breathe and have a
pulse, so neighbouring samples of standing force are not independent: the error of the mean is
taken from means over a quarter of a second, not from single samples.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.errors import BadInput
from countermove.jumps.checks import Floats
from countermove.jumps.contacts import BLOCK_S, Span

LEAST_S = 1.0  # Owen et al., J. Strength Cond. Res. 28 (2014) 1552-1558
LONGEST_S = 3.0  # standing longer ago tells less about this jump (our-default)
SHORTEST_S = 0.2  # with less than this nobody can be weighed (our-default)
CLEAR_S = 0.1  # weighing ends this long before the movement (our-default)
QUIET_SHARE = 0.01  # of weight; slow unrest above this is not quiet (our-default)
MOVING_SHARE = 0.04  # of weight; more unrest than this is movement, not standing (our-default)
SETTLE_S = 0.1  # not weighed at the start of a contact (our-default)
NEAR_SHARE = 0.15  # a stretch this far from the rough weight is not standing (our-default)


@dataclass(frozen=True)
class Weighing:
    """
    A stretch that was weighed.

    Attributes
    ----------
    span : Span
        Its samples.
    weight_n, sd_n : float
        Mean and standard deviation of the force. [N]
    unrest_n : float
        The slow part of that deviation, without sensor noise. [N]
    se_n : float
        Standard error of the mean. [N]
    place : str
        ``before`` the jump, ``after`` it, set by ``hand``, or none: a ``mass`` was given.
    """

    span: Span
    weight_n: float
    sd_n: float
    unrest_n: float
    se_n: float
    place: str = "before"

    def seconds(self, rate_hz: float) -> float:
        """Length of the stretch. [s]"""
        return len(self.span) / rate_hz

    @property
    def is_quiet(self) -> bool:
        """Whether the athlete stood still."""
        return self.unrest_n <= QUIET_SHARE * self.weight_n


def weigh(force_n: Floats, rate_hz: float, span: Span, place: str = "before") -> Weighing:
    """Give weight, spread and error of one stretch."""
    values = span.of(force_n)
    weight, sd = float(values.mean()), float(values.std())
    block = max(1, round(BLOCK_S * rate_hz))
    count = values.size // block
    blocks = values[: count * block].reshape(count, block)
    if count < 4:
        return Weighing(span, weight, sd, sd, sd / 2, place)
    means = blocks.mean(axis=1)
    noise = float(blocks.var(axis=1).mean()) / max(1, block - 1)
    unrest = float(np.sqrt(max(0.0, float(means.var()) - noise)))
    return Weighing(span, weight, sd, unrest, _standard_error(means), place)


def _standard_error(means: Floats) -> float:
    """Give the standard error of a mean from means over blocks, five of them a unit. [N]"""
    units = means.size // 5
    if units < 3:
        return float(means.std(ddof=1) / np.sqrt(max(1.0, means.size / 5)))
    longer = means[-units * 5 :].reshape(units, 5).mean(axis=1)
    return float(longer.std(ddof=1)) / float(np.sqrt(units))


def restless_share(force_n: Floats, rate_hz: float, span: Span, weight_n: float) -> float:
    """
    Give the share of half seconds in which the force strayed from weight.

    Sensor noise is taken out by the spread inside blocks. A single bounce fills one or two half
    seconds of four; a body that sways fills nearly all.
    """
    block = max(1, round(BLOCK_S * rate_hz))
    count = len(span) // (10 * block)
    if count == 0:
        return 0.0
    values = force_n[span.stop - count * 10 * block : span.stop].reshape(count, 10, block)
    noise = values.var(axis=2).mean(axis=1) / max(1, block - 1)
    strayed = ((values.mean(axis=2) - weight_n) ** 2).mean(axis=1) - noise
    return float(np.mean(strayed > (QUIET_SHARE * weight_n) ** 2))


def quiet_span(force_n: Floats, rate_hz: float, region: Span, rough_n: float) -> Span | None:
    """
    Give the latest quiet stretch of a region, extended backwards; None if it holds none.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        Total force with the empty plate at zero. [N]
    rate_hz : float
        [Hz]
    region : Span
        Where to look: a contact, up to the movement.
    rough_n : float
        Rough weight. [N]
    """
    block = max(1, round(BLOCK_S * rate_hz))
    count = len(region) // block
    start = region.stop - count * block
    means = force_n[start : region.stop].reshape(count, block).mean(axis=1)
    window = _best_window(means, rough_n)
    if window is None:
        return None
    first, last = _extended(means, window, rough_n)
    return Span(start + first * block, start + last * block)


def _best_window(means: Floats, rough_n: float) -> Span | None:
    """Give a full second that is no movement; failing that, a shorter quiet stretch."""
    full = round(LEAST_S / BLOCK_S)
    window, spread = _latest_quiet(means, full, rough_n)
    if window is not None and spread <= MOVING_SHARE * rough_n:
        return window
    for width in (full * 3 // 4, full // 2, full // 3, round(SHORTEST_S / BLOCK_S)):
        shorter, spread = _latest_quiet(means, width, rough_n)
        if shorter is not None and spread <= 0.5 * MOVING_SHARE * rough_n:
            return shorter
    return window


def _latest_quiet(means: Floats, width: int, rough_n: float) -> tuple[Span | None, float]:
    """Give the latest window of block means that is about as quiet as the quietest."""
    if means.size < width:
        return None, np.inf
    average, spread = _moving(means, width)
    spread = np.where(np.abs(average - rough_n) <= NEAR_SHARE * rough_n, spread, np.inf)
    quietest = float(spread.min())
    if not np.isfinite(quietest):
        return None, np.inf
    limit = max(1.5 * quietest, QUIET_SHARE * rough_n)
    last = int(np.flatnonzero(spread <= limit)[-1])
    return Span(last, last + width), float(spread[last])


def _moving(values: Floats, width: int) -> tuple[Floats, Floats]:
    """Give mean and standard deviation of every window of `width` values."""
    level = float(values.mean())
    shifted = values - level
    sums = np.concatenate(([0.0], np.cumsum(shifted)))
    squares = np.concatenate(([0.0], np.cumsum(shifted**2)))
    mean = (sums[width:] - sums[:-width]) / width
    square = (squares[width:] - squares[:-width]) / width
    return mean + level, np.sqrt(np.maximum(square - mean**2, 0.0))


def _extended(means: Floats, window: Span, rough_n: float) -> tuple[int, int]:
    """Carry a quiet window on, backwards up to the longest useful length and forwards."""
    inside = window.of(means)
    centre = float(inside.mean())
    allowed = max(3 * float(inside.std()), QUIET_SHARE * rough_n)
    steady = np.abs(means - centre) <= allowed
    earlier = np.flatnonzero(~steady[: window.start])
    later = np.flatnonzero(~steady[window.stop :])
    last = window.stop + (int(later[0]) if later.size else means.size - window.stop)
    earliest = last - round(LONGEST_S / BLOCK_S)
    first = max(int(earlier[-1]) + 1 if earlier.size else 0, earliest, 0)
    return min(first, window.start), last


def span_by_hand(
    force_n: Floats, rate_hz: float, start_s: float, window_s: tuple[float, float]
) -> Span:
    """
    Give the samples of a weighing window that was set by hand.

    Raises
    ------
    BadInput
        If the window lies outside the recording, is shorter than 0.1 s, or nobody stands in it.
    """
    first, last = (round((edge - start_s) * rate_hz) for edge in window_s)
    end_s = start_s + force_n.size / rate_hz
    if first < 0 or last > force_n.size or last - first < 0.1 * rate_hz:
        raise BadInput(
            f"the weighing window {window_s[0]:g} to {window_s[1]:g} s does not fit; choose at"
            f" least 0.1 s (better 1 s) between {start_s:g} and {end_s:g} s"
        )
    return Span(first, last)

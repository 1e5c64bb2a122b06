"""
When the plate carries the athlete and when it is empty, and which empty stretch is a flight.

A plate is empty before the athlete steps on, during flight and after stepping off. Only a stretch
that follows a push (net impulse upward, just before) is a flight.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.errors import NoJump
from countermove.jumps.checks import Floats
from countermove.jumps.heights import GRAVITY_M_S2

BLOCK_S = 0.05  # means over this long tell an empty plate from noise (our-default)
LEAST_LOAD_N = 100.0  # above any offset and noise, below half the lightest athlete (our-default)
LEAST_FLIGHT_S = 0.12  # shorter gaps are hops on the toes, not jumps (our-default)
LONGEST_FLIGHT_S = 1.1  # 1.5 m of height; a longer gap is a step off the plate (our-default)
LONGEST_DIP_S = 0.3  # a deep unweighting, or samples lost in standing, is not leaving (our-default)
LEAST_LINE_S = 2.0  # empty stretches closer than this cannot show a drift (our-default)
STEEP_S = 0.08  # a jump falls from weight to nothing within this (our-default)
LEAST_PUSH_M_S = 0.2  # of upward velocity from a push that ends so (our-default)
STEP_PUSH_M_S = 0.5  # from one that does not; a step off gives less (our-default)


@dataclass(frozen=True)
class Span:
    """Samples from `start` up to, not including, `stop`."""

    start: int
    stop: int

    def __len__(self) -> int:
        """Count its samples."""
        return self.stop - self.start

    def inner(self, margin: int) -> Span:
        """Leave `margin` samples off both ends, or keep the middle third if that is longer."""
        margin = min(margin, len(self) // 3)
        return Span(self.start + margin, self.stop - margin)

    def of(self, values: Floats) -> Floats:
        """Give these samples of `values`."""
        return values[self.start : self.stop]


@dataclass(frozen=True)
class Plate:
    """
    A first, rough look at a trace.

    Attributes
    ----------
    load_n : ndarray, shape (n_samples,)
        Force above the empty plate, roughly, its drift taken out. [N]
    body_n : float
        Rough body weight. [N]
    empties : tuple of Span
        Stretches without load, in order.
    """

    load_n: Floats
    body_n: float
    empties: tuple[Span, ...]


@dataclass(frozen=True)
class Flight:
    """
    One flight and the contacts around it, in samples.

    Attributes
    ----------
    air : Span
        Off the plate.
    before, after : Span
        The contact that led to it, and the one that follows; `after` is empty without a landing.
    """

    air: Span
    before: Span
    after: Span

    @property
    def landed(self) -> bool:
        """Whether the recording holds the landing."""
        return len(self.after) > 0


def runs(mask: np.ndarray) -> list[Span]:
    """Give the stretches where `mask` is True."""
    edges = np.flatnonzero(mask[1:] != mask[:-1]) + 1
    bounds = [0, *edges.tolist(), mask.size]
    first = 0 if mask[0] else 1
    pairs = zip(bounds[first:-1:2], bounds[first + 1 :: 2], strict=True)
    return [Span(start, stop) for start, stop in pairs]


def joined(spans: list[Span], gap: int) -> list[Span]:
    """Join stretches that less than `gap` samples part."""
    whole: list[Span] = []
    for span in spans:
        if whole and span.start - whole[-1].stop < gap:
            whole[-1] = Span(whole[-1].start, max(span.stop, whole[-1].stop))
        else:
            whole.append(span)
    return whole


def look_over(total_n: Floats, rate_hz: float, body_n: float | None = None) -> Plate:
    """
    Find the empty stretches of a trace.

    Parameters
    ----------
    total_n : ndarray, shape (n_samples,)
        All plates together, as recorded. [N]
    rate_hz : float
        [Hz]
    body_n : float, optional
        Body weight, where somebody vouches for it. [N]

    Raises
    ------
    NoJump
        If the plate is never loaded.
    """
    block = max(1, round(BLOCK_S * rate_hz))
    count = total_n.size // block
    blocks = total_n[: count * block].reshape(count, block).mean(axis=1)
    floor = float(blocks.min())
    standing = _standing_level(blocks, floor, round(0.5 / BLOCK_S)) - floor
    body = standing if body_n is None else body_n
    slope, level = _floor_line(blocks, floor, body)
    load = total_n - (level + slope / block * (np.arange(total_n.size) - (block - 1) / 2))
    below = load < max(30.0, 0.15 * body)
    empty = joined(runs(below), max(2, round(0.02 * rate_hz)))
    least = round(0.06 * rate_hz)
    return Plate(load, body, tuple(span for span in empty if len(span) >= least))


def _floor_line(blocks: Floats, floor: float, body: float) -> tuple[float, float]:
    """
    Give slope (a block) and start of a line through the empty plate.

    Only for finding contacts in spite of drift; the zero of the force comes from `zero`. Level
    where the empty stretches lie too close together to show a slope.
    """
    number = np.arange(blocks.size)
    low = blocks - floor < 0.35 * body
    slope, level = 0.0, floor
    for _ in range(3):
        if low.sum() < 6 or np.ptp(number[low]) * BLOCK_S < LEAST_LINE_S:
            return 0.0, floor
        centre, mean = float(number[low].mean()), float(np.median(blocks[low]))
        apart = number[low] - centre
        slope = float((apart * blocks[low]).sum() / (apart**2).sum())
        level = mean - slope * (float(np.median(number[low])))
        low = np.abs(blocks - level - slope * number) < 0.08 * body
    return slope, level


def _standing_level(blocks: Floats, floor: float, width: int) -> float:
    """Give the mean of the steadiest loaded half second, from means over blocks. [N]"""
    # A drifting empty plate may rise by more than the least load; a body is heavier than that.
    loaded = blocks - floor > max(LEAST_LOAD_N, 0.15 * float(blocks.max() - floor))
    if not loaded.any():
        raise NoJump(
            f"the force never rises {LEAST_LOAD_N:.0f} N above its lowest level, so nobody stood on"
            " the plate; check that this is a recording of a jump and that its unit is right"
        )
    if blocks.size <= width:
        return float(np.median(blocks[loaded]))
    windows = np.lib.stride_tricks.sliding_window_view(blocks, width)
    spread = windows.std(axis=1)
    spread[~np.lib.stride_tricks.sliding_window_view(loaded, width).all(axis=1)] = np.inf
    best = int(np.argmin(spread))
    if not np.isfinite(spread[best]):
        return float(np.median(blocks[loaded]))
    return float(windows[best].mean())


def find_flights(plate: Plate, rate_hz: float) -> tuple[Flight, ...]:
    """
    Give every flight of a trace with its contacts.

    Raises
    ------
    NoJump
        If there is none.
    """
    flights = []
    contact_start = 0
    for number, air in enumerate(plate.empties):
        before = Span(contact_start, air.start)
        pushed = _was_pushed(plate, rate_hz, before)
        long_enough = len(air) >= LEAST_FLIGHT_S * rate_hz or air.stop == plate.load_n.size
        if pushed and long_enough:
            later = [span.start for span in plate.empties[number + 1 :]]
            end = next(iter(later), plate.load_n.size)
            flights.append(Flight(air, before, _landing(plate, rate_hz, air, end)))
        left_the_plate = (pushed and long_enough) or len(air) >= LONGEST_DIP_S * rate_hz
        if left_the_plate or air.start == 0:
            contact_start = air.stop
    if not flights:
        raise NoJump(_why_none(plate))
    return tuple(flights)


def _landing(plate: Plate, rate_hz: float, air: Span, end: int) -> Span:
    """Give the contact after a stretch in the air; empty if nobody lands on the plate again."""
    nothing = Span(air.stop, air.stop)
    if air.stop >= plate.load_n.size or len(air) > LONGEST_FLIGHT_S * rate_hz:
        return nothing
    impact = plate.load_n[air.stop : min(end, air.stop + round(0.4 * rate_hz))]
    lands = impact.size > 0 and float(impact.max()) > plate.body_n
    return Span(air.stop, end) if lands else nothing


def _was_pushed(plate: Plate, rate_hz: float, before: Span) -> bool:
    """Tell whether a contact ended with a push that throws the body up."""
    start = max(before.start, before.stop - round(1.2 * rate_hz))
    net = plate.load_n[start : before.stop] - plate.body_n
    if net.size < 2:
        return False
    peak = int(np.argmax(net))
    low = np.flatnonzero(net[:peak] < 0)
    push = net[(int(low[-1]) if low.size else 0) :]
    velocity = float(push.clip(min=0).sum()) / rate_hz / plate.body_n * GRAVITY_M_S2
    # Who steps off unloads the plate over a third of a second, who jumps within a few hundredths.
    last = net[-max(1, round(STEEP_S * rate_hz)) :]
    steep = bool(last.max() > -0.1 * plate.body_n)
    return velocity > (LEAST_PUSH_M_S if steep else STEP_PUSH_M_S)


def _why_none(plate: Plate) -> str:
    """Say why no flight was found."""
    if not plate.empties:
        return (
            "the plate is loaded from the first sample to the last, so nobody left the floor;"
            " check that the recording holds the whole jump and all plates"
        )
    return (
        "the plate is empty at times, but no push comes before (somebody steps on or off);"
        " check that the recording holds the jump itself"
    )

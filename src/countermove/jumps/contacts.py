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

BLOCK_S = 0.05  # means over this long tell an empty plate from noise (our-default)
LEAST_LOAD_N = 100.0  # above any offset and noise, below half the lightest athlete (our-default)
LEAST_FLIGHT_S = 0.12  # shorter gaps are hops on the toes, not jumps (our-default)
LONGEST_FLIGHT_S = 1.1  # 1.5 m of height; a longer gap is a step off the plate (our-default)
LONGEST_DIP_S = 0.3  # a deep unweighting, or samples lost in standing, is not leaving (our-default)
LEAST_PUSH_M_S = 0.6  # of upward velocity from the push; a step off gives less (our-default)


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
    floor_n : float
        Reading of the empty plate. [N]
    body_n : float
        Rough body weight. [N]
    empties : tuple of Span
        Stretches without load, in order.
    """

    floor_n: float
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
            whole[-1] = Span(whole[-1].start, span.stop)
        else:
            whole.append(span)
    return whole


def look_over(total_n: Floats, rate_hz: float) -> Plate:
    """
    Find the empty stretches of a trace.

    Raises
    ------
    NoJump
        If the plate is never loaded.
    """
    block = max(1, round(BLOCK_S * rate_hz))
    count = total_n.size // block
    blocks = total_n[: count * block].reshape(count, block).mean(axis=1)
    floor = float(blocks.min()) if count else float(total_n.min())
    body = _standing_level(blocks, floor, round(0.5 / BLOCK_S))
    below = total_n < floor + max(30.0, 0.1 * (body - floor))
    empty = joined(runs(below), max(2, round(0.02 * rate_hz)))
    least = round(0.06 * rate_hz)
    return Plate(floor, body - floor, tuple(span for span in empty if len(span) >= least))


def _standing_level(blocks: Floats, floor: float, width: int) -> float:
    """Give the mean of the steadiest loaded half second, from means over blocks. [N]"""
    loaded = blocks - floor > LEAST_LOAD_N
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


def find_flights(total_n: Floats, rate_hz: float, plate: Plate) -> tuple[Flight, ...]:
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
        pushed = _was_pushed(total_n, rate_hz, plate, before)
        long_enough = len(air) >= LEAST_FLIGHT_S * rate_hz or air.stop == total_n.size
        if pushed and long_enough:
            later = [span.start for span in plate.empties[number + 1 :]]
            end = next((start for start in later if start > air.stop), total_n.size)
            flights.append(Flight(air, before, _landing(total_n, rate_hz, plate, air, end)))
        left_the_plate = (pushed and long_enough) or len(air) >= LONGEST_DIP_S * rate_hz
        if left_the_plate or air.start == 0:
            contact_start = air.stop
    if not flights:
        raise NoJump(_why_none(plate))
    return tuple(flights)


def _landing(total_n: Floats, rate_hz: float, plate: Plate, air: Span, end: int) -> Span:
    """Give the contact after a stretch in the air; empty if nobody lands on the plate again."""
    nothing = Span(air.stop, air.stop)
    if air.stop >= total_n.size or len(air) > LONGEST_FLIGHT_S * rate_hz:
        return nothing
    impact = total_n[air.stop : min(end, air.stop + round(0.4 * rate_hz))]
    lands = impact.size > 0 and float(impact.max()) - plate.floor_n > plate.body_n
    return Span(air.stop, end) if lands else nothing


def _was_pushed(total_n: Floats, rate_hz: float, plate: Plate, before: Span) -> bool:
    """Tell whether a contact ended with a push that throws the body up."""
    start = max(before.start, before.stop - round(1.2 * rate_hz))
    net = total_n[start : before.stop] - (plate.floor_n + plate.body_n)
    if net.size < 2:
        return False
    peak = int(np.argmax(net))
    low = np.flatnonzero(net[:peak] < 0)
    push = net[(int(low[-1]) if low.size else 0) :]
    velocity = float(push.clip(min=0).sum()) / rate_hz / plate.body_n * 9.81
    return bool(net[peak] > 0.2 * plate.body_n) and velocity > LEAST_PUSH_M_S


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

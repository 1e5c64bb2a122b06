"""Notes on plate and file: zero, drift, noise, range, lost samples, sampling rate."""

from __future__ import annotations

import numpy as np

from countermove.jumps.contacts import Span, joined, runs
from countermove.jumps.heights import GRAVITY_M_S2
from countermove.jumps.margins import height_margin_from_rate
from countermove.jumps.reading import Reading
from countermove.jumps.remarks import (
    DOUBT,
    DOUBT_M,
    NOTE,
    Notes,
    graver,
    in_mm,
    level_n,
    remark,
    velocity_cost_m,
    weight_cost_m,
)

# All our-default.
OFFSET_WORTH_SAYING_N = 0.5  # less changes no printed digit
NOISY_M = 0.006  # take-off unsure beyond what a good plate leaves
LOW_RATE_HZ, SPARSE_RATE_HZ = 200.0, 400.0


def offset(reading: Reading) -> Notes:
    """The empty plate did not read zero."""
    zero = reading.zero
    if abs(zero.offset_n) < OFFSET_WORTH_SAYING_N:
        return
    yield remark(
        "offset",
        NOTE,
        f"The empty plate read {zero.offset_n:+.1f} N ({zero.where}); this was taken off the force."
        " Zero the plate before the athlete steps on.",
        weight_cost_m(reading, 2 * zero.noise_n / np.sqrt(max(1, sum(map(len, zero.spans))))),
    )


def drift(reading: Reading) -> Notes:
    """The empty plate read differently at different times."""
    rate = abs(reading.zero.drift_n_s)
    weighing = reading.weighing
    if rate == 0 or weighing is None:
        return
    middle = (weighing.span.start + weighing.span.stop) / 2
    cost = weight_cost_m(reading, rate * abs(reading.edges.takeoff - middle) / reading.rate_hz)
    yield remark(
        "drift",
        graver(cost > DOUBT_M),
        f"The empty plate drifts by {rate:.1f} N a second; the reading in flight was taken as zero."
        f" This may move the height by {in_mm(cost)}. Let the plate warm up, zero it and repeat.",
        cost,
    )


def noisy(reading: Reading) -> Notes:
    """Noise that hides the end of the push."""
    motion = reading.motion
    if motion is None or not reading.lifts:
        return
    unsure_s = reading.edges.takeoff_sd / reading.rate_hz
    cost = velocity_cost_m(reading, 2 * GRAVITY_M_S2 * unsure_s)
    if cost <= NOISY_M:
        return
    yield remark(
        "noisy",
        graver(cost > DOUBT_M),
        f"The empty plate is noisy ({reading.zero.noise_n:.0f} N), so the instant of take-off is"
        f" unsure by {1000 * unsure_s:.1f} ms and the height by {in_mm(cost)}. Keep the plate off"
        " springy floors and away from machines.",
        cost,
    )


def clipping(reading: Reading) -> Notes:
    """The plate went to its limit."""
    if not reading.flat_tops:
        return
    rate, first, last = reading.rate_hz, reading.start, reading.edges.takeoff
    pushes = [top for top in reading.flat_tops if first <= top.span.start <= last]
    landing = reading.edges.landing
    landings = [t for t in reading.flat_tops if landing is not None and t.span.start >= landing - 2]
    if pushes:
        missed = sum(2 / 3 * top.missed_n * len(top.span) for top in pushes) / rate
        cost = velocity_cost_m(reading, missed * GRAVITY_M_S2 / level_n(reading))
        yield remark(
            "clipping",
            DOUBT,
            "The force is cut off at the top during the push: the plate or its range was at its"
            f" limit. The height is at least about {in_mm(cost)} too low. Use a wider range.",
            cost,
        )
    elif landings:
        yield remark(
            "clipping",
            NOTE,
            "The force is cut off at the top during landing: the landing peak is higher than"
            " printed. The jump height is not harmed. Use a wider range.",
            0.0,
        )


def dropped(reading: Reading) -> Notes:
    """Samples that are not measurements."""
    gaps = [gap for gap in _gaps(reading) if _touches(reading, gap)]
    if not gaps:
        return
    count = sum(map(len, gaps))
    push = [gap for gap in gaps if reading.start <= gap.stop and gap.start <= reading.edges.takeoff]
    cost = velocity_cost_m(reading, sum(_gap_velocity(reading, gap) for gap in push))
    harmed = "the push" if push else "the landing or the weighing"
    yield remark(
        "dropped",
        graver(cost > DOUBT_M / 2 or count > 0.02 * reading.force_n.size),
        f"In {harmed} {count} samples ({1000 * count / reading.rate_hz:.0f} ms) were lost and"
        f" filled or held. This may move the height by {in_mm(cost)}. Check the cable and repeat.",
        cost,
    )


def _gaps(reading: Reading) -> list[Span]:
    """Give stretches that the reader filled in, and held values while the plate was loaded."""
    missing = reading.trace.missing
    filled = runs(missing) if missing.any() else []
    tops = {(top.span.start, top.span.stop) for top in reading.flat_tops}
    held = [span for span in reading.lost if (span.start, span.stop) not in tops]
    return joined(sorted(filled + held, key=lambda span: span.start), 1)


def _touches(reading: Reading, gap: Span) -> bool:
    """Tell whether a gap lies where the jump is measured, on a loaded plate."""
    weighing = reading.weighing
    first = reading.start if weighing is None else min(weighing.span.start, reading.start)
    last = reading.lowest or reading.edges.landing or reading.edges.takeoff
    in_air = gap.start >= reading.edges.takeoff and (
        reading.edges.landing is None or gap.stop <= reading.edges.landing + 1
    )
    return gap.stop > first and gap.start < last and not in_air


def _gap_velocity(reading: Reading, gap: Span) -> float:
    """
    Bound the velocity that a gap in the push may hide. [m/s]

    What stands in the gap against a straight line across it, and half of how much the force moves
    just outside, over the length of the gap.
    """
    force, reach = reading.force_n, len(gap)
    before = force[max(0, gap.start - reach) : gap.start]
    after = force[gap.stop : gap.stop + reach]
    around = np.concatenate((before, after))
    if not before.size or not after.size:
        return 0.0
    line = np.linspace(before[-1], after[0], len(gap) + 2)[1:-1]
    stray = float(np.abs(gap.of(force) - line).mean()) + 0.5 * float(np.ptp(around))
    return len(gap) / reading.rate_hz * stray * GRAVITY_M_S2 / level_n(reading)


def rate(reading: Reading) -> Notes:
    """Too few samples a second."""
    if reading.rate_hz >= SPARSE_RATE_HZ:
        return
    cost = float(height_margin_from_rate(reading.rate_hz))
    yield remark(
        "low-rate",
        graver(reading.rate_hz < LOW_RATE_HZ),
        f"Only {reading.rate_hz:.0f} samples a second: at this rate published comparisons read"
        f" up to {in_mm(cost)} lower than at 1000. Record with 1000 a second.",
        cost,
    )

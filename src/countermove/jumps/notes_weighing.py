"""Notes on the athlete before the jump: weighed long enough, still, and starting from rest."""

from __future__ import annotations

import numpy as np

from countermove.jumps.heights import GRAVITY_M_S2
from countermove.jumps.reading import Reading
from countermove.jumps.remarks import (
    DOUBT,
    DOUBT_M,
    REFUSE,
    Notes,
    graver,
    in_mm,
    remark,
    velocity_cost_m,
    weight_cost_m,
)
from countermove.jumps.weighing import LEAST_S, QUIET_SHARE, Weighing

# All our-default: where a cost in height begins to matter.
SHORT_S = 0.9 * LEAST_S  # weighing is cut into blocks and loses up to a tenth of a second
RESTLESS = 0.7  # of the last half seconds before the onset
MASS_SHARE = 0.02  # a given mass further off than this is doubted whatever it costs


def no_weight(reading: Reading) -> Notes:
    """Nothing to weigh, or a push that does not lift."""
    if reading.motion is None:
        yield remark(
            "no-weighing",
            REFUSE,
            "Nobody stands still on the plate, so the athlete could not be weighed and there is no"
            " height by impulse. Record again with 2 s of quiet standing, or give the body mass.",
        )
    elif not reading.lifts:
        yield remark(
            "no-lift",
            REFUSE,
            "The force before take-off does not add up to an upward push, so the weight or the"
            " zero of the plate is wrong. Record again from quiet standing.",
        )


def weighing_short(reading: Reading) -> Notes:
    """Less than a second of standing before the jump."""
    weighing = reading.weighing
    if reading.motion is None or reading.rebound:
        return
    if weighing is None:
        yield remark(
            "weighing-short",
            DOUBT,
            "There is no quiet standing on the plate, so the mass given was used, and whether the"
            " jump began from rest cannot be told. Stand still for 2 s before the jump.",
        )
        return
    standing_s = _standing_s(reading, weighing)
    if standing_s >= SHORT_S:
        return
    cost = weight_cost_m(reading, 2 * weighing.se_n)
    if weighing.place == "after":
        text = (
            "There is no quiet standing before the jump; the athlete was weighed after landing,"
            " and whether the jump began from rest cannot be told. Stand still for 2 s first."
        )
    else:
        text = (
            f"The athlete stood still for only {standing_s:.1f} s before the jump; weighing needs"
            " 1 s. Record again with 2 s of quiet standing, or give the body mass."
        )
    yield remark("weighing-short", DOUBT, text, cost)


def _standing_s(reading: Reading, weighing: Weighing) -> float:
    """Count quiet standing up to the onset. [s]"""
    if weighing.place == "after":
        return 0.0
    if weighing.place == "hand" or reading.onset is None:
        return weighing.seconds(reading.rate_hz)
    clear = round(0.1 * reading.rate_hz)
    last = min(max(reading.onset.sample, weighing.span.stop), weighing.span.stop + clear)
    return (last - weighing.span.start) / reading.rate_hz


def weighing_unquiet(reading: Reading) -> Notes:
    """Swaying or shifting while weighed."""
    weighing = reading.weighing
    if weighing is None:
        return
    cost = weight_cost_m(reading, 2 * weighing.se_n)
    if weighing.is_quiet and cost <= 2 * DOUBT_M and reading.restless < RESTLESS:
        return
    share = 100 * weighing.unrest_n / weighing.weight_n
    swayed = (
        f"swayed by {share:.1f} % of body weight"
        if not weighing.is_quiet
        else "did not come to rest"
    )
    yield remark(
        "weighing-unquiet",
        DOUBT,
        f"The force {swayed} before the jump; still is below {100 * QUIET_SHARE:.0f} %. The weight"
        f" and the start from rest are unsure, which may move the height by {in_mm(cost)} or more."
        " Ask for stillness, arms at rest, and record again.",
        cost,
    )


def moved_before(reading: Reading) -> Notes:
    """Not at rest between weighing and jump."""
    still = reading.stillness
    if still is None or not still.moved:
        return
    cost = velocity_cost_m(reading, still.velocity_m_s)
    yield remark(
        "moved-before",
        DOUBT,
        "The athlete moved between the quiet standing and the jump, so the jump did not begin from"
        f" rest and time to take-off may be too long. This may cost {in_mm(cost)} of height."
        " Ask for stillness until the jump and repeat.",
        cost,
    )


def rebound(reading: Reading) -> Notes:
    """A jump straight out of a landing."""
    if not reading.rebound:
        return
    yield remark(
        "no-rest",
        DOUBT,
        "This jump follows the landing before without standing between. Its push was integrated"
        " from that landing, so an error of the first jump carries over. Stand still for 2 s"
        " between jumps.",
    )


def weight_changed(reading: Reading) -> Notes:
    """Heavier or lighter after the landing than before the jump."""
    before, after = reading.weighing, reading.later
    if before is None or after is None or before.place == "after" or not after.is_quiet:
        return
    change = after.weight_n - before.weight_n
    unsure = 4 * float(np.hypot(before.se_n, after.se_n))
    cost = weight_cost_m(reading, change)
    if abs(change) <= unsure or cost <= DOUBT_M:
        return
    yield remark(
        "weight-changed",
        graver(cost > 1.5 * DOUBT_M),
        f"The athlete weighs {change:+.0f} N after the landing compared with before the jump. A"
        f" foot off the plate, a hand on something or drift does this; it may cost {in_mm(cost)}.",
        cost,
    )


def mass_differs(reading: Reading) -> Notes:
    """The given mass is not what the plate weighs."""
    weighing = reading.weighing
    if reading.mass_kg is None or weighing is None:
        return
    weighed = weighing.weight_n / GRAVITY_M_S2
    apart = reading.mass_kg - weighed
    cost = weight_cost_m(reading, apart * GRAVITY_M_S2)
    good = weighing.is_quiet and _standing_s(reading, weighing) >= SHORT_S
    doubted = abs(apart) > MASS_SHARE * weighed or (good and cost > DOUBT_M)
    if abs(apart) < 0.002 * weighed and not doubted:
        return
    yield remark(
        "mass-differs",
        graver(doubted),
        f"The mass given is {reading.mass_kg:.1f} kg, the plate weighs {weighed:.1f} kg. The given"
        f" mass was used, which may move the height by {in_mm(cost)}. Check clothes, shoes and"
        " scale; where the weighing is quiet, trust the plate.",
        cost,
    )

"""
What is wrong with a recording, in words.

A note weighs by what it harms: a `doubt` means that the jump height by impulse (or a number that
stands beside it) may be off by more than a retest would show; a `note` is worth knowing and costs
little; `refuse` means that there is no height by impulse at all. Codes last; texts may change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from countermove.jumps.contacts import Span, runs
from countermove.jumps.heights import GRAVITY_M_S2
from countermove.jumps.margins import (
    height_error_from_velocity,
    height_error_from_weight,
    height_margin_from_rate,
)
from countermove.jumps.reading import Reading
from countermove.jumps.weighing import LEAST_S, QUIET_SHARE, Weighing
from countermove.record import JumpKind, QualityNote, Severity

DOUBT, NOTE, REFUSE = Severity.DOUBT, Severity.NOTE, Severity.REFUSE
Notes = Iterator[QualityNote]

# All our-default unless said; each is where a cost in height begins to matter (about 1 cm).
DOUBT_M = 0.01  # a cost above this is doubted
SHORT_S = 0.9 * LEAST_S  # weighing is cut into blocks and loses up to a tenth of a second
OFFSET_WORTH_SAYING_N = 0.5
NOISY_M = 0.006  # take-off unsure beyond what a good plate leaves
LOW_RATE_HZ, SPARSE_RATE_HZ = 200.0, 400.0
VELOCITY_M_S = (1.0, 4.5)  # outside this no person leaves the floor in a test
DEEP_NOTE_M, DEEP_DOUBT_M = 0.02, 0.04  # flight height above impulse height
UNDER_M = 0.02  # flight height below impulse height: no landing explains it
RESTLESS = 0.7  # of the last half seconds before the onset
MASS_SHARE = 0.02
DROP_M = 0.01  # squat jump: common practice
SHALLOW_M = 0.05


def notes_on(reading: Reading) -> tuple[QualityNote, ...]:
    """Give all notes on one jump, gravest first."""
    found = [note for look in LOOKS for note in look(reading)]
    order = list(Severity)
    return tuple(sorted(found, key=lambda note: -order.index(note.severity)))


def _note(code: str, severity: Severity, text: str, cost: float | None = None) -> QualityNote:
    return QualityNote(code=code, severity=severity, text=text, may_cost_m=cost)


def _graver(doubted: bool) -> Severity:
    return DOUBT if doubted else NOTE


def _mm(metres: float) -> str:
    return f"{1000 * metres:.0f} mm"


def weight_cost_m(reading: Reading, error_n: float) -> float:
    """How far a weight wrong by `error_n` moves the height by impulse. [m]"""
    motion = reading.motion
    if motion is None or not reading.lifts:
        return 0.0
    relative = -abs(error_n) / motion.weight_n
    velocity = motion.takeoff_velocity_m_s
    return abs(float(height_error_from_weight(relative, reading.push_s, velocity)))


def velocity_cost_m(reading: Reading, error_m_s: float) -> float:
    """How far a take-off velocity wrong by `error_m_s` moves the height by impulse. [m]"""
    motion = reading.motion
    if motion is None or not reading.lifts:
        return 0.0
    return abs(float(height_error_from_velocity(abs(error_m_s), motion.takeoff_velocity_m_s)))


def no_weight(reading: Reading) -> Notes:
    """Nothing to weigh, or a push that does not lift."""
    if reading.motion is None:
        yield _note(
            "no-weighing",
            REFUSE,
            "Nobody stands still on the plate, so the athlete could not be weighed and there is no"
            " height by impulse. Record again with 2 s of quiet standing, or give the body mass.",
        )
    elif not reading.lifts:
        yield _note(
            "no-lift",
            REFUSE,
            "The force before take-off does not add up to an upward push, so the weight or the"
            " zero of the plate is wrong. Record again from quiet standing.",
        )


def weighing_short(reading: Reading) -> Notes:
    """Less than a second of standing before the jump."""
    weighing = reading.weighing
    if weighing is None or reading.rebound:
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
    yield _note("weighing-short", DOUBT, text, cost)


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
    yield _note(
        "weighing-unquiet",
        DOUBT,
        f"The force {swayed} before the jump; still is below {100 * QUIET_SHARE:.0f} %. The weight"
        f" and the start from rest are unsure, which may move the height by {_mm(cost)} or more."
        " Ask for stillness, arms at rest, and record again.",
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
    yield _note(
        "noisy",
        _graver(cost > DOUBT_M),
        f"The empty plate is noisy ({reading.zero.noise_n:.0f} N), so the instant of take-off is"
        f" unsure by {1000 * unsure_s:.1f} ms and the height by {_mm(cost)}. Keep the plate off"
        " springy floors and away from machines.",
        cost,
    )


def offset(reading: Reading) -> Notes:
    """The empty plate did not read zero."""
    zero = reading.zero
    if abs(zero.offset_n) < OFFSET_WORTH_SAYING_N:
        return
    yield _note(
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
    yield _note(
        "drift",
        _graver(cost > DOUBT_M),
        f"The empty plate drifts by {rate:.1f} N a second; the reading in flight was taken as zero."
        f" This may move the height by {_mm(cost)}. Let the plate warm up, zero it and repeat.",
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
        cost = velocity_cost_m(reading, missed * GRAVITY_M_S2 / _level(reading))
        yield _note(
            "clipping",
            DOUBT,
            "The force is cut off at the top during the push: the plate or its range was at its"
            f" limit. The height is at least about {_mm(cost)} too low. Use a wider range.",
            cost,
        )
    elif landings:
        yield _note(
            "clipping",
            NOTE,
            "The force is cut off at the top during landing: the landing peak is higher than"
            " printed. The jump height is not harmed. Use a wider range.",
            0.0,
        )


def _level(reading: Reading) -> float:
    """Body weight, as used. [N]"""
    if reading.motion is not None:
        return reading.motion.weight_n
    return reading.weighing.weight_n if reading.weighing is not None else 1.0


def dropped(reading: Reading) -> Notes:
    """Samples that are not measurements."""
    gaps = [gap for gap in _gaps(reading) if _touches(reading, gap)]
    if not gaps:
        return
    count = sum(map(len, gaps))
    push = [gap for gap in gaps if reading.start <= gap.stop and gap.start <= reading.edges.takeoff]
    cost = velocity_cost_m(reading, sum(_gap_velocity(reading, gap) for gap in push))
    harmed = "the push" if push else "the landing or the weighing"
    yield _note(
        "dropped",
        _graver(cost > DOUBT_M / 2 or count > 0.02 * reading.force_n.size),
        f"{count} samples ({1000 * count / reading.rate_hz:.0f} ms) were lost in {harmed} and"
        f" filled or held. This may move the height by {_mm(cost)}. Check the cable and repeat.",
        cost,
    )


def _gaps(reading: Reading) -> list[Span]:
    """Give stretches that the reader filled in, and held values while the plate was loaded."""
    missing = reading.trace.missing
    filled = runs(missing) if missing.any() else []
    tops = {(top.span.start, top.span.stop) for top in reading.flat_tops}
    held = [span for span in reading.lost if (span.start, span.stop) not in tops]
    return filled + held


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
    """How much velocity a gap in the push may hide: half its length times the change of force."""
    reach = len(gap)
    around = reading.force_n[max(0, gap.start - reach) : gap.stop + reach]
    change = float(around.max() - around.min())
    return 0.5 * len(gap) / reading.rate_hz * change * GRAVITY_M_S2 / _level(reading)


def moved_before(reading: Reading) -> Notes:
    """Not at rest between weighing and jump."""
    still = reading.stillness
    if still is None or not still.moved:
        return
    cost = velocity_cost_m(reading, still.velocity_m_s)
    yield _note(
        "moved-before",
        DOUBT,
        "The athlete moved between the quiet standing and the jump, so the jump did not begin from"
        f" rest and time to take-off may be too long. This may cost {_mm(cost)} of height. Ask for"
        " stillness until the jump and repeat.",
        cost,
    )


def rebound(reading: Reading) -> Notes:
    """A jump straight out of a landing."""
    if not reading.rebound:
        return
    yield _note(
        "no-rest",
        DOUBT,
        "This jump follows the landing before without standing between. Its push was integrated"
        " from that landing, so an error of the first jump carries over. Stand still for 2 s"
        " between jumps.",
    )


def heights_apart(reading: Reading) -> Notes:
    """Flight time and impulse tell different heights."""
    by_flight, by_impulse = reading.height_flight_m, reading.height_impulse_m
    if by_flight is None or by_impulse is None:
        return
    apart = by_flight - by_impulse
    if apart > DEEP_NOTE_M:
        yield _note(
            "landed-deep",
            _graver(apart > DEEP_DOUBT_M),
            f"The height by flight time is {_mm(apart)} above the height by impulse. The usual"
            " reason is landing with bent knees or pulled-up toes, which lengthens the flight and"
            " leaves the impulse height unharmed. Ask for landing on stretched legs, toes first.",
            apart,
        )
    elif apart < -UNDER_M:
        yield _note(
            "heights-disagree",
            DOUBT,
            f"The height by flight time is {_mm(-apart)} below the height by impulse, which no"
            " landing explains: the weight, the zero or the start of the jump is wrong. Repeat.",
            -apart,
        )


def rate(reading: Reading) -> Notes:
    """Too few samples a second."""
    if reading.rate_hz >= SPARSE_RATE_HZ:
        return
    cost = float(height_margin_from_rate(reading.rate_hz))
    yield _note(
        "low-rate",
        _graver(reading.rate_hz < LOW_RATE_HZ),
        f"{reading.rate_hz:.0f} samples a second are few: at this rate published comparisons read"
        f" up to {_mm(cost)} lower than at 1000. Record with 1000 a second.",
        cost,
    )


def landing(reading: Reading) -> Notes:
    """The recording ends, or the plate stays empty, before the landing is over."""
    if reading.edges.landing is None:
        yield _note(
            "no-landing",
            NOTE,
            "No landing on the plate follows, so there is no flight time and no second look at"
            " the height by impulse, which itself is not harmed. Land on the plate and record for"
            " 2 s after it.",
        )
    elif reading.lowest is None:
        yield _note(
            "landing-cut",
            NOTE,
            "The recording ends during the landing, so its peak is not given. The jump height is"
            " not harmed. Record for 2 s after landing.",
        )


def velocity_range(reading: Reading) -> Notes:
    """A take-off velocity that no test jump has."""
    motion = reading.motion
    if motion is None or not reading.lifts:
        return
    velocity = motion.takeoff_velocity_m_s
    if VELOCITY_M_S[0] <= velocity <= VELOCITY_M_S[1]:
        return
    yield _note(
        "velocity-range",
        DOUBT,
        f"A take-off velocity of {velocity:.2f} m/s is outside {VELOCITY_M_S[0]} to"
        f" {VELOCITY_M_S[1]} m/s. Check the unit and whether this was a jump or a hop.",
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
    yield _note(
        "weight-changed",
        _graver(cost > 1.5 * DOUBT_M),
        f"The athlete weighs {change:+.0f} N after the landing compared with before the jump. A"
        f" foot off the plate, a hand on something or drift does this; it may cost {_mm(cost)}.",
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
    yield _note(
        "mass-differs",
        _graver(doubted),
        f"The mass given is {reading.mass_kg:.1f} kg, the plate weighs {weighed:.1f} kg. The given"
        f" mass was used, which may move the height by {_mm(cost)}. Check clothes, shoes and scale;"
        " where the weighing is quiet, trust the plate.",
        cost,
    )


def countermovement(reading: Reading) -> Notes:
    """A squat jump that dips, or a countermovement jump that does not."""
    motion, onset = reading.motion, reading.onset
    if motion is None or onset is None or not reading.kind_was_given:
        return
    drop = -float(motion.position_m.min())
    if reading.kind is JumpKind.SJ and (onset.dip is not None or drop > DROP_M):
        yield _note(
            "countermovement",
            DOUBT,
            f"The athlete dipped by {_mm(max(drop, 0.0))} before the push, so this is not a squat"
            " jump. Hold the bottom for 2 s, push without dipping, and repeat.",
        )
    elif reading.kind is not JumpKind.SJ and drop < SHALLOW_M:
        yield _note(
            "no-countermovement",
            DOUBT,
            f"The athlete went down by only {_mm(max(drop, 0.0))} before the push; a"
            " countermovement jump goes deeper. Check which jump was asked for.",
        )


def kind_told(reading: Reading) -> Notes:
    """Nobody named the jump."""
    if reading.kind_was_given or reading.motion is None:
        return
    name = "a squat jump" if reading.kind is JumpKind.SJ else "a countermovement jump"
    yield _note(
        "kind-told",
        NOTE,
        f"Nobody named the jump; its shape is that of {name}. Whether arms swung cannot be told.",
    )


LOOKS: tuple[Callable[[Reading], Notes], ...] = (
    no_weight,
    weighing_short,
    weighing_unquiet,
    moved_before,
    noisy,
    rebound,
    clipping,
    dropped,
    drift,
    weight_changed,
    mass_differs,
    heights_apart,
    velocity_range,
    countermovement,
    rate,
    landing,
    offset,
    kind_told,
)

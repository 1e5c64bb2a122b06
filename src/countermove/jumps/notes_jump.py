"""Notes on the jump itself: flight against impulse, landing, speed, and which jump it is."""

from __future__ import annotations

from countermove.jumps.reading import Reading
from countermove.jumps.remarks import DOUBT, NOTE, Notes, graver, in_mm, remark
from countermove.record import JumpKind

# All our-default unless said.
VELOCITY_M_S = (1.0, 4.5)  # outside this no person leaves the floor in a test
DEEP_NOTE_M, DEEP_DOUBT_M = 0.02, 0.04  # flight height above impulse height
PUSH_LOST_M = 0.12  # landing in a deep crouch lengthens the flight by about 10 cm of height
UNDER_M = 0.02  # flight height below impulse height: no landing explains it
DROP_M = 0.01  # squat jump: common practice
SHALLOW_M = 0.05  # a countermovement less deep is none


def heights_apart(reading: Reading) -> Notes:
    """Flight time and impulse tell different heights."""
    by_flight, by_impulse = reading.height_flight_m, reading.height_impulse_m
    if by_flight is None or by_impulse is None:
        return
    apart = by_flight - by_impulse
    if apart > DEEP_NOTE_M:
        yield remark("landed-deep", graver(apart > DEEP_DOUBT_M), _above(apart), apart)
    elif apart < -UNDER_M:
        yield remark(
            "heights-disagree",
            DOUBT,
            f"The height by flight time is {in_mm(-apart)} below the height by impulse, which no"
            " landing explains: the weight, the zero or the start of the jump is wrong. Repeat.",
            -apart,
        )


def _above(apart_m: float) -> str:
    """Say what a flight height above the impulse height can come from."""
    met = f"The height by flight time is {in_mm(apart_m)} above the height by impulse."
    if apart_m > PUSH_LOST_M:
        return (
            f"{met} No landing explains that much: part of the push was not recorded, or the"
            " weight is wrong. Use neither height; record again."
        )
    return (
        f"{met} The usual reason is landing with bent knees or pulled-up toes, which lengthens the"
        " flight and leaves the impulse height unharmed. Ask for landing on stretched legs, toes"
        " first."
    )


def landing(reading: Reading) -> Notes:
    """The recording ends, or the plate stays empty, before the landing is over."""
    if reading.edges.landing is None:
        yield remark(
            "no-landing",
            NOTE,
            "No landing on the plate follows, so there is no flight time and no second look at"
            " the height by impulse, which itself is not harmed. Land on the plate and record for"
            " 2 s after it.",
        )
    elif reading.lowest is None:
        yield remark(
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
    yield remark(
        "velocity-range",
        DOUBT,
        f"A take-off velocity of {velocity:.2f} m/s is outside {VELOCITY_M_S[0]} to"
        f" {VELOCITY_M_S[1]} m/s. Check the unit and whether this was a jump or a hop.",
    )


def countermovement(reading: Reading) -> Notes:
    """A squat jump that dips, or a countermovement jump that does not."""
    motion, onset = reading.motion, reading.onset
    if motion is None or onset is None or not reading.kind_was_given:
        return
    drop = -float(motion.position_m.min())
    if reading.kind is JumpKind.SJ and (onset.dip is not None or drop > DROP_M):
        yield remark(
            "countermovement",
            DOUBT,
            f"The athlete dipped by {in_mm(max(drop, 0.0))} before the push, so this is not a squat"
            " jump. Hold the bottom for 2 s, push without dipping, and repeat.",
        )
    elif reading.kind is not JumpKind.SJ and drop < SHALLOW_M:
        yield remark(
            "no-countermovement",
            DOUBT,
            f"The athlete went down by only {in_mm(max(drop, 0.0))} before the push; a"
            " countermovement jump goes deeper. Check which jump was asked for.",
        )


def kind_told(reading: Reading) -> Notes:
    """Nobody named the jump."""
    if reading.kind_was_given or reading.motion is None:
        return
    name = "a squat jump" if reading.kind is JumpKind.SJ else "a countermovement jump"
    yield remark(
        "kind-told",
        NOTE,
        f"Nobody named the jump; its shape is that of {name}. Whether arms swung cannot be told.",
    )

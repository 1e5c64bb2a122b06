"""What all notes share: how one is made, and what a wrong weight or velocity costs in height."""

from __future__ import annotations

from collections.abc import Iterator

from countermove.jumps.margins import height_error_from_velocity, height_error_from_weight
from countermove.jumps.reading import Reading
from countermove.record import QualityNote, Severity

DOUBT, NOTE, REFUSE = Severity.DOUBT, Severity.NOTE, Severity.REFUSE
Notes = Iterator[QualityNote]

DOUBT_M = 0.01  # a cost in height above this is doubted (our-default)


def remark(code: str, severity: Severity, text: str, cost: float | None = None) -> QualityNote:
    """Make a note."""
    return QualityNote(code=code, severity=severity, text=text, may_cost_m=cost)


def graver(doubted: bool) -> Severity:
    """Give a doubt or a note."""
    return DOUBT if doubted else NOTE


def in_mm(metres: float) -> str:
    """Write a length for a sentence; nobody reads off less than a millimetre."""
    return f"{1000 * metres:.0f} mm" if metres >= 0.001 else "less than 1 mm"


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


def level_n(reading: Reading) -> float:
    """Body weight, as used. [N]"""
    if reading.motion is not None:
        return reading.motion.weight_n
    return reading.weighing.weight_n if reading.weighing is not None else 1.0

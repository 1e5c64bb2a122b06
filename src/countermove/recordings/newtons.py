"""
Forces to newtons, upward positive: unit, sign, and whether a human stands on the plate.

A heading's word is taken where somebody could weigh that. Without a word the size decides, but only
where one unit alone makes it the weight of a standing human.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.record import MASS_KG, QualityNote, Severity
from countermove.recordings.behaviour import level_of
from countermove.units import UNITS

LIGHTEST_KG, HEAVIEST_KG = 25.0, 200.0  # our default: a standing athlete, child to heavyweight
# Beyond this a stated unit cannot be true: anybody the record allows, on a plate that is a little
# out or with a weight in the hands (our default).
LEAST_KG, MOST_KG = MASS_KG[0] - 2, MASS_KG[1] + 50
# Standing is 1 body weight by definition; the level is read from samples in motion too.
RELATIVE_LOW, RELATIVE_HIGH = 0.8, 1.25
BELOW_ZERO = 0.3  # of the level: a plate pushes, it does not pull
BELOW_ZERO_S = 0.05  # longer than a plate rings after it is left
COUNTS = 0.05  # of the whole level: a plate below this carries nobody, so its sign means nothing


@dataclass(frozen=True)
class Newtons:
    """Force in newtons, upward positive, and what was turned over."""

    force_n: NDArray[np.float64]
    notes: tuple[QualityNote, ...]


def in_newtons(
    force: NDArray[np.float64], units: tuple[str, ...], told: str | None, rate_hz: float
) -> Newtons:
    """
    Bring the plates to newtons, upward positive.

    Parameters
    ----------
    force : ndarray, shape (n_plates, n_samples)
        As the file has it; changed in place.
    units : tuple of str, length n_plates
        What headings or the lines above say; empty where they say nothing.
    told : str, optional
        The caller's word.
    rate_hz : float
        Samples a second. [Hz]

    Raises
    ------
    AmbiguousRecording
        If the unit is open, or nobody could weigh what it makes; the flag is ``--unit``.
    UnreadableRecording
        If the force is relative or raw, never changes, or goes far below zero.
    """
    notes = _turn_over(force)
    total = force.sum(axis=0)
    level = level_of(total)
    _refuse_flat(total, level)
    _refuse_pulling(total, level, rate_hz)
    factors, found = _newtons_each(level, units, told)
    if any(factor != 1.0 for factor in factors):
        force *= np.asarray(factors)[:, None]
    return Newtons(force, notes + found)


def _turn_over(force: NDArray[np.float64]) -> tuple[QualityNote, ...]:
    """Turn plates over that count downward force positive."""
    levels = [level_of(plate) for plate in force]
    whole = sum(map(abs, levels))
    turned = [i for i, level in enumerate(levels) if level < -COUNTS * whole]
    if not turned:
        return ()
    one_sign = all(i in turned or abs(levels[i]) <= COUNTS * whole for i in range(len(levels)))
    for i in range(len(levels)) if one_sign else turned:
        np.negative(force[i], out=force[i])
    which = "The force was" if one_sign else "The force of one plate was"
    return (
        QualityNote(
            code="sign-turned",
            severity=Severity.NOTE,
            text=f"{which} negative under the standing athlete; its sign was turned over.",
        ),
    )


def _refuse_flat(total: NDArray[np.float64], level: float) -> None:
    if float(total.max()) - float(total.min()) <= 1e-9 * abs(level):
        raise UnreadableRecording(
            f"the force never changes (always {total[0]:g}); the plate did not record, or another"
            " channel was exported"
        )


def _refuse_pulling(total: NDArray[np.float64], level: float, rate_hz: float) -> None:
    below = np.count_nonzero(total < -BELOW_ZERO * level)
    if below > max(3.0, BELOW_ZERO_S * rate_hz):
        raise UnreadableRecording(
            f"the force is far below zero for {below / rate_hz:.2f} s, and a plate cannot pull: it"
            " was set to zero with the athlete on it, or this is not the vertical force; zero the"
            " plate empty and record again, or pass --columns"
        )


def _newtons_each(
    level: float, units: tuple[str, ...], told: str | None
) -> tuple[list[float], tuple[QualityNote, ...]]:
    if told is not None:
        return [UNITS[told].si] * len(units), ()
    named = [unit for unit in units if unit]
    _refuse_not_a_force(named)
    if not named:
        unit = _unit_by_size(level)
        return [UNITS[unit].si] * len(units), (_unit_note(unit, level),)
    if len(named) < len(units) and len(set(named)) > 1:
        raise AmbiguousRecording(
            f"the plates name different units ({', '.join(named)}), and one none; pass --unit",
            flag="--unit",
        )
    factors = [UNITS[unit or named[0]].si for unit in units]
    if len(set(factors)) == 1:
        _refuse_impossible(level, named[0])
    return factors, ()


def _refuse_not_a_force(named: list[str]) -> None:
    if "relative" in named:
        raise UnreadableRecording(
            "the force is given in multiples of body weight or of body mass; export it in newtons,"
            " the athlete's weight is read from it"
        )
    if "raw" in named:
        raise UnreadableRecording(
            "the columns hold the amplifier's volts or counts; export the calibrated force in"
            " newtons"
        )


def _mass_kg(level: float, unit: str) -> float:
    """Give whose weight a level is; one kilogram-force is the weight of one kilogram. [kg]"""
    return level * UNITS[unit].si / UNITS["kgf"].si


def _plain(level: float) -> str:
    """Write a level with three digits, and never as a power of ten."""
    return f"{level:.0f}" if level >= 1000 else f"{level:.3g}"


def _unit_by_size(level: float) -> str:
    fitting = [
        unit
        for unit in ("N", "kN", "kgf", "lbf")
        if LIGHTEST_KG <= _mass_kg(level, unit) <= HEAVIEST_KG
    ]
    relative = RELATIVE_LOW <= level <= RELATIVE_HIGH
    if len(fitting) == 1 and not relative:
        return fitting[0]
    if relative:
        raise AmbiguousRecording(
            f"the file names no unit and the force stands at {_plain(level)}: kilonewtons"
            f" ({_mass_kg(level, 'kN'):.0f} kg) or multiples of body weight; pass --unit kN, or"
            " export in newtons",
            flag="--unit",
        )
    masses = ", ".join(f"{unit} ({_mass_kg(level, unit):.0f} kg)" for unit in fitting)
    asked = f"it may be {masses}" if fitting else "no unit makes that a human's weight"
    raise AmbiguousRecording(
        f"the file names no unit and the force stands at {_plain(level)}: {asked}; pass --unit N,"
        " kN, kgf or lbf",
        flag="--unit",
    )


def _unit_note(unit: str, level: float) -> QualityNote:
    return QualityNote(
        code="unit-found",
        severity=Severity.NOTE,
        text=f"The file names no unit; the force stands at {_plain(level)}, which only {unit} makes"
        f" a human's weight (about {_mass_kg(level, unit):.0f} kg).",
    )


def _refuse_impossible(level: float, unit: str) -> None:
    mass = _mass_kg(level, unit)
    if not LEAST_KG <= mass <= MOST_KG:
        raise AmbiguousRecording(
            f"the file says {unit}, but the force stands at {_plain(level)}, which would be"
            f" {mass:.3g} kg: either nobody stood on the plate, or the unit is another one; pass"
            " --unit",
            flag="--unit",
        )

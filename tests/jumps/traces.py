"""Force traces for the tests: the exact rectangular jump, and short ways to make simulated ones."""

from dataclasses import replace

import numpy as np

from countermove.club.jumper import Jump, Plan, Plates, Simulated, simulate
from countermove.record import Side
from countermove.recordings import ForceTrace

G = 9.81
WEIGHT_N = 70 * G
# reference, 1.2: force over body weight, and until when; landing and standing added.
STEPS = ((1.00, 1.00), (0.60, 1.25), (2.00, 1.61), (0.00, 2.13))
TAKEOFF_M_S = 2.5506


def trace_of(force_n, rate_hz=1000.0, *, start_s=0.0, sides=None, missing=None) -> ForceTrace:
    force = np.atleast_2d(np.asarray(force_n, dtype=float))
    return ForceTrace(
        force_n=force,
        rate_hz=rate_hz,
        start_s=start_s,
        sides=sides or (None,) * force.shape[0],
        missing=np.zeros(force.shape[1], dtype=bool) if missing is None else missing,
    )


def rectangle(rate_hz=1000.0) -> ForceTrace:
    """Give the jump made of four constant forces, then a landing that stops it and standing."""
    stop_s = 0.3
    landing = 1 + 1.05 * TAKEOFF_M_S / G / stop_s  # a little more than stops it
    # Sample centres stand a hair after the step, so that every rate sees the same edges.
    t = np.arange(round(4.43 * rate_hz)) / rate_hz + 1e-9
    shape = np.select(
        [t < STEPS[0][1], t < STEPS[1][1], t < STEPS[2][1], t < STEPS[3][1], t < 2.13 + stop_s],
        [STEPS[0][0], STEPS[1][0], STEPS[2][0], STEPS[3][0], landing],
        1.0,
    )
    return trace_of(WEIGHT_N * shape, rate_hz)


def quiet_plan(**changes) -> Plan:
    """Give a good recording: little noise, little sway, one jump."""
    jump = changes.pop("jump", Jump())
    plates = changes.pop("plates", Plates(noise_n=1.0))
    return replace(Plan(jumps=(jump,), plates=plates, sway_share=0.001), **changes)


def made(seed=1, **changes) -> Simulated:
    return simulate(quiet_plan(**changes), seed)


def codes(trial) -> set[str]:
    return {note.code for note in trial.quality}


def doubts(trial) -> set[str]:
    return {note.code for note in trial.quality if note.severity != "note"}


def note(trial, code):
    return next(note for note in trial.quality if note.code == code)


LEFT_RIGHT = (Side.LEFT, Side.RIGHT)

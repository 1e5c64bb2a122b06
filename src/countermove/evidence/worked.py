"""Worked cases that take more than one call, built from the numbers that the source gives."""

from __future__ import annotations

import numpy as np

from countermove.jumps import analyse_jumps
from countermove.record import JumpKind, Trial
from countermove.recordings import ForceTrace


def rectangular_jump(rate_hz: float = 1000.0, mass_kg: float = 70.0) -> Trial:
    """
    Analyse the countermovement jump whose force is made of rectangles: every number is exact.

    Force over body weight: 1.00 for 1.00 s, 0.60 for 0.25 s, 2.00 for 0.36 s, 0 for 0.52 s, then a
    landing that is not part of the case. g = 9.81 m/s².

    Parameters
    ----------
    rate_hz : float
        Sampling rate. [Hz]
    mass_kg : float
        Body mass. [kg]
    """
    steps = ((1.00, 1.00), (0.60, 0.25), (2.00, 0.36), (0.00, 0.52), (2.50, 0.20), (1.00, 1.00))
    ratios = np.concatenate([np.full(round(rate_hz * span), ratio) for ratio, span in steps])
    force_n = (mass_kg * 9.81 * ratios)[np.newaxis, :]
    trace = ForceTrace(
        force_n=force_n,
        rate_hz=rate_hz,
        start_s=0.0,
        sides=(None,),
        missing=np.zeros(force_n.shape[1], dtype=bool),
    )
    return analyse_jumps(trace, kind=JumpKind.CMJ)[0]

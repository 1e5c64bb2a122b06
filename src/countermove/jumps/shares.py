"""
What each foot does, from two plates of known side.

A share is the left foot's part of the whole force, 0 to 1, over a phase (its gross impulse) or at
the landing peak. Which foot stood on which plate must come from the file or the person.
"""

from __future__ import annotations

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Span
from countermove.record import Side
from countermove.recordings import ForceTrace


def left_of(trace: ForceTrace, empty: tuple[Span, ...]) -> Floats | None:
    """
    Force under the left foot with the empty plate at zero, shape (n_samples,). [N]

    None unless every plate has a known side and both sides are there.
    """
    if set(trace.sides) != {Side.LEFT, Side.RIGHT}:
        return None
    rows = [row for row, side in enumerate(trace.sides) if side is Side.LEFT]
    left = trace.force_n[rows[0]] if len(rows) == 1 else trace.force_n[rows].sum(axis=0)
    count = sum(len(span) for span in empty)
    offset = sum(float(span.of(left).sum()) for span in empty) / count
    return np.asarray(left - offset)


def share_of_impulse(part_n: Floats, whole_n: Floats, first: float, last: float) -> float | None:
    """Give part over whole of the impulse between two instants. [samples]; None if there is none"""
    start, stop = int(np.ceil(first)), int(np.floor(last)) + 1
    whole = float(whole_n[start:stop].sum())
    return float(part_n[start:stop].sum()) / whole if stop > start and whole > 0 else None

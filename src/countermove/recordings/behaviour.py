"""
What a column does, where no heading says what it is.

A force stands at one weight and falls to about nothing while the athlete is in the air; a time
rises evenly; a counter rises by one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

LOOKED_AT = 1000  # values of a column are enough to tell what it does
LOADED = 0.2  # of the column's reach: above this the plate carries somebody
EMPTY = 0.12  # of the standing level: below this the plate is about empty
EVEN = 0.5  # of a step: printed times may be rounded by this much


def level_of(force: NDArray[np.float64]) -> float:
    """
    Give the level at which a force stands, with its sign; 0 where there is none.

    Parameters
    ----------
    force : ndarray, shape (n_samples,)
        In any unit; NaN is passed over.

    Returns
    -------
    float
        The median of the samples in which the plate carries somebody.
    """
    some = force[:: max(1, force.size // LOOKED_AT)]
    reach = np.abs(some)
    top = float(np.fmax.reduce(reach, initial=0.0))
    loaded = some[reach > LOADED * top]
    middle = loaded.size // 2
    return float(np.partition(loaded, middle)[middle]) if loaded.size else 0.0


def acts_as_force(column: NDArray[np.float64]) -> bool:
    """Say whether a column stands at a level and falls to about nothing."""
    some = _known(column)
    some = some[:: max(1, some.size // LOOKED_AT)]
    level = level_of(some)
    if some.size < 10 or level == 0:
        return False
    upright = some * np.sign(level)
    size = abs(level)
    empty = np.count_nonzero(np.abs(upright) < EMPTY * size)
    below = np.count_nonzero(upright < -EMPTY * size)
    standing = np.count_nonzero(np.abs(upright - size) < 0.5 * size)
    return bool(empty >= 0.005 * some.size and below <= 0.02 * some.size and standing > empty / 20)


def rises_evenly(column: NDArray[np.float64]) -> bool:
    """Say whether a column is a time or a counter: it rises, in steps of one size."""
    if column.size < 3 or not np.isfinite(column).all():
        return False
    steps = np.diff(column)
    middle = float(np.median(steps))
    near = np.abs(steps - middle) <= EVEN * middle + 1e-12
    return bool(middle > 0 and np.count_nonzero(near) >= 0.9 * steps.size)


def counts_rows(column: NDArray[np.float64]) -> bool:
    """Say whether a column rises by exactly one."""
    return rises_evenly(column) and bool(np.median(np.diff(column)) == 1)


def is_sum(total: NDArray[np.float64], parts: list[NDArray[np.float64]]) -> bool:
    """
    Say whether one column is the sum of the others.

    Exports round each column by itself, so the sum is off by a little.
    """
    rest = _known(np.abs(total - np.sum(parts, axis=0)))
    size = abs(level_of(total))
    return bool(size > 0 and rest.size and np.quantile(rest, 0.99) < 0.005 * size)


def is_alike(one: NDArray[np.float64], other: NDArray[np.float64]) -> bool:
    """Say whether two columns may be the same force, once raw and once smoothed."""
    rest = _known(np.abs(one - other))
    size = max(abs(level_of(one)), abs(level_of(other)))
    return bool(size > 0 and rest.size and np.median(rest) < 0.02 * size)


def _known(column: NDArray[np.float64]) -> NDArray[np.float64]:
    return column[np.isfinite(column)]

"""Refusals shared by the formulas: an impossible value raises, NaN (not measured) passes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from countermove.errors import BadInput

Floats = NDArray[np.float64]


def not_negative(name: str, value: ArrayLike) -> Floats:
    """Give `value` as an array; raise `BadInput` if any of it is below zero."""
    array = np.asarray(value, dtype=np.float64)
    if np.any(array < 0):
        raise BadInput(f"{name} is {array.min():g}; it cannot be below zero, check its sign")
    return array


def positive(name: str, value: ArrayLike) -> Floats:
    """Give `value` as an array; raise `BadInput` if any of it is zero or below."""
    array = np.asarray(value, dtype=np.float64)
    if np.any(array <= 0):
        raise BadInput(f"{name} is {array.min():g}; it must be above zero, check its unit and sign")
    return array

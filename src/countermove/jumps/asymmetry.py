"""
Left against right: the indices in use, each by its own formula.

They give different numbers for the same legs (150 against 165 reads 4.8, 9.1 or 9.5 %), so a page
names its index. A difference counts only if it is larger than the leg's own trial-to-trial
variation, and the claim that more than 15 % injures is weakly supported (Bishop et al. 2018).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from countermove.jumps.checks import Floats, not_negative, positive


def limb_symmetry_percent(involved: ArrayLike, uninvolved: ArrayLike) -> Floats:
    """
    Limb symmetry index: involved (or worse) leg in per cent of the other. [%]

    Above 90 % is the usual pass mark, which only about a quarter of uninjured athletes reach in
    every test (Markström et al. 2022).

    Raises
    ------
    BadInput
        If the uninvolved value is not above zero, or the involved is negative.

    References
    ----------
    .. [1] A. Gokeler et al., 2017, PMC5315711.
    .. [2] J. L. Markström et al., 2022, PMC9808831.
    """
    return 100 * not_negative("involved", involved) / positive("uninvolved", uninvolved)


def percent_difference(left: ArrayLike, right: ArrayLike) -> Floats:
    """
    Difference in per cent of the larger value, for one-legged tests. [%]

    Raises
    ------
    BadInput
        If either value is not above zero.

    References
    ----------
    .. [1] C. Bishop et al., Strength Cond. J., vol. 40(4), pp. 1-6, 2018 (from memory).
    """
    one, other = positive("left", left), positive("right", right)
    larger = np.maximum(one, other)
    return 100 * (larger - np.minimum(one, other)) / larger


def bilateral_asymmetry_percent(dominant: ArrayLike, nondominant: ArrayLike) -> Floats:
    """
    Bilateral asymmetry index 1, for two-legged tests: 100 (D − N) / (D + N). [%]

    Positive where the dominant leg does more.

    Raises
    ------
    BadInput
        If either value is not above zero.

    References
    ----------
    .. [1] C. Bishop et al., Strength Cond. J., 2016 and 2018 (from memory).
    """
    more, less = positive("dominant", dominant), positive("nondominant", nondominant)
    return 100 * (more - less) / (more + less)


def symmetry_index_percent(one: ArrayLike, other: ArrayLike) -> Floats:
    """
    Symmetry index: the difference in per cent of the mean of both. [%]

    Twice the bilateral asymmetry index.

    Raises
    ------
    BadInput
        If either value is not above zero.
    """
    return 2 * bilateral_asymmetry_percent(one, other)


def symmetry_angle_percent(left: ArrayLike, right: ArrayLike) -> Floats:
    """
    Symmetry angle: how far the point (left, right) lies from the 45° line. [%]

    Needs no reference leg; 0 is symmetry, positive where the right does more.

    Raises
    ------
    BadInput
        If either value is not above zero.

    References
    ----------
    .. [1] R. A. Zifchock et al., "The symmetry angle," Gait Posture, vol. 27, 2008 (from memory).
    """
    angle = np.arctan2(positive("left", left), positive("right", right))
    return np.asarray(100 * (np.pi / 4 - angle) / (np.pi / 2))[()]


def exceeds_variation(asymmetry_percent: ArrayLike, variation_percent: ArrayLike) -> bool:
    """
    Tell whether a side difference is larger than the variation between trials of one leg.

    Where it is not, the sides are *not distinguishable*, whatever the percentage.

    Parameters
    ----------
    asymmetry_percent : array_like
        Any of the indices above; its sign does not matter. [%]
    variation_percent : array_like
        Coefficient of variation between trials of one leg. [%]

    References
    ----------
    .. [1] T. Exell et al., quoted in C. Bishop et al., Strength Cond. J., 2016.
    """
    variation = not_negative("variation_percent", variation_percent)
    return bool(np.all(np.abs(np.asarray(asymmetry_percent)) > variation))

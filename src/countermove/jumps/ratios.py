"""
Ratios of jump numbers: reactive strength and what the countermovement adds.

They describe; none of them is better the higher it is. A high eccentric utilisation ratio may
come from a poor squat jump (Kozinc et al. 2021 found no useful link to sprints in volleyball).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from countermove.errors import BadInput
from countermove.jumps.checks import Floats, not_negative, positive


def rsi(height_m: ArrayLike, contact_s: ArrayLike) -> Floats:
    """
    Reactive strength index: height over the contact before it. [m/s]

    Not the same as flight time over contact time, and not to be compared with it.

    Parameters
    ----------
    height_m : array_like
        Jump height of the rebound, by flight time. [m]
    contact_s : array_like
        Time on the floor before it. [s]

    Raises
    ------
    BadInput
        If a height is negative or a contact time is not above zero.

    References
    ----------
    .. [1] E. P. Flanagan and T. M. Comyns, "The use of contact time and the reactive strength
       index to optimize fast stretch-shortening cycle training," Strength Cond. J., vol. 30,
       pp. 32-38, 2008.
    """
    return not_negative("height_m", height_m) / positive("contact_s", contact_s)


def rsi_modified(height_m: ArrayLike, time_to_takeoff_s: ArrayLike) -> Floats:
    """
    Reactive strength index of a countermovement jump: height over time to take-off. [m/s]

    The time runs from the instant the force leaves body weight (`Trial.onset_s`) to take-off.

    Raises
    ------
    BadInput
        If a height is negative or a time is not above zero.

    References
    ----------
    .. [1] W. P. Ebben and E. J. Petushek, "Using the reactive strength index modified to evaluate
       plyometric performance," J. Strength Cond. Res., vol. 24, pp. 1983-1987, 2010 (from memory).
    """
    height = not_negative("height_m", height_m)
    return height / positive("time_to_takeoff_s", time_to_takeoff_s)


def mean_of_best(values: ArrayLike, best: int = 5) -> float:
    """
    Mean of the largest few, such as the five best indices of ten rebounds.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value a rebound; NaN (not measured) is left out.
    best : int, optional
        How many to keep.

    Raises
    ------
    BadInput
        If fewer than `best` values are measured.

    References
    ----------
    .. [1] T. M. Comyns et al., Int. J. Sports Physiol. Perform., vol. 14, pp. 1200-1204, 2019
       (definition of the ten-rebound test after Harper, Hobbs and Moore 2011).
    """
    measured = np.asarray(values, dtype=np.float64)
    measured = np.sort(measured[np.isfinite(measured)])
    if best < 1 or measured.size < best:
        raise BadInput(f"the mean of the best {best} needs that many, {measured.size} are measured")
    return float(measured[-best:].mean())


def eccentric_utilisation_ratio(cmj: ArrayLike, sj: ArrayLike) -> Floats:
    """
    Countermovement jump over squat jump, both height or both peak power. [1]

    Raises
    ------
    BadInput
        If the squat jump is not above zero or the other is negative.

    References
    ----------
    .. [1] M. R. McGuigan et al., "Eccentric utilization ratio: effect of sport and phase of
       training," J. Strength Cond. Res., vol. 20, pp. 992-995, 2006.
    """
    return not_negative("cmj", cmj) / positive("sj", sj)


def prestretch_augmentation_percent(cmj: ArrayLike, sj: ArrayLike) -> Floats:
    """
    What the countermovement adds, in per cent of the squat jump: 100 (CMJ − SJ) / SJ. [%]

    Always 100 times the eccentric utilisation ratio less one.

    Raises
    ------
    BadInput
        If the squat jump is not above zero or the other is negative.

    References
    ----------
    .. [1] A. D. Walshe, G. J. Wilson and A. J. Murphy, 1996 (from memory).
    """
    return 100 * (eccentric_utilisation_ratio(cmj, sj) - 1)

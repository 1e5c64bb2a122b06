"""
Power predicted from jump height and body mass, where no force was measured.

Each equation is a regression from one group of people. It carries its own error and holds for
adults of about 45 to 110 kg who jump 20 to 70 cm. Where a force plate was used, the measured
power (`Trial.peak_power_w`) is the better number. Heights go in as metres and masses as
kilograms; the equations themselves were printed for centimetres.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike

from countermove.jumps.checks import Floats, not_negative, positive
from countermove.jumps.heights import GRAVITY_M_S2
from countermove.record import Status


def _linear(height_m: ArrayLike, mass_kg: ArrayLike, terms: tuple[float, float, float]) -> Floats:
    """Give a·h + b·m + c with the height in centimetres, as all these equations were printed."""
    per_cm, per_kg, constant = terms
    height_cm = 100 * not_negative("height_m", height_m)
    return per_cm * height_cm + per_kg * positive("mass_kg", mass_kg) + constant


def peak_power_sayers_sj(height_m: ArrayLike, mass_kg: ArrayLike) -> Floats:
    """
    Peak power from a squat jump: 60.7 h[cm] + 45.3 m − 2055. [W]

    Status: from memory; the coefficients are confirmed by the group means that Canavan and
    Vescovi (2004) print for it. Its standard error of estimate was not seen by us.

    Raises
    ------
    BadInput
        If a height is negative or a mass is not above zero.

    References
    ----------
    .. [1] S. P. Sayers et al., "Cross-validation of three jump power equations," Med. Sci. Sports
       Exerc., vol. 31, pp. 572-577, 1999.
    """
    return _linear(height_m, mass_kg, (60.7, 45.3, -2055.0))


def peak_power_sayers_cmj(height_m: ArrayLike, mass_kg: ArrayLike) -> Floats:
    """
    Peak power from a countermovement jump: 51.9 h[cm] + 48.9 m − 2007. [W]

    Status: from memory, confirmed as `peak_power_sayers_sj` is. Standard error not seen by us.

    Raises
    ------
    BadInput
        If a height is negative or a mass is not above zero.

    References
    ----------
    .. [1] S. P. Sayers et al., Med. Sci. Sports Exerc., vol. 31, pp. 572-577, 1999.
    """
    return _linear(height_m, mass_kg, (51.9, 48.9, -2007.0))


def peak_power_harman(height_m: ArrayLike, mass_kg: ArrayLike) -> Floats:
    """
    Peak power after Harman: 61.9 h[cm] + 36.0 m − 1822. [W]

    The constant is negative. Many pages print it with a plus; the group means of Canavan and
    Vescovi (2004) fit only the minus. Status: from memory, coefficients and sign confirmed so.
    Standard error of this equation not seen by us; for mass and height as predictors Harman et
    al. (1990) give 243 W.

    Raises
    ------
    BadInput
        If a height is negative or a mass is not above zero.

    References
    ----------
    .. [1] E. A. Harman et al., "Estimation of human power output from vertical jump," J. Appl.
       Sport Sci. Res., vol. 5, pp. 116-120, 1991 (from memory).
    .. [2] E. A. Harman et al., Med. Sci. Sports Exerc., vol. 22, pp. 825-833, 1990.
    """
    return _linear(height_m, mass_kg, (61.9, 36.0, -1822.0))


def mean_power_harman(height_m: ArrayLike, mass_kg: ArrayLike) -> Floats:
    """
    Mean power after Harman: 21.2 h[cm] + 23.0 m − 1393. [W]

    Status: from memory; nothing we know of can confirm it. Standard error not seen by us.

    Raises
    ------
    BadInput
        If a height is negative or a mass is not above zero.

    References
    ----------
    .. [1] E. A. Harman et al., J. Appl. Sport Sci. Res., vol. 5, pp. 116-120, 1991 (from memory).
    """
    return _linear(height_m, mass_kg, (21.2, 23.0, -1393.0))


def peak_power_canavan_vescovi(height_m: ArrayLike, mass_kg: ArrayLike) -> Floats:
    """
    Peak power of women: 65.1 h[cm] + 25.8 m − 1413.1. [W]

    Status: read (abstract). R² 0.92, standard error of estimate 120.8 W; 20 women.

    Raises
    ------
    BadInput
        If a height is negative or a mass is not above zero.

    References
    ----------
    .. [1] P. K. Canavan and J. D. Vescovi, "Evaluation of power prediction equations: peak
       vertical jumping power in women," Med. Sci. Sports Exerc., vol. 36, pp. 1589-1593, 2004.
    """
    return _linear(height_m, mass_kg, (65.1, 25.8, -1413.1))


def mean_power_lewis(height_m: ArrayLike, mass_kg: ArrayLike, *, g: float = GRAVITY_M_S2) -> Floats:
    """
    Lewis formula: √4.9 g m √h, roughly a mean power. [W]

    Status: read (with a worked example of 1261.6 W for 75 kg and 0.60 m). It is weight times half
    the take-off velocity, so neither the peak nor the true mean of the push. No standard error.

    Raises
    ------
    BadInput
        If a height is negative or a mass is not above zero.

    References
    ----------
    .. [1] E. L. Fox and D. K. Mathews, 1974 (a worked example after them was read, not the book).
    """
    root = np.sqrt(not_negative("height_m", height_m))
    return np.asarray(sqrt(4.9) * g * positive("mass_kg", mass_kg) * root)[()]


@dataclass(frozen=True)
class PowerEquation:
    """
    One prediction equation and how far to trust it.

    Attributes
    ----------
    name, people : str
        Whose equation, and whom it was made from.
    watts : callable
        Power from (height_m, mass_kg). [W]
    status : Status
        How we know the coefficients.
    see_w : float or None
        Standard error of estimate. [W] None where we have not seen it.
    """

    name: str
    people: str
    watts: Callable[[ArrayLike, ArrayLike], Floats]
    status: Status
    see_w: float | None = None


_MEMORY = Status.FROM_MEMORY
POWER_EQUATIONS: tuple[PowerEquation, ...] = (
    PowerEquation("Sayers, squat jump", "adults", peak_power_sayers_sj, _MEMORY),
    PowerEquation("Sayers, countermovement jump", "adults", peak_power_sayers_cmj, _MEMORY),
    PowerEquation("Harman, peak", "men", peak_power_harman, _MEMORY),
    PowerEquation("Harman, mean", "men", mean_power_harman, _MEMORY),
    PowerEquation("Canavan and Vescovi", "women", peak_power_canavan_vescovi, Status.READ, 120.8),
    PowerEquation("Lewis", "not stated", mean_power_lewis, Status.READ),
)

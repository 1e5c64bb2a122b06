"""
Jump height, by each of its routes.

After take-off only gravity acts, so the take-off velocity v of the centre of mass, the time in the
air T and the height h are tied: v = g T / 2 and h = v² / (2 g) = g T² / 8. The velocity comes from
the push (net impulse over mass), the time from the gap in the force. The two routes fail in
different ways, the first by a wrong body weight, the second by landing in another posture, so
their heights are never mixed in one series.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from countermove.jumps.checks import Floats, not_negative, positive

# The rounded value that the jump papers use. Between the equator and the poles gravity runs from
# 9.78 to 9.83 m/s²; half of that range changes a height by 0.25 %.
GRAVITY_M_S2 = 9.81


def height_from_flight(flight_s: ArrayLike, *, g: float = GRAVITY_M_S2) -> Floats:
    """
    Jump height from the time in the air. [m]

    Assumes landing in the take-off posture; bent knees overstate the height.

    Parameters
    ----------
    flight_s : array_like
        Time between last and first ground contact. [s]
    g : float, optional
        Local gravity. [m/s²]

    Returns
    -------
    ndarray
        Rise of the centre of mass after take-off. [m] NaN where the input is NaN.

    Raises
    ------
    BadInput
        If a flight time is negative.

    References
    ----------
    .. [1] N. P. Linthorne, "Analysis of standing vertical jumps using a force platform,"
       Am. J. Phys., vol. 69, pp. 1198-1204, 2001, doi:10.1119/1.1397460.
    .. [2] C. Bosco, P. Luhtanen and P. V. Komi, "A simple method for measurement of mechanical
       power in jumping," Eur. J. Appl. Physiol., vol. 50, pp. 273-282, 1983.
    """
    flight = not_negative("flight_s", flight_s)
    return g * flight**2 / 8


def velocity_from_flight(flight_s: ArrayLike, *, g: float = GRAVITY_M_S2) -> Floats:
    """
    Take-off velocity from the time in the air: v = g T / 2. [m/s]

    Holds and fails as `height_from_flight` does.

    Raises
    ------
    BadInput
        If a flight time is negative.
    """
    return g * not_negative("flight_s", flight_s) / 2


def height_from_velocity(takeoff_velocity_m_s: ArrayLike, *, g: float = GRAVITY_M_S2) -> Floats:
    """
    Jump height from the take-off velocity: h = v² / (2 g). [m]

    Parameters
    ----------
    takeoff_velocity_m_s : array_like
        Upward velocity of the centre of mass at the last contact. [m/s]
    g : float, optional
        Local gravity. [m/s²]

    Raises
    ------
    BadInput
        If a velocity is negative: such a body did not leave the floor.

    References
    ----------
    .. [1] N. P. Linthorne, Am. J. Phys., vol. 69, pp. 1198-1204, 2001, doi:10.1119/1.1397460.
    """
    velocity = not_negative("takeoff_velocity_m_s", takeoff_velocity_m_s)
    return velocity**2 / (2 * g)


def velocity_from_impulse(net_impulse_n_s: ArrayLike, mass_kg: ArrayLike) -> Floats:
    """
    Velocity that a net impulse gives to a body that was at rest: v = J / m. [m/s]

    Parameters
    ----------
    net_impulse_n_s : array_like
        Integral of force less weight, from rest. [N s]
    mass_kg : array_like
        Body mass. [kg]

    Raises
    ------
    BadInput
        If a mass is not above zero.

    References
    ----------
    .. [1] N. P. Linthorne, Am. J. Phys., vol. 69, pp. 1198-1204, 2001, doi:10.1119/1.1397460.
    """
    return np.asarray(net_impulse_n_s, dtype=np.float64) / positive("mass_kg", mass_kg)


def height_from_standing(
    rise_to_takeoff_m: ArrayLike, takeoff_velocity_m_s: ArrayLike, *, g: float = GRAVITY_M_S2
) -> Floats:
    """
    Height above quiet standing: the rise before take-off and the flight together. [m]

    Longer than the other heights by the rise onto the toes, usually 9 to 15 cm.

    Parameters
    ----------
    rise_to_takeoff_m : array_like
        Centre of mass at take-off above standing, from double integration. [m]
    takeoff_velocity_m_s : array_like
        Upward velocity at take-off. [m/s]
    g : float, optional
        Local gravity. [m/s²]

    References
    ----------
    .. [1] G. L. Moir, "Three different methods of calculating vertical jump height from force
       platform data in men and women," Meas. Phys. Educ. Exerc. Sci., vol. 12, pp. 207-218, 2008.
    """
    rise = np.asarray(rise_to_takeoff_m, dtype=np.float64)
    return rise + height_from_velocity(takeoff_velocity_m_s, g=g)


def touchdown_speed(drop_height_m: ArrayLike, *, g: float = GRAVITY_M_S2) -> Floats:
    """
    Speed at the floor after falling from rest: v = √(2 g h). [m/s]

    The centre of mass seldom falls exactly the height of the box.

    Raises
    ------
    BadInput
        If a drop height is negative.
    """
    return np.asarray(np.sqrt(2 * g * not_negative("drop_height_m", drop_height_m)))[()]

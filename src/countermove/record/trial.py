"""
What one jump gave: numbers, phases, and what is wrong with the recording, in words.

Every value is in SI units, its unit in its name; None means that this recording cannot tell.
Times run on the recording's own time axis.
"""

from __future__ import annotations

from dataclasses import dataclass

from countermove.record.words import JumpKind, Severity, gravest


@dataclass(frozen=True, kw_only=True, slots=True)
class QualityNote:
    """
    One thing about a recording that the reader of its numbers should know.

    Attributes
    ----------
    code : str
        Short and lasting, such as ``moved-before``.
    severity : Severity
        Said only, doubted, or refused.
    text : str
        A sentence: what was met, and what to do about it.
    may_cost_m : float, optional
        How far it may move the jump height. [m] None where nobody can say.
    """

    code: str
    severity: Severity
    text: str
    may_cost_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Phase:
    """A named stretch of a trial, on the recording's time axis. [s]"""

    name: str
    start_s: float
    end_s: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Trial:
    """
    One jump.

    Heights of different methods are never mixed in one series: `height_impulse_m` comes from the
    push against the floor, `height_flight_m` from the time in the air, `height_standing_m` counts
    from quiet standing and so includes the rise onto the toes.

    Attributes
    ----------
    kind : JumpKind
        The jump that was asked for, or seen where none was named.
    number : int
        1 for the first jump in the recording.
    mass_kg, weight_n, weight_sd_n : float
        Weighed in quiet standing; the standard deviation is that of the force. [kg], [N], [N]
    weighing_start_s, weighing_end_s : float
        The quiet stretch that was weighed. [s]
    onset_s : float
        The force first leaves body weight. [s] Integration starts 30 ms earlier.
    braking_start_s, bottom_s, takeoff_s, landing_s : float
        Fastest going down; lowest point; last and first contact. [s]
    height_impulse_m, height_flight_m, height_standing_m : float
        Jump height by three methods. [m]
    height_impulse_sd_m : float
        Standard error of `height_impulse_m` that the weighing leaves. [m]
    takeoff_velocity_m_s, min_velocity_m_s, peak_velocity_m_s : float
        Velocity of the centre of mass, upward positive. [m/s]
    flight_s, time_to_takeoff_s, unweighting_s, braking_s, propulsion_s : float
        Lengths of the phases; time to take-off counts from `onset_s`. [s]
    depth_m, rise_to_takeoff_m : float
        How far the centre of mass went down, and how far above standing it was at take-off. [m]
    rsi_modified_m_s : float
        `height_impulse_m` by `time_to_takeoff_s`. [m/s]
    min_force_n, bottom_force_n, peak_force_n : float
        Least force, force at the lowest point, greatest force before take-off. [N]
    unweighting_impulse_n_s, braking_impulse_n_s, propulsion_impulse_n_s : float
        Net impulses (weight taken off). [N s]
    peak_power_w, mean_propulsive_power_w, propulsive_work_j : float
        Of the force on the centre of mass. [W], [W], [J]
    landing_peak_n : float
        Greatest force after landing. [N]
    left_share_weighing, left_share_braking, left_share_propulsion, left_share_landing : float
        Left foot's share of the impulse of that phase (standing: of weight; landing: of the
        greatest force), 0 to 1. None without two plates of known side.
    quality : tuple of QualityNote
        Gravest first.
    """

    kind: JumpKind
    number: int
    mass_kg: float | None = None
    weight_n: float | None = None
    weight_sd_n: float | None = None
    weighing_start_s: float | None = None
    weighing_end_s: float | None = None
    onset_s: float | None = None
    braking_start_s: float | None = None
    bottom_s: float | None = None
    takeoff_s: float | None = None
    landing_s: float | None = None
    height_impulse_m: float | None = None
    height_impulse_sd_m: float | None = None
    height_flight_m: float | None = None
    height_standing_m: float | None = None
    takeoff_velocity_m_s: float | None = None
    min_velocity_m_s: float | None = None
    peak_velocity_m_s: float | None = None
    flight_s: float | None = None
    time_to_takeoff_s: float | None = None
    unweighting_s: float | None = None
    braking_s: float | None = None
    propulsion_s: float | None = None
    depth_m: float | None = None
    rise_to_takeoff_m: float | None = None
    rsi_modified_m_s: float | None = None
    min_force_n: float | None = None
    bottom_force_n: float | None = None
    peak_force_n: float | None = None
    unweighting_impulse_n_s: float | None = None
    braking_impulse_n_s: float | None = None
    propulsion_impulse_n_s: float | None = None
    peak_power_w: float | None = None
    mean_propulsive_power_w: float | None = None
    propulsive_work_j: float | None = None
    landing_peak_n: float | None = None
    left_share_weighing: float | None = None
    left_share_braking: float | None = None
    left_share_propulsion: float | None = None
    left_share_landing: float | None = None
    phases: tuple[Phase, ...] = ()
    quality: tuple[QualityNote, ...] = ()

    def worst(self) -> Severity | None:
        """Give the gravest severity among the notes; None if there are none."""
        return gravest(note.severity for note in self.quality)

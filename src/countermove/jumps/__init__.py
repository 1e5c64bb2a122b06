"""Force traces to jumps: every metric, the phases, and what is wrong with a trace in words."""

from countermove.jumps.analyse import analyse_jumps
from countermove.jumps.asymmetry import (
    bilateral_asymmetry_percent,
    exceeds_variation,
    limb_symmetry_percent,
    percent_difference,
    symmetry_angle_percent,
    symmetry_index_percent,
)
from countermove.jumps.by_hand import HandEvents
from countermove.jumps.heights import (
    GRAVITY_M_S2,
    height_from_flight,
    height_from_standing,
    height_from_velocity,
    touchdown_speed,
    velocity_from_flight,
    velocity_from_impulse,
)
from countermove.jumps.margins import (
    flight_height_error_from_landing,
    flight_sd_from_rate,
    height_error_from_timing,
    height_error_from_velocity,
    height_error_from_weight,
    height_margin_from_rate,
    velocity_error_from_weight,
)
from countermove.jumps.power import (
    POWER_EQUATIONS,
    PowerEquation,
    mean_power_harman,
    mean_power_lewis,
    peak_power_canavan_vescovi,
    peak_power_harman,
    peak_power_sayers_cmj,
    peak_power_sayers_sj,
)
from countermove.jumps.ratios import (
    eccentric_utilisation_ratio,
    mean_of_best,
    prestretch_augmentation_percent,
    rsi,
    rsi_modified,
)

__all__ = [
    "GRAVITY_M_S2",
    "POWER_EQUATIONS",
    "HandEvents",
    "PowerEquation",
    "analyse_jumps",
    "bilateral_asymmetry_percent",
    "eccentric_utilisation_ratio",
    "exceeds_variation",
    "flight_height_error_from_landing",
    "flight_sd_from_rate",
    "height_error_from_timing",
    "height_error_from_velocity",
    "height_error_from_weight",
    "height_from_flight",
    "height_from_standing",
    "height_from_velocity",
    "height_margin_from_rate",
    "limb_symmetry_percent",
    "mean_of_best",
    "mean_power_harman",
    "mean_power_lewis",
    "peak_power_canavan_vescovi",
    "peak_power_harman",
    "peak_power_sayers_cmj",
    "peak_power_sayers_sj",
    "percent_difference",
    "prestretch_augmentation_percent",
    "rsi",
    "rsi_modified",
    "symmetry_angle_percent",
    "symmetry_index_percent",
    "touchdown_speed",
    "velocity_error_from_weight",
    "velocity_from_flight",
    "velocity_from_impulse",
]

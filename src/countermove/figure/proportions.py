"""
Lengths of a figure: bones from the body room, widths and what the body room lacks from here.

Widths are for the eye and make no claim about a person: each is our default for a person of
`REFERENCE_M` and scales with height.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from countermove.body import Body, build_body
from countermove.catalogue import Catalogue
from countermove.figure.poses import REFERENCE_M
from countermove.record import Sex

# Of stature. Ankle height and head height: Drillis and Contini's proportions as quoted by Winter,
# "Biomechanics and Motor Control of Human Movement" (from-memory). The rest: our-default.
ANKLE_HEIGHT = 0.039
HEAD_HEIGHT = 0.132
HIP_HALF_WIDTH = 0.050
SHOULDER_HALF_WIDTH = 0.103
# Of foot length, from the heel: ankle joint and ball (our-default).
ANKLE_ALONG_FOOT = 0.27
BALL_ALONG_FOOT = 0.71
# Neck from the level of the shoulder joints to the chin, of stature (our-default, limits).
NECK = (0.022, 0.032)


@dataclass(frozen=True, kw_only=True, slots=True)
class Proportions:
    """
    What the figure is built from.

    Attributes
    ----------
    height_m : float
        Stature. [m]
    scale : float
        Stature over `REFERENCE_M`; widths and places scale with it.
    trunk_m : float
        Middle between the hips to middle between the shoulders. [m]
    neck_m, head_m : float
        Shoulders to chin; chin to crown. [m]
    upper_arm_m, forearm_m, hand_m, thigh_m, shank_m, foot_m : float
        Hand to the fingertip. [m]
    mass_share, com_share : mapping of str to float
        Of body mass; centre along the segment.
    """

    height_m: float
    scale: float
    trunk_m: float
    neck_m: float
    head_m: float
    upper_arm_m: float
    forearm_m: float
    hand_m: float
    thigh_m: float
    shank_m: float
    foot_m: float
    mass_share: Mapping[str, float]
    com_share: Mapping[str, float]

    @property
    def ankle_m(self) -> float:
        """Height of the ankle joint above the sole. [m]"""
        return ANKLE_HEIGHT * self.height_m

    @property
    def heel_m(self) -> float:
        """Back of the heel behind the ankle joint. [m]"""
        return ANKLE_ALONG_FOOT * self.foot_m

    @property
    def ball_m(self) -> float:
        """Ball of the foot before the ankle joint. [m]"""
        return (BALL_ALONG_FOOT - ANKLE_ALONG_FOOT) * self.foot_m

    @property
    def toe_m(self) -> float:
        """Tip of the toes before the ankle joint. [m]"""
        return (1 - ANKLE_ALONG_FOOT) * self.foot_m

    @property
    def hip_m(self) -> float:
        """Hip joint from the middle. [m]"""
        return HIP_HALF_WIDTH * self.height_m

    @property
    def shoulder_m(self) -> float:
        """Shoulder joint from the middle. [m]"""
        return SHOULDER_HALF_WIDTH * self.height_m


def proportions_of(body: Body, catalogue: Catalogue) -> Proportions:
    """
    Take a figure's lengths from an athlete's body.

    Parameters
    ----------
    body : Body
        From `body.build_body`.
    catalogue : Catalogue
        Its table also gives trunk and hand in the measuring that a picture needs.

    Returns
    -------
    Proportions
    """

    def length(name: str, as_name: str = "") -> float:
        table, own = catalogue.segments, body.segments[name].length_m
        other = table[as_name or name].length[body.sex].si / table[name].length[body.sex].si
        return own * other

    trunk_m = length("trunk", "trunk_from_shoulders")
    legs_m = length("thigh") + length("shank") + ANKLE_HEIGHT * body.height_m
    head_m = HEAD_HEIGHT * body.height_m
    neck_m = body.height_m - legs_m - trunk_m - head_m
    low, high = (share * body.height_m for share in NECK)
    # The table's stretches do not add up to stature; what a neck cannot take goes to the trunk.
    trunk_m += max(neck_m - high, 0.0)
    return Proportions(
        height_m=body.height_m,
        scale=body.height_m / REFERENCE_M,
        trunk_m=trunk_m,
        neck_m=min(max(neck_m, low), high),
        head_m=head_m,
        upper_arm_m=length("upper_arm"),
        forearm_m=length("forearm"),
        hand_m=length("hand", "hand_to_fingertip"),
        thigh_m=length("thigh"),
        shank_m=length("shank"),
        foot_m=length("foot"),
        mass_share=MappingProxyType(
            {k: part.mass_kg / body.mass_kg for k, part in body.segments.items()}
        ),
        com_share=MappingProxyType(
            {k: part.com_m / part.length_m for k, part in body.segments.items()}
        ),
    )


def usual_proportions(catalogue: Catalogue, sex: Sex = Sex.FEMALE) -> Proportions:
    """Give the figure that is drawn when no athlete is meant: the people the table measured."""
    sample = catalogue.samples["deleva1996"]
    body = build_body(
        height_m=sample.stature[sex].si, mass_kg=sample.mass[sex].si, sex=sex, catalogue=catalogue
    )
    return proportions_of(body, catalogue)

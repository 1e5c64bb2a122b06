"""
One athlete's body as rigid segments: mass, length, centre of mass and moments of inertia.

A table of body segments gives, for either sex, each segment's share of body mass, where its centre
lies along its length, and its radii of gyration as fractions of that length. One athlete's body
follows by scaling: masses with body mass, lengths with height against the stature of the people
measured (or with a length measured on the athlete), moments of inertia as mass times the square of
radius times length.

The radii are named after axes. The transverse axis runs from side to side, so movement in the
sagittal plane, which a jump is, turns about it: take `inertia_transverse_kg_m2` there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from types import MappingProxyType

from countermove.catalogue import Catalogue, Segment, current
from countermove.errors import BadInput
from countermove.record import HEIGHT_M, MASS_KG, Sex

# A measured length this far from the scaled one is a slip of the pen or of the unit (our-default).
LENGTH_RATIO = (0.5, 2.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class BodySegment:
    """
    One segment; of a pair, one of the two.

    Attributes
    ----------
    name : str
        Key in the catalogue.
    pair : bool
        True if the body has a left and a right one.
    mass_kg, length_m : float
        [kg], [m]
    com_m : float
        Centre of mass from the end named first in the catalogue (proximal, or upper). [m]
    inertia_sagittal_kg_m2, inertia_transverse_kg_m2, inertia_longitudinal_kg_m2 : float
        About axes through the centre of mass that run back to front, from side to side, and along
        the segment. [kg m²] Sagittal-plane movement turns about the transverse axis.
    """

    name: str
    pair: bool
    mass_kg: float
    length_m: float
    com_m: float
    inertia_sagittal_kg_m2: float
    inertia_transverse_kg_m2: float
    inertia_longitudinal_kg_m2: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Body:
    """
    One athlete's segments, by name.

    Attributes
    ----------
    sex, height_m, mass_kg : Sex, float, float
        Whom it was built for. [m], [kg]
    segments : mapping of str to BodySegment
        One entry a kind; pairs stand once and count twice. Cannot be changed.
    """

    sex: Sex
    height_m: float
    mass_kg: float
    segments: Mapping[str, BodySegment]

    def total_mass_kg(self) -> float:
        """Sum the segments, pairs twice; equals `mass_kg` to rounding. [kg]"""
        return sum(part.mass_kg * (2 if part.pair else 1) for part in self.segments.values())


def segment_mass_kg(segment: str, mass_kg: float, *, sex: Sex | str, catalogue: Catalogue) -> float:
    """
    Mass of one segment by the printed share of body mass.

    The printed shares of women add up to 99.99 %, so this is not normalised as `build_body` is.

    Parameters
    ----------
    segment : str
        Key in the catalogue; parts and alternative measurings of a segment count too.
    mass_kg : float
        Body mass. [kg]
    sex : Sex or str
        Column of the table.
    catalogue : Catalogue
        Holds the table.

    Returns
    -------
    float
        Mass of the segment; of a pair, of one. [kg]

    Raises
    ------
    BadInput
        If the segment is unknown or the mass cannot be true.

    References
    ----------
    .. [1] P. de Leva, "Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters,"
       J. Biomech., vol. 29, pp. 1223-1230, 1996, Table 4 (quoted).
    """
    if segment not in catalogue.segments:
        raise BadInput(
            f"segment {segment!r} is not in the catalogue; use one of"
            f" {', '.join(catalogue.segments)}"
        )
    _check_range("mass_kg", mass_kg, MASS_KG, "kilograms")
    return mass_kg * catalogue.segments[segment].mass_fraction[_sex(sex)].si


def build_body(
    *,
    height_m: float,
    mass_kg: float,
    sex: Sex | str,
    catalogue: Catalogue,
    lengths_m: Mapping[str, float] | None = None,
) -> Body:
    """
    Scale the catalogue's segments to one athlete.

    Holds for adults of ordinary build; a child, or an athlete with unusual proportions, needs
    measured lengths. Masses are normalised so that they add up to body mass: the printed shares
    add up to 100.00 % (men) and 99.99 % (women).

    Parameters
    ----------
    height_m : float
        Standing height. [m]
    mass_kg : float
        Body mass. [kg]
    sex : Sex or str
        Column of the table.
    catalogue : Catalogue
        Holds the table.
    lengths_m : mapping of str to float, optional
        Measured segment lengths by name; they replace the scaled ones, and the radii scale with
        them. Masses stay. [m]

    Returns
    -------
    Body
        With one entry a kind of segment.

    Raises
    ------
    BadInput
        If a value cannot be true or a length names no segment of the set.

    References
    ----------
    .. [1] P. de Leva, "Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters,"
       J. Biomech., vol. 29, pp. 1223-1230, 1996, Table 4 (quoted; lengths and sample from memory).
    """
    _check_range("height_m", height_m, HEIGHT_M, "metres")
    _check_range("mass_kg", mass_kg, MASS_KG, "kilograms")
    column = _sex(sex)
    whole = {key: part for key, part in current(catalogue.segments).items() if not part.part_of}
    lengths = _lengths_m(whole, height_m, column, catalogue, lengths_m or {})
    shares = {key: part.mass_fraction[column].si for key, part in whole.items()}
    total = sum(share * (2 if whole[key].pair else 1) for key, share in shares.items())
    segments = {
        key: _segment(key, part, column, mass_kg * shares[key] / total, lengths[key])
        for key, part in whole.items()
    }
    return Body(sex=column, height_m=height_m, mass_kg=mass_kg, segments=MappingProxyType(segments))


def _segment(name: str, part: Segment, sex: Sex, mass_kg: float, length_m: float) -> BodySegment:
    def inertia(radius: float) -> float:
        return mass_kg * (radius * length_m) ** 2

    return BodySegment(
        name=name,
        pair=part.pair,
        mass_kg=mass_kg,
        length_m=length_m,
        com_m=part.com_fraction[sex].si * length_m,
        inertia_sagittal_kg_m2=inertia(part.radius_sagittal[sex].si),
        inertia_transverse_kg_m2=inertia(part.radius_transverse[sex].si),
        inertia_longitudinal_kg_m2=inertia(part.radius_longitudinal[sex].si),
    )


def _lengths_m(
    whole: Mapping[str, Segment],
    height_m: float,
    sex: Sex,
    catalogue: Catalogue,
    measured: Mapping[str, float],
) -> dict[str, float]:
    """Scale every length by stature, then put the measured ones in their place."""
    lengths = {
        key: part.length[sex].si * height_m / catalogue.samples[part.sample].stature[sex].si
        for key, part in whole.items()
    }
    for key, length_m in measured.items():
        _check_length(key, length_m, lengths, catalogue)
        lengths[key] = float(length_m)
    return lengths


def _check_length(
    key: str, length_m: float, scaled: Mapping[str, float], catalogue: Catalogue
) -> None:
    if key not in scaled:
        other = catalogue.segments.get(key)
        hint = f"{key} is part or another measuring of {other.part_of}; " if other else ""
        raise BadInput(
            f"lengths_m: {key!r} is not a segment of the set; {hint}use one of {', '.join(scaled)}"
        )
    low, high = (ratio * scaled[key] for ratio in LENGTH_RATIO)
    if not low <= length_m <= high:
        raise BadInput(
            f"lengths_m: {key} of {length_m:g} m was met, {low:.3f} to {high:.3f} m is possible at"
            f" this height; measure {catalogue.segments[key].ends}, in metres"
        )


def _check_range(name: str, value: float, limits: tuple[float, float], unit: str) -> None:
    low, high = limits
    if not (isfinite(value) and low <= value <= high):
        raise BadInput(
            f"{name}: {value:g} was met, {low:g} to {high:g} is possible; write it in {unit}"
        )


def _sex(sex: Sex | str) -> Sex:
    try:
        return Sex(sex)
    except ValueError:
        raise BadInput(f"sex: {sex!r} was met; use one of {', '.join(Sex)}") from None

"""A number with its citation: nothing in the catalogue stands alone."""

from __future__ import annotations

from dataclasses import dataclass

from countermove.record import Status
from countermove.units import from_si, to_si


@dataclass(frozen=True, kw_only=True, slots=True)
class Cited:
    """
    A number as its source prints it.

    Attributes
    ----------
    value : float
        In `unit`, as printed.
    unit : str
        A name in `countermove.units.UNITS`.
    source : str
        Key in `sources.toml`.
    where : str
        Where in the source: table, page, abstract, or what it was taken from.
    status : Status
        How we know it.
    """

    value: float
    unit: str
    source: str
    where: str
    status: Status

    @property
    def si(self) -> float:
        """The value in SI units."""
        return to_si(self.value, self.unit)

    def in_unit(self, unit: str) -> float:
        """Give the value in another unit of the same kind."""
        return from_si(self.si, unit)

"""What is drawn of one visit: every grade with the method it was measured by, and the jumps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from countermove.catalogue import Catalogue
from countermove.examination import grade
from countermove.record import Grade, JumpResult, Link, Visit


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """A grade and its method; two methods are two series, which are never joined."""

    grade: Grade
    method: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Occasion:
    """
    One visit on the time axis.

    Attributes
    ----------
    on : date
        Day of the visit.
    readings : tuple of Reading
        First measurings only; those after a treatment tell of change, not of where a link stands.
    jumps : tuple of JumpResult
        Heights by kind of jump.
    """

    on: date
    readings: tuple[Reading, ...] = ()
    jumps: tuple[JumpResult, ...] = ()

    def of_link(self, link: Link) -> tuple[Reading, ...]:
        """Give the readings of one link."""
        return tuple(one for one in self.readings if one.grade.link is link)


def occasion_of(
    visit: Visit, *, catalogue: Catalogue, jumps: tuple[JumpResult, ...] = ()
) -> Occasion:
    """
    Grade every first measuring of a visit.

    Parameters
    ----------
    visit : Visit
        Checked, see `countermove.examination.checked_visit`.
    catalogue : Catalogue
        Holds tests, errors and targets.
    jumps : tuple of JumpResult, optional
        Of the same visit.
    """
    readings = []
    for m in visit.measurements:
        same = (m.tester or visit.tester) == visit.tester
        graded = grade(m, catalogue=catalogue, tester="same" if same else "different")
        if graded is not None and not m.after:
            readings.append(Reading(grade=graded, method=m.method))
    return Occasion(on=visit.date, readings=tuple(readings), jumps=jumps)

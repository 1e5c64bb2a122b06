"""Everything a visit's page reads, fetched once in a fixed number of queries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from countermove import record
from countermove.catalogue import Catalogue
from countermove.clinic.accounts.models import Units, User
from countermove.clinic.people.consents import against_testing
from countermove.clinic.visits.convert import (
    athlete_record,
    measurement_record,
    parts,
    standing,
    visit_record,
)
from countermove.clinic.visits.models import Measurement, Treatment, Visit
from countermove.clinic.visits.told import in_units, value_said
from countermove.record import ClearanceResult
from countermove.safety import clear, may_test


@dataclass(frozen=True, kw_only=True)
class Scene:
    """
    A visit as its page needs it.

    Attributes
    ----------
    whole, now : record.Athlete, record.Visit
        The athlete's record, and this visit in it.
    clearance : ClearanceResult
        Judged today: what may be done now.
    rows : dict of int to Measurement
        Every row of the visit, corrected and withdrawn ones too, by number.
    replaced : frozenset of int
        Numbers of the rows that a later one corrects.
    earlier : tuple of (date, record.Measurement)
        What stands of the visits before, oldest first, in the reader's unit.
    unagreed : str
        Why nothing new may be measured today, for want of consent; empty if it may.
    """

    visit: Visit
    whole: record.Athlete
    now: record.Visit
    clearance: ClearanceResult
    catalogue: Catalogue
    imperial: bool
    rows: dict[int, Measurement]
    replaced: frozenset[int]
    treatments: tuple[Treatment, ...]
    earlier: tuple[tuple[date, record.Measurement], ...]
    writes: bool
    unagreed: str = ""

    @property
    def adds(self) -> bool:
        """Tell whether this reader may add something new."""
        return self.writes and not self.unagreed

    def closed(self, test: str) -> tuple[str, ...]:
        """Give what keeps a test from being measured now: no consent, or what clearance closes."""
        against = may_test(self.catalogue.tests[test], self.clearance)
        return (self.unagreed, *against) if self.unagreed else against

    def standing(self, test: str) -> list[Measurement]:
        """Give the rows of a test that stand."""
        return [
            row
            for row in self.rows.values()
            if row.test == test and row.pk not in self.replaced and not row.withdrawn
        ]

    def record_of(self, row: Measurement) -> record.Measurement:
        """Give a row's measurement in the reader's unit."""
        return in_units(measurement_record(row), self.catalogue, imperial=self.imperial)

    def said(self, row: Measurement) -> str:
        """Say a row's value."""
        return value_said(self.record_of(row), self.catalogue)


def scene_of(visit: Visit, user: User, *, today: date, catalogue: Catalogue, writes: bool) -> Scene:
    """Fetch what a visit's page needs."""
    imperial = user.units == Units.IMPERIAL
    whole = athlete_record(visit.athlete)
    rows = {row.pk: row for row in visit.measurements.select_related("made_by").order_by("pk")}
    replaced = frozenset(row.corrects_id for row in rows.values() if row.corrects_id)
    earlier = tuple(
        (past.date, in_units(one, catalogue, imperial=imperial))
        for past in whole.visits
        if past.date < visit.date
        for one in past.measurements
        if one.test in catalogue.tests
    )
    return Scene(
        visit=visit,
        whole=whole,
        now=now_of(visit),
        clearance=clear(whole, on=today, catalogue=catalogue),
        catalogue=catalogue,
        imperial=imperial,
        rows=rows,
        replaced=replaced,
        treatments=standing_treatments(visit),
        earlier=earlier,
        writes=writes,
        unagreed=against_testing(visit.athlete, today),
    )


def now_of(visit: Visit) -> record.Visit:
    """Give the record of one visit, as it stands."""
    visits = Visit.objects.select_related("tester", "follows").prefetch_related(*parts())
    row = visits.get(pk=visit.pk)
    return visit_record(row)


def standing_treatments(visit: Visit) -> tuple[Treatment, ...]:
    """Give the treatments of a visit that were not withdrawn."""
    return tuple(standing(visit.treatments.all()))

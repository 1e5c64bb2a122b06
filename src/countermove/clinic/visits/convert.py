"""Rows of visits to the record: what stands today, corrections in place of what they correct."""

from __future__ import annotations

from typing import TypeVar

from django.db.models import Prefetch, QuerySet

from countermove import record
from countermove.clinic.people.convert import person_record
from countermove.clinic.people.models import Athlete
from countermove.clinic.visits.models import (
    DrillChange,
    Entry,
    Measurement,
    Recording,
    Treatment,
    Visit,
)

E = TypeVar("E", bound=Entry)


def standing(rows: QuerySet[E]) -> QuerySet[E]:
    """Keep the entries that no later one corrects and that were not withdrawn."""
    return rows.filter(corrected_by=None, withdrawn=False).order_by("pk")


def stands(row: Entry) -> bool:
    """Tell whether an entry stands: not withdrawn, and no later one corrects it."""
    return not row.withdrawn and not hasattr(row, "corrected_by")


def athlete_record(athlete: Athlete) -> record.Athlete:
    """Give the athlete's whole record, visits oldest first, in a fixed number of queries."""
    visits = athlete.visits.select_related("tester", "follows").prefetch_related(*parts())
    return person_record(athlete, tuple(visit_record(visit) for visit in visits))


def parts() -> tuple[Prefetch[str], ...]:
    """Give what belongs to a visit, as it stands, to fetch with it in one query each."""
    return (
        Prefetch("treatments", standing(Treatment.objects.all())),
        Prefetch("measurements", standing(Measurement.objects.all())),
        Prefetch("recordings", standing(Recording.objects.all())),
        Prefetch("drillchanges", standing(DrillChange.objects.all())),
    )


def visit_record(visit: Visit) -> record.Visit:
    """Give the record of one visit."""
    return record.Visit(
        date=visit.date,
        tester=str(visit.tester),
        said=visit.said,
        note=visit.note,
        measurements=tuple(map(measurement_record, visit.measurements.all())),
        treatments=tuple(map(treatment_record, visit.treatments.all())),
        recordings=tuple(
            record.Recording(path=row.sha256, kind=record.JumpKind(row.kind))
            for row in visit.recordings.all()
        ),
        follows=visit.follows.date if visit.follows else None,
        drill_changes=tuple(
            record.DrillChange(
                drill=row.drill, into=row.into, how=record.Instead(row.how), reason=row.reason
            )
            for row in visit.drillchanges.all()
        ),
    )


def measurement_record(row: Measurement) -> record.Measurement:
    """Give the record of one measurement."""
    pain = None
    if row.pain_score is not None:
        pain = record.Pain(score=row.pain_score, where=row.pain_where)
    return record.Measurement(
        test=row.test,
        side=record.Side(row.side),
        trials=tuple(float(trial) for trial in row.trials),
        unit=row.unit,
        answer=row.answer,
        method=row.method,
        tester=row.tester,
        could_not=row.could_not,
        pain=pain,
        after=str(row.after_id) if row.after_id else "",
        note=row.note,
    )


def treatment_record(row: Treatment) -> record.Treatment:
    """Give the record of one treatment; it goes by its row's number."""
    return record.Treatment(
        key=str(row.pk),
        drill=row.drill,
        side=record.Side(row.side),
        minutes=row.minutes,
        cue=row.cue,
    )

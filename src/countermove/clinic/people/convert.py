"""Rows to the record and back: the same object the athlete file holds."""

from __future__ import annotations

from collections.abc import Mapping

from countermove import record
from countermove.catalogue import load_catalogue
from countermove.clinic.people.models import Athlete, Clearance


def answers_in_order(answers: Mapping[str, str]) -> dict[str, record.Answer]:
    """
    Give answers in the order of the questions, those of questions since taken out last.

    PostgreSQL keeps no order of its own; the order decides which reason is told first.
    """
    order = {key: number for number, key in enumerate(load_catalogue().cautions)}
    keys = sorted(answers, key=lambda key: (order.get(key, len(order)), key))
    return {key: record.Answer(answers[key]) for key in keys}


def clearance_record(row: Clearance) -> record.Clearance:
    """Give the record of a clearance, overrides included."""
    return record.Clearance(
        asked=row.asked,
        expires=row.expires,
        reviewed_by=str(row.reviewed_by) if row.reviewed_by else "",
        answers=answers_in_order(row.answers),
        overrides=tuple(
            record.Override(caution=o.caution, by=str(o.by), on=o.on, reason=o.reason)
            for o in row.overrides.select_related("by").order_by("pk")
        ),
    )


def clearance_in_force(athlete: Athlete) -> Clearance | None:
    """Give the latest clearance; earlier ones stay on record and count no more."""
    latest = athlete.clearances.select_related("reviewed_by").order_by("-made_at", "-pk")
    return latest.first()


def person_record(row: Athlete, visits: tuple[record.Visit, ...] = ()) -> record.Athlete:
    """Give the athlete's record."""
    clearance = clearance_in_force(row)
    return record.Athlete(
        key=str(row.key),
        name=row.name,
        sex=record.Sex(row.sex),
        born=row.born,
        height_m=row.height_m,
        mass_kg=row.mass_kg,
        level=record.Level(row.level),
        sport=row.sport,
        goal=row.goal,
        history=row.said,
        note=row.note,
        equipment=tuple(row.equipment),
        lengths_m=dict(sorted(row.lengths_m.items())),
        clearance=clearance_record(clearance) if clearance else None,
        visits=visits,
    )

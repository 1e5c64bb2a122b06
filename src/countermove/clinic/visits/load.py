"""The record to rows: an athlete file brought into the practice, whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any
from uuid import UUID, uuid4

from django.core.files.base import ContentFile
from django.db import transaction

from countermove import record
from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete, Clearance, Consent, Override
from countermove.clinic.practice.models import Site
from countermove.clinic.visits.models import (
    DrillChange,
    Measurement,
    Recording,
    Treatment,
    Visit,
)


@dataclass(frozen=True)
class Promised:
    """
    A recording whose bytes come when its file is first opened, by a storage that can make them.

    Attributes
    ----------
    sha256 : str
        Of the bytes.
    """

    sha256: str


ReadFile = Callable[[str], bytes | Promised]


@transaction.atomic
def keep_athlete(whole: record.Athlete, site: Site, by: User, read_file: ReadFile) -> Athlete:
    """
    Write an athlete's record into rows.

    Parameters
    ----------
    whole : record.Athlete
        As read from a file.
    site : Site
        Where the athlete belongs.
    by : User
        Who brings it in; stands as the one who made every row.
    read_file : callable
        From the path of a recording to its bytes, or to their promise.
    """
    athlete = Athlete.objects.create(
        site=site,
        name=whole.name,
        sex=whole.sex,
        born=whole.born,
        height_m=whole.height_m,
        mass_kg=whole.mass_kg,
        level=whole.level,
        sport=whole.sport,
        goal=whole.goal,
        said=whole.history,
        note=whole.note,
        equipment=list(whole.equipment),
        lengths_m=dict(whole.lengths_m),
    )
    if whole.clearance is not None:
        _keep_clearance(athlete, whole.clearance, by)
    for consent in whole.consents:
        _keep_consent(athlete, consent, by)
    for visit in whole.visits:
        _keep_visit(athlete, visit, by, read_file)
    return athlete


def _keep_clearance(athlete: Athlete, clearance: record.Clearance, by: User) -> None:
    row = Clearance.objects.create(
        athlete=athlete,
        asked=clearance.asked,
        expires=clearance.expires,
        answers={key: answer.value for key, answer in clearance.answers.items()},
        reviewed_by=by if clearance.reviewed_by else None,
        made_by=by,
    )
    for one in clearance.overrides:
        Override.objects.create(
            clearance=row, caution=one.caution, reason=one.reason, on=one.on, by=by
        )


def _keep_consent(athlete: Athlete, consent: record.Consent, by: User) -> None:
    """Keep a consent as given, and where it was taken back as that too."""
    days = ((True, consent.given_on), (False, consent.withdrawn_on))
    for given, day in days:
        if day is not None:
            Consent.objects.create(
                athlete=athlete,
                purpose=consent.purpose,
                recipient=consent.recipient,
                given=given,
                guardian=consent.guardian,
                on=day,
                made_by=by,
            )


def _keep_visit(athlete: Athlete, visit: record.Visit, by: User, read_file: ReadFile) -> None:
    row = Visit.objects.create(
        athlete=athlete, date=visit.date, tester=by, said=visit.said, note=visit.note,
        follows=_followed(athlete, visit),
    )  # fmt: skip
    for change in visit.drill_changes:
        DrillChange.objects.create(
            visit=row, drill=change.drill, into=change.into, how=change.how, reason=change.reason,
            made_by=by,
        )  # fmt: skip
    treatments = {
        one.key: Treatment.objects.create(
            visit=row, drill=one.drill, side=one.side, minutes=one.minutes, cue=one.cue, made_by=by
        )
        for one in visit.treatments
    }
    Measurement.objects.bulk_create(
        _measurement(row, one, treatments, by) for one in visit.measurements
    )
    for recording in visit.recordings:
        keep_recording(row, recording.kind, recording.path, read_file(recording.path), by)


def _followed(athlete: Athlete, visit: record.Visit) -> Visit | None:
    """Give the row of the visit that one follows; of two on that day the later."""
    if visit.follows is None:
        return None
    return athlete.visits.filter(date=visit.follows).order_by("pk").last()


def _measurement(
    visit: Visit, one: record.Measurement, treatments: dict[str, Treatment], by: User
) -> Measurement:
    return Measurement(
        visit=visit,
        test=one.test,
        side=one.side,
        trials=list(one.trials),
        unit=one.unit,
        answer=one.answer,
        method=one.method,
        tester=one.tester,
        could_not=one.could_not,
        pain_score=one.pain.score if one.pain else None,
        pain_where=one.pain.where if one.pain else "",
        after=treatments[one.after] if one.after else None,
        note=one.note,
        made_by=by,
    )


def keep_recording(
    visit: Visit,
    kind: record.JumpKind,
    name: str,
    data: bytes | Promised,
    by: User,
    *,
    options: dict[str, Any] | None = None,
    sent_as: UUID | None = None,
) -> Recording:
    """Keep the bytes of a recording with their hash; its file goes by the hash, not by a name."""
    digest = data.sha256 if isinstance(data, Promised) else sha256(data).hexdigest()
    row = Recording(
        visit=visit,
        kind=kind,
        name=name.rsplit("/", 1)[-1],
        sha256=digest,
        options=options or {},
        made_by=by,
        sent_as=sent_as or uuid4(),
    )
    file_name = f"{digest[:32]}.txt"
    if isinstance(data, Promised):
        row.file.name = row.file.field.generate_filename(row, file_name)
    else:
        row.file.save(file_name, ContentFile(data), save=False)
    row.save()
    return row

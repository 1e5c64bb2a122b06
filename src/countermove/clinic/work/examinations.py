"""The main job on an athlete's rows: examined, kept as a result, told in one standing row."""

from __future__ import annotations

import json
from collections.abc import Callable

from django.db import transaction

from countermove import __version__, record
from countermove.catalogue import Catalogue
from countermove.clinic.people.models import Athlete, Standing
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.models import Recording
from countermove.clinic.work.models import Result
from countermove.codec import EXAMINATION
from countermove.examination import examine
from countermove.jumps import analyse_jumps
from countermove.record import Decision, Examination, Link, Trial, Verdict
from countermove.recordings import ForceOptions, parse_force

KIND = "examination"
URGENCY = {Decision.REFER: 3, Decision.ASK_FIRST: 2, Decision.NARROWER: 0, Decision.GO_ON: 0}


def examine_athlete(athlete: Athlete, catalogue: Catalogue) -> Examination | None:
    """
    Examine the latest visit and keep what came out; None before the first visit.

    The result and the standing row are written in one transaction; the same inputs with the same
    code and catalogue give the result that is there already.
    """
    whole = athlete_record(athlete)
    if not whole.visits:
        return None
    found = examine(whole, read_trials=trials_of(athlete), catalogue=catalogue)
    with transaction.atomic():
        _keep(athlete, found)
        stand(athlete, found)
    return found


def trials_of(athlete: Athlete) -> Callable[[record.Recording], tuple[Trial, ...]]:
    """Give a reader of an athlete's recordings, which the record names by their hash."""

    def read(recording: record.Recording) -> tuple[Trial, ...]:
        row = Recording.objects.filter(visit__athlete=athlete, sha256=recording.path).latest("pk")
        with row.file.open("rb") as file:
            trace = parse_force(file.read(), name=row.name, options=ForceOptions(**row.options))
        return analyse_jumps(trace, kind=recording.kind)

    return read


def _keep(athlete: Athlete, found: Examination) -> Result:
    same = athlete.results.filter(
        kind=KIND,
        inputs=found.inputs,
        code_version=__version__,
        catalogue_version=found.catalogue,
    ).first()
    if same is not None:
        return same
    return Result.objects.create(
        athlete=athlete,
        kind=KIND,
        schema=EXAMINATION.schema,
        code_version=__version__,
        catalogue_version=found.catalogue,
        settings=dict(found.settings),
        inputs=found.inputs,
        output=json.loads(EXAMINATION.to_json(found)),
        supersedes=athlete.results.filter(kind=KIND).order_by("-pk").first(),
    )


def stand(athlete: Athlete, found: Examination) -> Standing:
    """Rewrite the row that lists read."""
    verdicts = {finding.link: finding.verdict for finding in found.findings}
    row, _ = Standing.objects.update_or_create(
        athlete=athlete,
        defaults={
            "decision": found.clearance.decision,
            "urgency": URGENCY[found.clearance.decision],
            "verdict": found.verdict,
            "chain": [verdicts.get(link, Verdict.NOT_MEASURED) for link in Link],
        },
    )
    return row

"""The main job on an athlete's rows: examined, kept as a result, told in one standing row."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date

from django.db import transaction

from countermove import __version__, record
from countermove.catalogue import Catalogue
from countermove.clinic.people.models import Athlete, Standing
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.models import Recording
from countermove.clinic.work.jump_trials import marked_trials
from countermove.clinic.work.models import Result
from countermove.codec import EXAMINATION
from countermove.examination import examine
from countermove.examination.headlines import STOPPED
from countermove.record import ClearanceResult, Decision, Examination, Link, Trial, Verdict
from countermove.safety import clear

KIND = "examination"
URGENCY = {Decision.REFER: 3, Decision.ASK_FIRST: 2, Decision.NARROWER: 0, Decision.GO_ON: 0}


def examine_athlete(athlete: Athlete, catalogue: Catalogue) -> Examination | None:
    """
    Examine the latest visit and keep what came out; None before the first visit.

    The result and the standing row are written in one transaction; the same inputs with the same
    code and catalogue give the result that is there already. Before the first visit the standing
    row tells clearance alone: somebody who must not train is to be called all the same.
    """
    whole = athlete_record(athlete)
    if not whole.visits:
        stand_unmeasured(athlete, whole, catalogue)
        return None
    found = examine(with_newest_answers(whole), read_trials=trials_of(athlete), catalogue=catalogue)
    with transaction.atomic():
        _keep(athlete, found)
        stand(athlete, found, whole.clearance)
    return found


def with_newest_answers(whole: record.Athlete) -> record.Athlete:
    """
    Let the newest health answers and consents count for the latest visit, also if given after it.

    Whatever is advised is advised from now on; to judge by older answers could open what the
    newer ones close, or go on with somebody who has taken a consent back.
    """
    latest = max(visit.date for visit in whole.visits)
    whole = replace(whole, consents=tuple(_by(latest, one) for one in whole.consents))
    if whole.clearance is None or whole.clearance.asked <= latest:
        return whole
    return replace(whole, clearance=replace(whole.clearance, asked=latest))


def _by(day: date, consent: record.Consent) -> record.Consent:
    """Give a consent as it counts for a day, when all that came after the day counts for it."""
    back = consent.withdrawn_on
    return replace(
        consent,
        given_on=min(consent.given_on, day),
        withdrawn_on=back and min(back, day),
    )


def trials_of(athlete: Athlete) -> Callable[[record.Recording], tuple[Trial, ...]]:
    """
    Give a reader of an athlete's recordings, which the record names by their hash.

    Marks count: a weighing moved by hand is used, a rejected trial comes as refused.
    """

    def read(recording: record.Recording) -> tuple[Trial, ...]:
        row = Recording.objects.filter(visit__athlete=athlete, sha256=recording.path).latest("pk")
        return tuple(one.as_used() for one in marked_trials(row))

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


def stand(athlete: Athlete, found: Examination, clearance: record.Clearance | None) -> Standing:
    """Rewrite the row that lists read."""
    verdicts = {finding.link: finding.verdict for finding in found.findings}
    chain = [verdicts.get(link, Verdict.NOT_MEASURED) for link in Link]
    return _stand(athlete, found.clearance, clearance, verdict=found.verdict, chain=chain)


def stand_unmeasured(athlete: Athlete, whole: record.Athlete, catalogue: Catalogue) -> Standing:
    """Rewrite the row of somebody without a visit: judged on the day of the newest answer."""
    clearance = whole.clearance
    asked = [clearance.asked] if clearance else []
    told = [day for one in whole.consents for day in (one.given_on, one.withdrawn_on) if day]
    on = max([*asked, *told], default=athlete.made_at.date())
    judged = clear(whole, on=on, catalogue=catalogue)
    verdict = "Not measured yet."
    if judged.decision not in (Decision.GO_ON, Decision.NARROWER):
        verdict = f"{STOPPED[judged.decision]}{judged.reasons[0].text}"
    return _stand(athlete, judged, clearance, verdict=verdict, chain=[])


def _stand(
    athlete: Athlete,
    judged: ClearanceResult,
    clearance: record.Clearance | None,
    *,
    verdict: str,
    chain: list[Verdict],
) -> Standing:
    row, _ = Standing.objects.update_or_create(
        athlete=athlete,
        defaults={
            "decision": judged.decision,
            "urgency": URGENCY[judged.decision],
            "verdict": verdict,
            "chain": chain,
            "clear_until": clearance.expires if clearance else None,
        },
    )
    return row

"""The main job on an athlete's rows: examined, kept as a result, told in one standing row."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from countermove import __version__, record
from countermove.catalogue import Catalogue
from countermove.clinic.people.models import Athlete, Standing
from countermove.clinic.visits.convert import athlete_record, standing
from countermove.clinic.visits.models import Recording, Visit
from countermove.clinic.work.jump_trials import marked_trials
from countermove.clinic.work.models import Result
from countermove.codec import EXAMINATION
from countermove.errors import CountermoveError
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
    found = examine(
        whole, read_trials=trials_of(athlete), catalogue=catalogue, clearance_on=cleared_on(whole)
    )
    with transaction.atomic():
        _keep(athlete, found)
        stand(athlete, found, whole.clearance)
    return found


def keep_ready(athlete: Athlete, found: Examination, catalogue: Catalogue) -> bool:
    """
    Keep an examination that was made elsewhere, if today's code and catalogue made it.

    Returns
    -------
    bool
        False if it is of another version; then nothing is kept.
    """
    if (found.version, found.catalogue) != (__version__, catalogue.version):
        return False
    whole = athlete_record(athlete)
    with transaction.atomic():
        _keep(athlete, found)
        stand(athlete, found, whole.clearance)
    return True


def examined(visit: Visit, catalogue: Catalogue) -> tuple[Examination | None, str]:
    """Give the examination of the athlete's latest visit, or None and why there is none."""
    latest = visit.athlete.visits.order_by("-date", "-pk").first()
    if latest != visit:
        return None, _("not examined: this is not the latest visit")
    try:
        return examine_athlete(visit.athlete, catalogue), ""
    except CountermoveError as error:
        return None, str(error)


def cleared_on(whole: record.Athlete) -> date:
    """
    Give the day for which clearance is judged: the latest of visit, answers, overrides, consents.

    Whatever is advised is advised from now on. Older answers could open what newer ones close, an
    override counts from the moment it is signed, not from the next visit, and nobody goes on with
    somebody who has taken a consent back.
    """
    days = [visit.date for visit in whole.visits] + consent_days(whole)
    if whole.clearance is not None:
        days += [whole.clearance.asked, *(lifted.on for lifted in whole.clearance.overrides)]
    return max(days)


def consent_days(whole: record.Athlete) -> list[date]:
    """Give the days on which consents were given or taken back."""
    told = [(one.given_on, one.withdrawn_on) for one in whole.consents]
    return [day for days in told for day in days if day is not None]


def trials_of(athlete: Athlete) -> Callable[[record.Recording], tuple[Trial, ...]]:
    """
    Give a reader of an athlete's recordings, which the record names by their hash.

    Marks count: an event moved by hand is used, a rejected trial comes as refused.
    """

    def read(recording: record.Recording) -> tuple[Trial, ...]:
        rows = Recording.objects.filter(visit__athlete=athlete, sha256=recording.path)
        row = standing(rows).latest("pk")
        return tuple(one.as_used() for one in marked_trials(row))

    return read


def _keep(athlete: Athlete, found: Examination) -> Result:
    """Keep what came out, unless the latest result says it: what was taken back is told anew."""
    latest = athlete.results.filter(kind=KIND).order_by("-pk").first()
    made_of = found.inputs, __version__, found.catalogue
    if latest and (latest.inputs, latest.code_version, latest.catalogue_version) == made_of:
        return latest
    return Result.objects.create(
        athlete=athlete,
        kind=KIND,
        schema=EXAMINATION.schema,
        code_version=__version__,
        catalogue_version=found.catalogue,
        settings=dict(found.settings),
        inputs=found.inputs,
        output=json.loads(EXAMINATION.to_json(found)),
        supersedes=latest,
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
    on = max([*asked, *consent_days(whole)], default=athlete.made_at.date())
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
    row, _made = Standing.objects.update_or_create(
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

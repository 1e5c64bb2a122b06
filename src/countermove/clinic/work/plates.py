"""
What the athlete page draws: the latest examination, and every visit with its grades and heights.

Heights of earlier visits come from their recordings; they are analysed once and kept as a result,
found again by the hashes of the files, the marks set by hand, code and catalogue.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256

import msgspec

from countermove import __version__, record
from countermove.body import build_body
from countermove.catalogue import Catalogue
from countermove.charts import Occasion, occasion_of
from countermove.clinic.people.models import Athlete
from countermove.clinic.visits.models import Recording, TrialMark
from countermove.clinic.work.examinations import KIND, examine_athlete, trials_of
from countermove.clinic.work.models import Result
from countermove.codec import EXAMINATION
from countermove.errors import CountermoveError
from countermove.examination import checked_visit, summarise
from countermove.examination.main_job import ReadTrials, open_part
from countermove.figure import Proportions, proportions_of
from countermove.record import Examination, JumpKind, JumpResult, Trial, Visit

JUMPS = "jumps"
JUMPS_SCHEMA = 1


def examination_of(athlete: Athlete, catalogue: Catalogue) -> Examination | None:
    """
    Give the latest examination; made again where code or catalogue are newer than what is kept.

    Raises
    ------
    BadInput
        If the record cannot be examined; the message says why.
    """
    kept = athlete.results.filter(kind=KIND).order_by("-pk").first()
    if kept is None or (kept.code_version, kept.catalogue_version) != (
        __version__,
        catalogue.version,
    ):
        return examine_athlete(athlete, catalogue)
    return EXAMINATION.from_table(kept.output)


def occasions_of(
    athlete: Athlete, whole: record.Athlete, found: Examination | None, catalogue: Catalogue
) -> list[Occasion]:
    """
    Give every day of measuring for the plate, oldest first; of two visits on one day, the later.

    The latest shows what its examination judged; a test that clearance closes is not judged there.
    Earlier visits show what was measured then. A visit that cannot be true is left out.
    """
    heights = Heights(athlete, catalogue)
    made = []
    by_day = {visit.date: visit for visit in whole.visits}
    for _day, visit in sorted(by_day.items()):
        try:
            checked = checked_visit(visit, catalogue=catalogue)
        except CountermoveError:
            continue
        if found is not None and visit.date == found.on:
            checked, _closed, _notes = open_part(checked, found.clearance, catalogue)
            jumps = found.jumps
        else:
            jumps = heights.of(visit)
        made.append(occasion_of(checked, catalogue=catalogue, jumps=jumps))
    return made


def person_of(whole: record.Athlete, catalogue: Catalogue) -> Proportions:
    """Give the proportions to draw an athlete with."""
    body = build_body(
        height_m=whole.height_m,
        mass_kg=whole.mass_kg,
        sex=whole.sex,
        catalogue=catalogue,
        lengths_m=whole.lengths_m,
    )
    return proportions_of(body, catalogue)


@dataclass
class Heights:
    """Heights by visit, from what is kept or from the recordings."""

    athlete: Athlete
    catalogue: Catalogue
    read_trials: ReadTrials | None = None  # where trials are known already

    def of(self, visit: Visit) -> tuple[JumpResult, ...]:
        """Give the jumps of an earlier visit; a recording that cannot be read gives none."""
        if not visit.recordings:
            return ()
        inputs = self._inputs(visit.recordings)
        kept = self.athlete.results.filter(
            kind=JUMPS,
            inputs=inputs,
            code_version=__version__,
            catalogue_version=self.catalogue.version,
        ).first()
        if kept is not None:
            return msgspec.convert(kept.output, tuple[JumpResult, ...])
        jumps = tuple(self._summed(visit.recordings))
        self._keep(inputs, jumps)
        return jumps

    def _inputs(self, recordings: Sequence[record.Recording]) -> str:
        """Hash what the heights stand on: files, kinds, reading options, and what hands set."""
        rows = Recording.objects.filter(
            visit__athlete=self.athlete, sha256__in=[one.path for one in recordings]
        ).order_by("pk")
        marks = TrialMark.objects.filter(recording__in=rows).order_by("pk")
        stands_on = [
            [(one.kind.value, one.path) for one in recordings],
            list(rows.values_list("pk", "options")),
            list(marks.values_list("pk", flat=True)),
        ]
        return sha256(json.dumps(stands_on, sort_keys=True).encode()).hexdigest()

    def _summed(self, recordings: Iterable[record.Recording]) -> Iterator[JumpResult]:
        read = self.read_trials or trials_of(self.athlete)
        trials: dict[JumpKind, list[Trial]] = {}
        for one in recordings:
            try:
                trials.setdefault(one.kind, []).extend(read(one))
            except (CountermoveError, OSError):
                continue
        for kind, found in trials.items():
            yield summarise(kind, found, catalogue=self.catalogue)

    def _keep(self, inputs: str, jumps: tuple[JumpResult, ...]) -> None:
        Result.objects.create(
            athlete=self.athlete,
            kind=JUMPS,
            schema=JUMPS_SCHEMA,
            code_version=__version__,
            catalogue_version=self.catalogue.version,
            inputs=inputs,
            output=msgspec.to_builtins(jumps),
        )

"""
What a follow-up's page shows: what to check again, and the work list with what may be changed.

One drill is changed a visit, so that the next can tell what the change did (our default).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from uuid import uuid4

from django.utils.translation import gettext as _

from countermove.clinic.visits.convert import standing
from countermove.clinic.visits.models import DrillChange, Visit
from countermove.clinic.visits.scene import Scene
from countermove.clinic.visits.templates import FIRST_VISIT
from countermove.clinic.work.examinations import cleared_on
from countermove.clinic.work.plates import examination_of
from countermove.errors import CountermoveError
from countermove.examination.changed_work import Offer, offers_for
from countermove.examination.follow_ups import rechecks
from countermove.examination.main_job import LaidOut, lay_out
from countermove.record import Examination, Finding, Task, Verdict


@dataclass(frozen=True, kw_only=True)
class Changeable:
    """A task of the work list with what may stand in its place, and what is closed."""

    task: Task
    offers: tuple[Offer, ...]
    closed: tuple[Offer, ...]
    is_open: bool = False
    sent_as: str = field(default_factory=lambda: str(uuid4()))


@dataclass(frozen=True, kw_only=True)
class Changed:
    """A change that was made at this visit, by the names of its drills."""

    row: DrillChange
    drill: str
    into: str
    sent_as: str = field(default_factory=lambda: str(uuid4()))


@dataclass(frozen=True, kw_only=True)
class Work:
    """The work list of a follow-up."""

    tasks: tuple[Changeable, ...]
    notes: tuple[str, ...] = ()
    changed: tuple[Changed, ...] = ()
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class FollowUp:
    """
    A follow-up as its page and its cards need it.

    Attributes
    ----------
    since : date
        Day of the visit it follows.
    stood : str
        How the test to check again stood then; empty if nothing was measured.
    recheck : str
        The test to check again: what fell short most, of those that are open.
    given : frozenset of str
        Drills of the work list; the first of them that fits a test is put forward to treat with.
    """

    since: date
    stood: str
    recheck: str
    given: frozenset[str]
    work: Work


def follow_up_of(scene: Scene) -> FollowUp | None:
    """Lay out a follow-up; None for a visit that follows none."""
    followed = scene.visit.follows
    if followed is None:
        return None
    findings = _stood(scene, followed)
    recheck = next(
        (test for test in rechecks(findings) if not scene.closed(test)),
        next(test for test in FIRST_VISIT if test in scene.catalogue.tests),
    )
    work = work_of(scene)
    return FollowUp(
        since=followed.date,
        stood=_said(recheck, findings),
        recheck=recheck,
        given=frozenset(one.task.drill for one in work.tasks),
        work=work,
    )


def _stood(scene: Scene, followed: Visit) -> Sequence[Finding]:
    """Give the findings as they stood at the visit before; none if it cannot be judged."""
    try:
        laid = lay_out(
            scene.whole,
            catalogue=scene.catalogue,
            on=followed.date,
            clearance_on=cleared_on(scene.whole),
        )
    except CountermoveError:
        return ()
    return laid.findings


def _said(test: str, findings: Iterable[Finding]) -> str:
    """Say how a test stood: its worst grade in a sentence."""
    grades = [graded for finding in findings for graded in finding.grades if graded.test == test]
    order = [Verdict.SHORT, Verdict.TOO_CLOSE, Verdict.MEETS, Verdict.NOT_MEASURED]
    grades.sort(key=lambda graded: order.index(graded.verdict))
    return grades[0].text if grades else ""


def work_of(scene: Scene) -> Work:
    """Give the work list of a visit with what may be changed of it."""
    athlete, catalogue = scene.visit.athlete, scene.catalogue
    if athlete.visits.order_by("-date", "-pk").first() != scene.visit:
        return Work(tasks=(), why_not=_("this is not the latest visit"))
    try:
        found = examination_of(athlete, catalogue)
    except CountermoveError as error:
        return Work(tasks=(), why_not=str(error))
    if found is None:
        return Work(tasks=(), why_not=_("nothing is measured yet"))
    laid = lay_out(scene.whole, catalogue=scene.catalogue, clearance_on=cleared_on(scene.whole))
    changed = tuple(_changed(scene))
    return Work(tasks=_changeable(found, laid, scene), notes=found.notes, changed=changed)


def _changeable(found: Examination, laid: LaidOut, scene: Scene) -> tuple[Changeable, ...]:
    measured = {row.test for row in scene.rows.values()}
    rows: list[Changeable] = []
    for task in found.tasks:
        offers = offers_for(task, found.tasks, laid.bench)
        helps = measured & set(scene.catalogue.drills[task.drill].helps)
        rows.append(
            Changeable(
                task=task,
                offers=tuple(offer for offer in offers if not offer.against),
                closed=tuple(offer for offer in offers if offer.against),
                is_open=bool(helps) and not any(row.is_open for row in rows),
            )
        )
    return tuple(rows)


def _changed(scene: Scene) -> list[Changed]:
    drills = scene.catalogue.drills
    rows = standing(DrillChange.objects.filter(visit=scene.visit)).select_related("made_by")
    return [
        Changed(row=row, drill=drills[row.drill].name, into=drills[row.into].name)
        for row in rows
        if row.drill in drills and row.into in drills
    ]

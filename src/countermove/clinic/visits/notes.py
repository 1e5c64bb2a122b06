"""The note of a visit in plain text, built from the record alone, for copying elsewhere."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from countermove.clinic.visits.cards import card_of
from countermove.clinic.visits.convert import standing
from countermove.clinic.visits.models import DrillChange
from countermove.clinic.visits.scene import Scene
from countermove.clinic.visits.testing_order import in_testing_order
from countermove.record import Decision, Examination


def note_of(scene: Scene, found: Examination | None, why_not: str = "", *, whom: str = "") -> str:
    """
    Write the note.

    Parameters
    ----------
    scene : Scene
        The visit.
    found : Examination or None
        Of this visit; without one, findings and work list are left out.
    why_not : str, optional
        Why there is none; stands in their place.
    whom : str, optional
        Who is told, by the athlete's consent; empty for the practice's own record.
    """
    head = [_("For %(whom)s, with the athlete's consent") % {"whom": whom}] if whom else []
    return "\n".join([*head, *_lines(scene, found, why_not)]).strip() + "\n"


def _lines(scene: Scene, found: Examination | None, why_not: str) -> Iterator[str]:
    visit = scene.visit
    yield f"{visit.athlete.name}, {date_format(visit.date, 'j F Y')}, {visit.tester}"
    yield from _part(_("Said"), _said(scene))
    yield from _part(_("Clearance today"), _clearance(scene))
    measured = list(_measured(scene))
    yield from _part(_("Measured"), measured or [_("nothing yet")])
    yield from _part(_("Treated and measured again"), list(_treated(scene)))
    if found is None:
        yield from _part(_("Findings"), [why_not])
    else:
        yield from _part(_("Findings"), _findings(found))
        yield from _part(_("Work list"), list(_work(found)))
    yield from _part(_("Changed on the work list"), list(_changed(scene)))
    yield from _part(_("Note"), [visit.note] if visit.note else [])
    yield ""
    yield _("Checked against every rule listed, which is not a promise. Patterns, not diagnoses.")


def _part(title: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield ""
        yield title
        yield from (f"- {line}" for line in lines)


def _said(scene: Scene) -> list[str]:
    lines = [scene.visit.said] if scene.visit.said else []
    goal = scene.visit.athlete.goal
    return [*lines, _("Goal: %(goal)s") % {"goal": goal}] if goal else lines


def _clearance(scene: Scene) -> list[str]:
    reasons = [
        reason.text + (_(" (lifted: %s)") % reason.overridden if reason.overridden else "")
        for reason in scene.clearance.reasons
        if reason.decision is not Decision.GO_ON or reason.overridden
    ]
    return [str(scene.clearance.decision), *reasons]


def _measured(scene: Scene) -> Iterator[str]:
    for key in in_testing_order(scene.catalogue):
        card = card_of(key, scene)
        for kept in card.kept:
            side = "" if kept.row.side == "both" else f", {kept.row.side}"
            parts = [kept.told.value, kept.told.trials, kept.told.verdict + kept.told.rest]
            words = [part.rstrip(".") for part in (*parts, kept.told.pain) if part.strip(".")]
            yield f"{card.test.name}{side}: {'. '.join(words)}."


def _treated(scene: Scene) -> Iterator[str]:
    for treatment in scene.treatments:
        name = scene.catalogue.drills[treatment.drill].name
        cue = f" “{treatment.cue}”" if treatment.cue else ""
        yield f"{name}, {treatment.side}, {treatment.minutes:g} min.{cue}"
    for key in in_testing_order(scene.catalogue):
        for kept in card_of(key, scene).kept:
            for one in kept.rounds:
                if one.sentence:
                    yield one.sentence + (f" [{one.word}]" if one.word else "")


def _findings(found: Examination) -> list[str]:
    return [found.verdict, *(finding.text for finding in found.findings)]


def _work(found: Examination) -> Iterator[str]:
    for task in found.tasks:
        yield f"{task.name}, {task.side}: {task.dose}. {task.cue} {task.stop}"


def _changed(scene: Scene) -> Iterator[str]:
    drills = scene.catalogue.drills
    for row in standing(DrillChange.objects.filter(visit=scene.visit)):
        if row.drill not in drills or row.into not in drills:
            continue
        words = {"new": drills[row.into].name, "old": drills[row.drill].name}
        yield _("%(new)s in place of %(old)s") % words + f": {row.reason}"

"""
What stands on the athlete's sheet, in plain values that a template can lay out.

The sheet is made from an examination and the catalogue, and from nothing else: no clock, no files.
Each part has a heading and lines; a line may open with a few strong words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from textwrap import shorten

from countermove.catalogue import Catalogue, Drill
from countermove.documents.athlete_words import (
    part_found,
    reason_for,
    side_of,
    spoken_date,
    spoken_dose,
)
from countermove.documents.cautions import left_out, stop_rules, whom_to_ask
from countermove.documents.clearance_words import asked_first, referred
from countermove.documents.parts import Line, Opening, Part, Practice
from countermove.documents.pictures import Picture, pictures_of
from countermove.errors import BadInput
from countermove.examination import gain_of, gains_little
from countermove.examination.sentences import listed, opening
from countermove.record import Decision, Examination, Finding, Task, Verdict
from countermove.safety import capped

WEEKS = 2
DAYS_A_WEEK = 7
FOOT_LETTERS = 80  # as many as one line of the foot holds


@dataclass(frozen=True, kw_only=True, slots=True)
class DrillSheet:
    """One drill as the athlete reads it; `boxes` is how often a week it is ticked."""

    name: str
    side: str
    dose: str
    cue: str
    steps: tuple[str, ...]
    stop: Line
    why: str
    boxes: int
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """
    The whole hand-out.

    Attributes
    ----------
    title, name, day, date : str, str, str, tuple of int
        The document's title; the athlete; the visit's day in words and as year, month, day.
    aim, aside : str
        What this is for, in one sentence, and what goes with it.
    before, after : tuple of Part
        What stands before and after the drills.
    weeks, days : tuple of str
        First day of each week of the diary, and each of its days; empty without drills.
    practice : str
        Whom it is from.
    foot, made : str
        For the foot of the page: whom it is from and for, on one line; what made it.
    """

    title: str
    name: str
    day: str
    date: tuple[int, int, int]
    aim: str
    aside: str
    before: tuple[Part, ...]
    drills: tuple[DrillSheet, ...]
    weeks: tuple[str, ...]
    days: tuple[str, ...]
    after: tuple[Part, ...]
    practice: str
    foot: str
    made: str


def sheet_of(examination: Examination, catalogue: Catalogue, *, practice: Practice) -> Sheet:
    """
    Write the athlete's sheet of an examination.

    Raises
    ------
    BadInput
        If the catalogue lacks a drill of the work list.
    """
    decision = examination.clearance.decision
    drills: tuple[DrillSheet, ...] = ()
    if decision is Decision.REFER:
        front = referred(examination, catalogue, emergency=practice.emergency)
    elif decision is Decision.ASK_FIRST:
        front = asked_first(examination, catalogue)
    else:
        front = _opening(examination)
        drills = tuple(_drill(task, examination, catalogue) for task in examination.tasks)
    day = spoken_date(examination.on)
    return Sheet(
        title=f"Hand-out for {examination.name}, {day}",
        name=examination.name,
        day=day,
        date=(examination.on.year, examination.on.month, examination.on.day),
        aim=front.aim,
        aside=front.aside,
        before=(*front.parts, *([stop_rules(practice)] if drills else [])),
        drills=drills,
        weeks=tuple(_weeks(examination)) if drills else (),
        days=tuple(_days(examination)) if drills else (),
        after=(whom_to_ask(examination.on, practice, with_drills=bool(drills)),),
        practice=practice.name,
        foot=shorten(" · ".join(filter(None, (practice.name, examination.name))), FOOT_LETTERS),
        made=made_by(examination, catalogue),
    )


def made_by(examination: Examination, catalogue: Catalogue) -> str:
    """Name the version and the catalogue, and a second one if the steps come from another."""
    steps = "" if examination.catalogue == catalogue.version else f", steps of {catalogue.version}"
    return f"countermove {examination.version}, catalogue {examination.catalogue}{steps}"


def _drill(task: Task, examination: Examination, catalogue: Catalogue) -> DrillSheet:
    if task.drill not in catalogue.drills:
        raise BadInput(
            f"the work list holds {task.drill!r}, which catalogue {catalogue.version} lacks; pass"
            f" catalogue {examination.catalogue}, or examine again"
        )
    drill = catalogue.drills[task.drill]
    return DrillSheet(
        name=task.name,
        side=side_of(task, drill),
        dose=spoken_dose(task),
        cue=task.cue,
        steps=drill.steps,
        stop=_stop_line(task.stop),
        why=reason_for(task, drill, examination),
        boxes=_days_left(drill, examination),
        pictures=pictures_of(task.drill, task.side, catalogue),
    )


def _days_left(drill: Drill, examination: Examination) -> int:
    """Give the days a week of a drill, those with landings as clearance leaves them."""
    left = capped(drill.dose, examination.clearance.landings) or drill.dose
    return max(1, min(DAYS_A_WEEK, round(left.days_a_week.value)))


def _stop_line(said: str) -> Line:
    """Set the word in bold that the rule begins with; put it before a rule that does not."""
    first, _, rest = said.partition(" ")
    return Line(strong="Stop", text=rest) if first == "Stop" else Line(strong="Stop:", text=said)


def _opening(examination: Examination) -> Opening:
    """Say what the work is for, and what the visit showed."""
    aim, aside = _aim(examination)
    parts = [Part(heading="What stands out", lines=tuple(_found(examination)))]
    closed = examination.clearance.closes
    if closed:
        parts.append(left_out(closed))
    return Opening(aim=aim, aside=aside, parts=tuple(parts))


def _aim(examination: Examination) -> tuple[str, str]:
    short = [f for f in examination.findings if f.verdict is Verdict.SHORT]
    if not examination.tasks:
        return _no_work(short)
    if short:
        return f"{examination.verdict.split('. ')[0].removesuffix('.')}.", ""
    if spring_is_short(examination):
        return (
            "Train the spring of your jump.",
            "Every part that we measured is free enough for it.",
        )
    return (
        "Nothing falls short.",
        "The work below is optional: one part was too close to call.",
    )


def spring_is_short(examination: Examination) -> bool:
    """Tell whether the countermovement adds little to the jump."""
    gain = gain_of(examination.jumps)
    return gain is not None and gains_little(gain)


def _no_work(short: list[Finding]) -> tuple[str, str]:
    """Say kindly that there is no work list, and why."""
    if short:
        parts = listed(part_found(finding) for finding in short)
        return (
            "No drills on this sheet, for now.",
            f"We would like to work on your {parts}, but none of our drills fits you yet."
            " Your practitioner decides by hand what comes next; ask at your next visit.",
        )
    return (
        "Nothing falls short in what we measured.",
        "So there is no extra work for you this time. Keep to the training you have, and come back"
        " if something hurts, feels stiff or changes. We measure again at your next visit.",
    )


def _found(examination: Examination) -> Iterator[Line]:
    """Yield what the visit showed, from the floor up, without numbers."""
    for finding in examination.findings:
        if finding.verdict is Verdict.SHORT:
            yield Line(
                strong=f"{opening(part_found(finding))}:", text="short of what jumping asks."
            )
    for finding in examination.findings:
        if finding.verdict is Verdict.TOO_CLOSE:
            text = "too close to call. We measure it again."
            yield Line(strong=f"{opening(part_found(finding))}:", text=text)
    if spring_is_short(examination):
        yield Line(
            strong="Spring:", text="the quick dip before your jump adds little height so far."
        )
    for verdict, strong in (
        (Verdict.MEETS, "Meets what jumping asks:"),
        (Verdict.NOT_MEASURED, "Not measured this time:"),
    ):
        names = [part_found(f) for f in examination.findings if f.verdict is verdict]
        if names:
            yield Line(strong=strong, text=f"{listed(names)}.")
    if any(change.changed for finding in examination.findings for change in finding.changes):
        text = "something moved after treatment. Only weeks of work show whether it stays."
        yield Line(strong="Today:", text=text)


def _weeks(examination: Examination) -> Iterator[str]:
    for week in range(WEEKS):
        first = examination.on + timedelta(days=1 + DAYS_A_WEEK * week)
        yield f"{first.day} {first:%B}"


def _days(examination: Examination) -> Iterator[str]:
    for number in range(1, 1 + WEEKS * DAYS_A_WEEK):
        day = examination.on + timedelta(days=number)
        yield f"{day:%a} {day.day} {day:%b}"

"""An examination as a page in the terminal: told from the ankle up, as the chain is worked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from countermove.catalogue import Catalogue
from countermove.cli.text import RULE, band, page, paragraph, part, spoken_date
from countermove.record import (
    ClearanceResult,
    Examination,
    Finding,
    Grade,
    JumpResult,
    Severity,
    Task,
)
from countermove.units import from_si, unit_of

LEGEND = "●  measured    ├─┤  where the true value lies 19 times in 20    ┃  what jumping asks"


def examination_page(examination: Examination, catalogue: Catalogue) -> str:
    """Give the page of one examination."""
    return page(
        [
            RULE,
            _heading(examination),
            paragraph(examination.verdict, indent=2),
            _clearance(examination.clearance),
            _chain(examination.findings, catalogue),
            part("The jump", [_jump(result) for result in examination.jumps]),
            part("Work list", [_task(i, t) for i, t in enumerate(examination.tasks, start=1)]),
            part("Not used", [paragraph(note, indent=2) for note in examination.notes]),
            part("Cautions", [paragraph(c, indent=2, first="- ") for c in examination.cautions]),
        ]
    )


def _heading(examination: Examination) -> str:
    made = f"countermove {examination.version}, catalogue {examination.catalogue}"
    return f"{examination.name}\nVisit of {spoken_date(examination.on)}. {made}."


def _clearance(clearance: ClearanceResult) -> str:
    heading = f"Clearance: {clearance.decision}"
    if not clearance.reasons:
        return f"{heading}\n  Every question was answered, and none stops or narrows the work."
    return part(heading, [_reason(r.text, r.overridden) for r in clearance.reasons])


def _reason(text: str, overridden: str) -> str:
    lifted = f" Lifted: {overridden}" if overridden else ""
    return paragraph(text + lifted, indent=2, first="- ")


def _chain(findings: Sequence[Finding], catalogue: Catalogue) -> str:
    lines = [_finding(finding, catalogue) for finding in findings]
    return part("From the floor up", [f"  {LEGEND}", *lines]) if findings else ""


def _finding(finding: Finding, catalogue: Catalogue) -> str:
    rows = [row for grades in _by_test(finding.grades) for row in _rows(grades, catalogue)]
    more = [*finding.details, *(change.text for change in finding.changes)]
    lines = [
        "\n" + paragraph(finding.text, indent=2),
        *rows,
        "" if not (rows and more) else " ",
        *(paragraph(text, indent=4) for text in more),
    ]
    return "\n".join(line.rstrip(" ") for line in lines if line)


def _by_test(grades: Sequence[Grade]) -> list[list[Grade]]:
    tests = dict.fromkeys(grade.test for grade in grades)
    return [[grade for grade in grades if grade.test == test] for test in tests]


def _rows(grades: list[Grade], catalogue: Catalogue) -> Iterator[str]:
    """Yield a test's name, then a row a side on one common line."""
    test = catalogue.tests[grades[0].test]
    yield f"\n    {test.name}"
    ends = [end for grade in grades for end in _ends(grade)]
    for grade in grades:
        if grade.value is None or not test.unit:
            yield f"      {grade.side:<6} {grade.verdict}"
            continue
        decimals = 0 if unit_of(test.unit).kind == "count" else 1
        value = f"{from_si(grade.value, test.unit):6.{decimals}f} {test.unit}"
        drawn = band(grade.value, grade.error or 0.0, grade.target, min(ends), max(ends))
        asked = "" if grade.target is None else f"asked {from_si(grade.target, test.unit):g}"
        yield f"      {grade.side:<6} {value:<12} {drawn}  {asked:<11} {grade.verdict}"


def _ends(grade: Grade) -> list[float]:
    """List everything that a grade's line must reach."""
    if grade.value is None:
        return []
    error = grade.error or 0.0
    target = [] if grade.target is None else [grade.target]
    return [grade.value - error, grade.value + error, *target]


def _jump(result: JumpResult) -> str:
    doubts = [note for note in result.quality if note.severity is not Severity.NOTE]
    notes = [paragraph(note.text, indent=4, first="read with care: ") for note in doubts]
    return "\n".join([paragraph(result.text, indent=2), *notes])


def _task(number: int, task: Task) -> str:
    return "\n".join(
        [
            f"\n  {number}  {task.name}, {task.side}",
            paragraph(task.dose, indent=5),
            paragraph(f"“{task.cue}”", indent=5),
            paragraph(task.why, indent=5, first="Why: "),
            paragraph(task.stop, indent=5, first="Stop: "),
        ]
    )

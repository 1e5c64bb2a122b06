"""
Plain words for the athlete: parts of the body, how much of a drill, and what it is for.

No numbers of ours stand in them: an athlete needs to know which part to work on, not by how many
centimetres a test fell short. What was found is said; what it could be is never named.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date

from countermove.catalogue import Drill, Quality
from countermove.examination.sentences import listed, opening
from countermove.record import Examination, Finding, Grade, Link, Side, Task, Verdict

PARTS: dict[Link | None, str] = {
    Link.ANKLE: "ankle",
    Link.KNEE: "knee",
    Link.HIP: "hip",
    Link.THORACIC_SPINE: "upper back",
    Link.SHOULDER: "shoulder",
    None: "landing",
}
PAIRED = (Link.ANKLE, Link.KNEE, Link.HIP, Link.SHOULDER)
WORKED = (Verdict.SHORT, Verdict.TOO_CLOSE)

# What a caution's tag means on the floor of a gym.
CLOSED = {
    "bending back": "bending your upper back over a roll or bench",
    "decline squat": "squats on a wedge",
    "drop": "drops from a box or step",
    "end-range dorsiflexion": "pushing an ankle to the end of its bend",
    "end-range hip": "pushing a hip to the end of its range",
    "end-range knee": "pushing a knee to the end of its range",
    "every test": "every test",
    "fast calf": "fast or springy calf work",
    "heel below level": "lowering a heel below the edge of a step",
    "heel raise to fatigue": "heel raises until you can do no more",
    "high drop": "drops from a high box",
    "hop": "hops",
    "jump": "jumps",
    "kneeling": "kneeling",
    "kneeling on heels": "sitting back on your heels",
    "lying on the back": "exercises flat on your back",
    "maximal strength": "lifting as heavy as you can",
    "one-leg heel raise": "heel raises on one leg",
    "overhead": "work with your arms overhead",
    "single-leg hop": "hops on one leg",
    "strap at the ankle": "a strap at the ankle",
}


def spoken_date(day: date) -> str:
    """Write a date as people say it, the same in every country."""
    return f"{day.day} {day:%B %Y}"


def body_part(link: Link | None, sides: Iterable[Side]) -> str:
    """
    Name a part of the body with its side; the upper back has none, but turns to one.

    Examples
    --------
    >>> body_part(Link.ANKLE, [Side.RIGHT]), body_part(Link.HIP, [Side.LEFT, Side.RIGHT])
    ('right ankle', 'both hips')
    >>> body_part(Link.THORACIC_SPINE, [Side.LEFT])
    'upper back, turning left'
    """
    met = set(sides)
    one = next(iter(met)) if len(met) == 1 else Side.BOTH
    name = PARTS[link]
    if link in PAIRED:
        return f"both {name}s" if one is Side.BOTH else f"{one} {name}"
    return name if one is Side.BOTH or link is None else f"{name}, turning {one}"


def part_found(finding: Finding) -> str:
    """Name a finding's part of the body, on the sides that its verdict stands on."""
    sides = [grade.side for grade in finding.grades if grade.verdict is finding.verdict]
    return body_part(finding.link, sides)


def side_of(task: Task, drill: Drill) -> str:
    """Say on which side a drill is done."""
    if task.side is Side.BOTH:
        return "each side" if drill.side == "each" else "both sides together"
    return f"{task.side} side"


def spoken_dose(task: Task) -> str:
    """Write a task's dose as short sentences, seconds written out, one of a thing as one."""
    said = re.sub(r"(?<=\d) s\b", " seconds", task.dose)
    said = re.sub(r"(?<![\d.])1 (day|set|landing|second)s\b", r"1 \1", said)
    return ". ".join(opening(part) for part in said.split("; "))


def answered(task: Task, drill: Drill, findings: Sequence[Finding]) -> list[Finding]:
    """List the findings that a drill answers by itself, on the task's side."""
    return [
        finding
        for finding in findings
        if any(_answers(task, drill, finding, grade) for grade in finding.grades)
    ]


def _answers(task: Task, drill: Drill, finding: Finding, grade: Grade) -> bool:
    same_side = Side.BOTH in (task.side, grade.side) or task.side is grade.side
    return (
        finding.verdict in WORKED
        and grade.verdict is finding.verdict
        and grade.test in drill.helps
        and same_side
    )


def reason_for(task: Task, drill: Drill, examination: Examination) -> str:
    """Say what a drill is for: the part that is short, the spring, or the work that follows."""
    found = answered(task, drill, examination.findings)
    short = [part_found(f) for f in found if f.verdict is Verdict.SHORT]
    close = [part_found(f) for f in found if f.verdict is Verdict.TOO_CLOSE]
    if short:
        return f"For your {listed(short)}, short of what jumping asks."
    if close:
        return f"Optional. For your {listed(close)}, which was too close to call."
    if drill.quality is Quality.STRETCH_SHORTENING:
        return "For the spring of your jump: the quick dip before it adds little height so far."
    return "It leads up to the work that comes next."

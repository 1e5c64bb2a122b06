"""
The work list after a hand changed it: one drill eased, taken further, or swapped for its like.

A change stands for as long as the list it was made on: through the follow-ups of a visit, until a
new whole visit makes a new list. It is no way round a rule: what is closed to the athlete is not
offered, and where the drill that was put in is closed later, neither it nor the one that gave way
is given, since that one gave way for a reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from countermove.catalogue import Drill, current
from countermove.examination.work_lists import Bench, drill_side, merged, order_of, task_of
from countermove.record import DrillChange, Instead, Side, Task

HOW_SAID = {
    Instead.EASE: "easier than",
    Instead.PROGRESS: "the next step after",
    Instead.SWAP: "in place of",
}


@dataclass(frozen=True, kw_only=True)
class Offer:
    """
    A drill that may take the place of one on the list.

    Attributes
    ----------
    against : tuple of str
        What closes it now; empty if none of the listed rules does.
    """

    drill: str
    name: str
    how: Instead
    against: tuple[str, ...] = ()


def offers_for(task: Task, tasks: Iterable[Task], bench: Bench) -> tuple[Offer, ...]:
    """
    Give the drills that may stand in place of a task: easier, further, then others of its kind.

    Others of its kind help one of the same tests with the same quality, and fit the same pattern.
    What is on the list already is left out.
    """
    drills = current(bench.catalogue.drills)
    taken = {one.drill for one in tasks}
    found = (
        Offer(
            drill=key,
            name=drills[key].name,
            how=how,
            against=bench.against(key, drill_side(drills[key], task.side)),
        )
        for key, how in _alike(task.drill, drills).items()
        if key not in taken
    )
    return tuple(sorted(found, key=lambda offer: list(Instead).index(offer.how)))


def _alike(key: str, drills: dict[str, Drill]) -> dict[str, Instead]:
    """Give every drill that is easier, further or of the kind of one; each once."""
    one = drills.get(key)
    if one is None:
        return {}
    ways = [(other, Instead.EASE) for other in one.regressions]
    ways += [(other, Instead.PROGRESS) for other in one.progressions]
    of_a_kind = [
        (other, drill)
        for other, drill in drills.items()
        if other != key and _is_of_a_kind(drill, one)
    ]
    of_a_kind.sort(key=lambda pair: order_of(pair[1]))
    ways += [(other, Instead.SWAP) for other, _drill in of_a_kind]
    alike: dict[str, Instead] = {}
    for other, how in ways:
        if other in drills:
            alike.setdefault(other, how)
    return alike


def _is_of_a_kind(drill: Drill, one: Drill) -> bool:
    """Tell whether two drills help one test with one quality, and fit one pattern if any."""
    patterned = drill.patterns and one.patterns
    return (
        drill.quality is one.quality
        and bool(set(drill.helps) & set(one.helps))
        and (not patterned or bool(set(drill.patterns) & set(one.patterns)))
    )


def changed_tasks(
    tasks: Sequence[Task], changes: Sequence[DrillChange], bench: Bench
) -> tuple[tuple[Task, ...], tuple[str, ...]]:
    """
    Put what a hand changed into a work list.

    Parameters
    ----------
    tasks : sequence of Task
        As the rules chose them.
    changes : sequence of DrillChange
        Oldest first; one may change what an earlier one put in. A change of a drill that is not on
        the list changes nothing.
    bench : Bench
        The rules count for what is put in.

    Returns
    -------
    tuple of Task
        Each new one with its reason, in the place of the old.
    tuple of str
        What could not be put in, and why.
    """
    if not changes:
        return tuple(tasks), ()
    standing, notes = list(tasks), []
    for change in changes:
        if change.into not in bench.catalogue.drills:
            continue
        standing = [_changed(task, change, bench) for task in standing]
    given = []
    for task in standing:
        note = _closed(task, changes, bench)
        notes += note
        given += [] if note else [task]
    return merged(given, bench), tuple(notes)


def _changed(task: Task, change: DrillChange, bench: Bench) -> Task:
    if task.drill != change.drill:
        return task
    drill = bench.catalogue.drills[change.into]
    side = Side.BOTH if drill.side == "both" else task.side
    why = f"{HOW_SAID[change.how].capitalize()} “{task.name}”: {change.reason.rstrip('.')}."
    return replace(
        task_of(change.into, drill_side(drill, side), "", bench), why=f"{why} {task.why}"
    )


def _closed(task: Task, changes: Sequence[DrillChange], bench: Bench) -> list[str]:
    """Say why a drill that a hand put in is not given; nothing for what the rules chose."""
    if all(change.into != task.drill for change in changes):
        return []
    against = bench.against(task.drill, task.side)
    if not against:
        return []
    return [
        f"“{task.name}” was put on the list by hand and is closed now: {against[0].rstrip('.')}."
        " Nothing is given in its place; choose again."
    ]

"""
The landings of a work list, all drills together, inside what clearance leaves.

The list is worked from the top; what comes later gets what room is left, by whole sets, and where
nothing is left it is not given.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from countermove.catalogue import Catalogue, Dose, Drill
from countermove.record import LandingCap, Side, Task
from countermove.safety import capped

WriteDose = Callable[[Drill, Side, Dose], str]


def within_session(
    tasks: Sequence[Task], cap: LandingCap, *, catalogue: Catalogue, write: WriteDose
) -> tuple[tuple[Task, ...], tuple[str, ...]]:
    """
    Hold the landings of a work list down to a cap.

    Parameters
    ----------
    tasks : sequence of Task
        In the order to work.
    cap : LandingCap
        From `clear`; one that limits nothing leaves the list as it is.
    catalogue : Catalogue
        Holds the drills and their usual doses.
    write : callable
        From a drill, a side and a dose to its words.

    Returns
    -------
    tuple of Task
        With the doses that are left.
    tuple of str
        A note for each drill that there is no room for.
    """
    room, kept, notes = cap.most, [], []
    for task in tasks:
        drill = catalogue.drills[task.drill]
        feet = _counted_twice(drill, task.side)
        left = capped(drill.dose, cap, room=None if room is None else room / feet)
        if left is None:
            notes.append(_no_room(task, cap))
            continue
        if room is not None and left.contacts is not None:
            room -= left.contacts.value * feet
        kept.append(task if left == drill.dose else _held(task, drill, left, cap, write))
    return tuple(kept), tuple(notes)


def _counted_twice(drill: Drill, side: Side) -> int:
    """A drill of one leg at a time, done on both, lands twice as often as its dose says."""
    return 2 if drill.side == "each" and side is Side.BOTH else 1


def _held(task: Task, drill: Drill, left: Dose, cap: LandingCap, write: WriteDose) -> Task:
    dose = f"{write(drill, task.side, left)} Fewer landings than usual for now."
    return replace(task, dose=dose, sources=tuple(dict.fromkeys((*task.sources, *cap.sources))))


def _no_room(task: Task, cap: LandingCap) -> str:
    limit = "" if cap.most is None else f": {cap.most:g} landings a session are reached"
    return f"“{task.name}” is not given{limit}."

"""
The drills as a graph: which must be done well before which, and so how many steps each lies up.

A gate on a test is no step: it opens on the day of the test. Only a gate on another drill is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from countermove.catalogue.entries import Drill, Quality
from countermove.errors import BadCatalogue
from countermove.record import Level, Link


def drills_before(drill: Drill) -> tuple[str, ...]:
    """Give the keys of the drills that a drill's gates name."""
    return tuple(gate.drill for gate in drill.gates if gate.drill)


def levels_of(drills: Mapping[str, Drill]) -> dict[str, int]:
    """
    Give each drill its level: how many drills, at least, are done one after the other before it.

    Parameters
    ----------
    drills : mapping of str to Drill
        All of a catalogue, or `current` ones.

    Returns
    -------
    dict of str to int
        0 opens at once. A drill that no order of doing reaches, because a drill before it is not
        there, is left out (see `unreachable`).

    Raises
    ------
    BadCatalogue
        If gates go round in a circle, with the circle.
    """
    graph = {key: drills_before(drill) for key, drill in drills.items()}
    try:
        order = [*TopologicalSorter(graph).static_order()]
    except CycleError as error:
        circle = " < ".join(error.args[1])
        raise BadCatalogue(f"drills: gates go round in a circle: {circle}") from None
    levels: dict[str, int] = {}
    for key in order:
        if key in drills and all(other in levels for other in graph[key]):
            levels[key] = 1 + max((levels[other] for other in graph[key]), default=-1)
    return {key: levels[key] for key in drills if key in levels}


def unreachable(drills: Mapping[str, Drill]) -> frozenset[str]:
    """Give the drills that never open, because a drill before them is missing or never opens."""
    return frozenset(drills) - frozenset(levels_of(drills))


def ladder_of(drills: Mapping[str, Drill], link: Link) -> tuple[tuple[str, ...], ...]:
    """
    Lay the drills of one link out from easy to hard.

    Parameters
    ----------
    drills : mapping of str to Drill
        All of a catalogue, or `current` ones.
    link : Link
        A drill belongs to the first link it names, so each stands once.

    Returns
    -------
    tuple of tuple of str
        Keys, one tuple a level that holds any; within a level by quality, then by level of
        athlete, then as the catalogue has them.
    """
    levels = levels_of(drills)
    mine = [key for key in levels if drills[key].links[0] is link]
    rows = (_in_order(drills, (key for key in mine if levels[key] == n)) for n in range(len(mine)))
    return tuple(row for row in rows if row)


def _in_order(drills: Mapping[str, Drill], keys: Iterable[str]) -> tuple[str, ...]:
    qualities, levels = [*Quality], [*Level]
    return tuple(
        sorted(
            keys,
            key=lambda key: (
                qualities.index(drills[key].quality),
                levels.index(drills[key].level),
            ),
        )
    )

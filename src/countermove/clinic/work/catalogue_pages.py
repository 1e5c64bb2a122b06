"""What the pages of the catalogue say of a drill: gates, loads and neighbours, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from countermove.catalogue import (
    Catalogue,
    Cited,
    Drill,
    Gate,
    Quality,
    Sense,
    current,
    drills_before,
    ladder_of,
    levels_of,
    load_catalogue,
)
from countermove.examination.sentences import source_name
from countermove.figure import draw_drill, draw_test, load_poses
from countermove.figure.poses import Kind
from countermove.record import Link


@dataclass(frozen=True, slots=True)
class Rung:
    """Drills of one link that open after the same number of others."""

    height: str
    drills: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One drill on a rung, with what opens it."""

    key: str
    name: str
    gates: tuple[str, ...]
    drawn: bool


def ladders(catalogue: Catalogue) -> list[tuple[Link, list[Rung]]]:
    """Lay every drill of the catalogue out: links in chain order, each from easy to hard."""
    drills = current(catalogue.drills)
    levels, poses = levels_of(drills), load_poses("drills")
    return [
        (
            link,
            [
                Rung(
                    _height(levels[keys[0]]),
                    tuple(
                        Step(key, drills[key].name, gates_of(drills[key], catalogue), key in poses)
                        for key in keys
                    ),
                )
                for keys in ladder_of(drills, link)
            ],
        )
        for link in Link
    ]


def _height(level: int) -> str:
    if level == 0:
        return _("opens at once")
    return ngettext("after %(n)d drill", "after %(n)d drills", level) % {"n": level}


def gates_of(drill: Drill, catalogue: Catalogue) -> tuple[str, ...]:
    """Say what opens a drill, earlier drills first."""
    ordered = sorted(drill.gates, key=lambda gate: not gate.drill)
    return tuple(gate_words(gate, catalogue) for gate in ordered)


def gate_words(gate: Gate, catalogue: Catalogue) -> str:
    """Name a gate shortly: the drill before, or the test and what it must show."""
    if gate.drill:
        return catalogue.drills[gate.drill].name
    test = catalogue.tests[gate.test]
    if gate.value is None:
        (answer,) = [choice.text for choice in test.choices if choice.key == gate.answer]
        return f"{test.name}: {answer}"
    sense = _("at least") if gate.sense is Sense.AT_LEAST else _("at most")
    return f"{test.name}: {sense} {gate.value.value:g} {gate.value.unit}"


def follows(key: str, catalogue: Catalogue) -> list[str]:
    """Give the keys of the drills that wait for this one."""
    drills = current(catalogue.drills)
    return [other for other, drill in drills.items() if key in drills_before(drill)]


def loads(drill: Drill, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """
    Yield what a drill asks of each tendon and how it lands, each with how we know it.

    A number stands only where it was read; otherwise the words say that none was found.
    """
    for name, load in (
        (_("Achilles tendon"), drill.achilles),
        (_("kneecap tendon"), drill.patellar),
    ):
        if load is not None:
            read = [(_("peak"), load.peak), (_("index"), load.index)]
            yield name, _rank(load.band, read, catalogue)
    if drill.impact is not None:
        yield _("landing"), _rank(drill.impact.band, [(_("peak"), drill.impact.peak)], catalogue)


def _rank(band: Cited, read: list[tuple[str, Cited | None]], catalogue: Catalogue) -> str:
    said = [
        f"{name} {number.value:g} {number.unit}".removesuffix(" 1")
        for name, number in read
        if number is not None
    ]
    figures = ", ".join(said) or _("no published number was read")
    how = f"{source_name(band.source, catalogue)}, {band.status}"
    how = how if source_name(band.source, catalogue) != str(band.status) else str(band.status)
    how = band.source.replace("-", " ") if band.source == "our-default" else how
    return _("rank %(band)d; %(figures)s (%(how)s)") % {
        "band": int(band.value),
        "figures": figures,
        "how": how,
    }


@lru_cache(maxsize=1024)
def picture(kind: Kind, key: str, *, small: bool, version: str) -> str:
    """Draw a built-in test or drill once a process and version."""
    catalogue = load_catalogue()
    draw = draw_test if kind == "tests" else draw_drill
    if small:
        return draw(key, catalogue, small=True, frame=_telling(kind, key, catalogue))
    return draw(key, catalogue)


def _telling(kind: Kind, key: str, catalogue: Catalogue) -> int:
    """Give the moment that tells most: a jump in the air, else the end of the view most shown."""
    held = kind == "drills" and catalogue.drills[key].quality is Quality.LAND
    frames = load_poses(kind)[key].frames
    flying = [] if held else [i for i, frame in enumerate(frames) if frame.plant == "air"]
    shown = Counter(frame.view for frame in frames)
    most = max(shown.values())
    ends = [i for i, frame in enumerate(frames) if shown[frame.view] == most]
    return flying[-1] if flying else ends[-1]

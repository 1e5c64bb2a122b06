"""Every number of a site's catalogue with its evidence, as a page shows it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any, NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from countermove.catalogue import Catalogue, Cited, current
from countermove.catalogue.page import numbers_of
from countermove.clinic.practice.catalogues import SiteCatalogue
from countermove.record import Status

FILES = {
    "tests": _lazy("Tests"),
    "targets": _lazy("Targets"),
    "norms": _lazy("Norms"),
    "drills": _lazy("Drills"),
    "cautions": _lazy("Cautions"),
    "segments": _lazy("Segments of the body"),
    "samples": _lazy("People the segments were measured on"),
}
STATUS_WORDS = {
    Status.READ: _lazy("read in the paper, its abstract or an official page"),
    Status.QUOTED: _lazy("read where another text quotes it"),
    Status.DERIVED: _lazy("follows by arithmetic from numbers that were read"),
    Status.FROM_MEMORY: _lazy("recalled, not read: to be checked before anyone leans on it"),
    Status.COMMON_PRACTICE: _lazy("a fact of the trade without a single source"),
    Status.OUR_DEFAULT: _lazy("a choice without a publication: the program's, or your own"),
}


class Evidence(NamedTuple):
    """What numbers of an entry rest on, and those numbers, each with its name."""

    numbers: list[tuple[str, str]]
    status: Status
    citation: str
    where: str


@dataclass(frozen=True)
class Shelf:
    """An entry with its evidence; `superseded` if another one counts in its place."""

    key: str
    name: str
    evidence: tuple[Evidence, ...]
    own: bool
    superseded: bool


class Count(NamedTuple):
    """How many numbers a file holds, and how many of them are from memory."""

    file: str
    name: Any
    entries: int
    numbers: int
    from_memory: int


def counts_of(catalogue: Catalogue) -> list[Count]:
    """Count the numbers of each file."""
    return [_count(catalogue, file) for file in FILES]


def _count(catalogue: Catalogue, file: str) -> Count:
    statuses = [number.status for _key, _path, number in numbers_of(catalogue, file)]
    entries = len(catalogue.files()[file])
    return Count(file, FILES[file], entries, len(statuses), statuses.count(Status.FROM_MEMORY))


def statuses_of(catalogue: Catalogue) -> list[tuple[Status, Any, int]]:
    """Give each status word, what it means, and how many numbers carry it."""
    found = Counter(
        number.status for file in FILES for _key, _path, number in numbers_of(catalogue, file)
    )
    return [(status, meaning, found[status]) for status, meaning in STATUS_WORDS.items()]


def shelves_of(whole: SiteCatalogue, file: str, *, status: str = "") -> list[Shelf]:
    """Give the entries of a file with their numbers, own ones first; of one status if asked."""
    catalogue, own = whole.catalogue, {row.key for row in whole.own if row.kind == file}
    numbers: dict[str, list[tuple[str, Cited]]] = {}
    for key, path, number in numbers_of(catalogue, file):
        if not status or number.status == status:
            numbers.setdefault(key, []).append((path, number))
    in_force = current(catalogue.files()[file])
    shelves = [
        Shelf(
            key=key,
            name=name_of(catalogue, file, key),
            evidence=tuple(_evidence(found, catalogue)),
            own=key in own,
            superseded=key not in in_force,
        )
        for key, found in numbers.items()
    ]
    return sorted(shelves, key=lambda shelf: not shelf.own)


def _evidence(found: list[tuple[str, Cited]], catalogue: Catalogue) -> Iterator[Evidence]:
    """Put numbers that rest on the same place of the same source together."""
    grouped = groupby(found, key=lambda pair: (pair[1].source, pair[1].status, pair[1].where))
    for (source, status, where), pairs in grouped:
        numbers = [
            (", ".join(_steps(path)) or _("value"), written(number)) for path, number in pairs
        ]
        yield Evidence(numbers, status, catalogue.sources[source].citation, where)


def written(number: Cited) -> str:
    """Write a number with its unit; a pure number has none to show."""
    return f"{number.value:g} {number.unit}".removesuffix(" 1")


def _steps(path: str) -> Iterator[str]:
    """Say a path in words: ``errors[0].mdc95`` is *errors 1, mdc95*."""
    for step in path.split("."):
        counted = re.sub(r"\[(\d+)\]", lambda met: f" {int(met[1]) + 1}", step)
        yield counted.replace("_", " ")


def name_of(catalogue: Catalogue, file: str, key: str) -> str:
    """Name an entry for a reader: by its own name, or by the test it is about."""
    entry = catalogue.files()[file].get(key)
    if entry is None:
        return key.replace("_", " ")
    if hasattr(entry, "name"):
        return str(entry.name)
    test = catalogue.tests.get(getattr(entry, "test", ""))
    asked = f"{entry.sense} {written(entry.value)}" if file == "targets" else ""
    about = (test.name if test else "", getattr(entry, "population", ""), asked)
    named = ": ".join(part for part in about if part)
    return named or getattr(entry, "question", "") or key.replace("_", " ")

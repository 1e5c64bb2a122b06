"""
The catalogue as a page: every number with its source, the place in it, and how we know it.

`python -m countermove.catalogue.page > docs/methods/catalogue.md` writes it; a test holds it fresh.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from typing import Literal

from countermove.catalogue.catalogue import Catalogue, load_catalogue
from countermove.catalogue.check import parts_of
from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import Drill
from countermove.catalogue.testing import Test
from countermove.record import Status

MEANING = {
    Status.READ: "read in the paper, its abstract or an official page",
    Status.QUOTED: "read where another text quotes it",
    Status.DERIVED: "follows by arithmetic from numbers that were read",
    Status.FROM_MEMORY: "recalled, not read: to be checked before anyone leans on it",
    Status.COMMON_PRACTICE: "a fact of the trade without a single source",
    Status.OUR_DEFAULT: "our own choice; a practice may put its own in its place",
}
INTRODUCTION = """\
# The catalogue: every number and where it comes from

Written by `python -m countermove.catalogue.page`; do not edit. The entries stand in
`src/countermove/catalogue/data`, one file a kind. The loader refuses a number without unit, source,
place and status; `Catalogue.version` changes with the content and not with comments.

What it cannot tell: a norm says what a group did, never what one athlete should reach. A confidence
interval of a mean is not a normal range. Distance and angle of a lunge are never converted, and the
angle measured lying down is another test. Where nothing was found the field is empty or holds our
default, and says so: no published limit was found for trunk rotation, for knee alignment in a
step-down, for single-leg hop distance, or for what jumping asks of hip and knee.
"""


def catalogue_page(catalogue: Catalogue) -> str:
    """
    Write the catalogue's numbers, tags and sources as a Markdown page.

    Parameters
    ----------
    catalogue : Catalogue
        The built-in one, or one with a practice's own entries.

    Returns
    -------
    str
        Markdown.
    """
    parts = [INTRODUCTION, _statuses(catalogue), _tags(catalogue), _equipment(catalogue)]
    parts.append(_known(catalogue))
    parts += [_numbers(catalogue, name) for name in catalogue.files() if name != "sources"]
    return "\n".join([*parts, _sources(catalogue)])


def numbers_of(catalogue: Catalogue, file: str) -> Iterator[tuple[str, str, Cited]]:
    """Yield entry, field and number for every number of one file."""
    for key, entry in catalogue.files()[file].items():
        for path, part in parts_of(entry, ""):
            if isinstance(part, Cited):
                yield key, path.removeprefix("."), part


def _statuses(catalogue: Catalogue) -> str:
    counts = Counter(
        number.status for file in catalogue.files() for _, _, number in numbers_of(catalogue, file)
    )
    rows = [[status, str(counts[status]), meaning] for status, meaning in MEANING.items()]
    return "## How we know\n\n" + _table(["status", "numbers", "meaning"], rows)


def _tags(catalogue: Catalogue) -> str:
    carriers = _by_word(catalogue, "tags")
    closers = {
        tag: [key for key, caution in catalogue.cautions.items() if tag in caution.closes]
        for tag in carriers
    }
    rows = [[tag, ", ".join(carriers[tag]), ", ".join(closers[tag])] for tag in sorted(carriers)]
    heading = "## Tags: what a caution may close\n\n"
    return heading + _table(
        ["tag", "tests and drills that carry it", "cautions that close it"], rows
    )


def _by_word(catalogue: Catalogue, field: Literal["tags", "needs"]) -> dict[str, list[str]]:
    """Group the tests and drills by the words of one of their fields."""
    keys: dict[str, list[str]] = {}
    entries: dict[str, Test | Drill] = {**catalogue.tests, **catalogue.drills}
    for key, entry in entries.items():
        for word in getattr(entry, field):
            keys.setdefault(word, []).append(key)
    return keys


def _equipment(catalogue: Catalogue) -> str:
    needing = _by_word(catalogue, "needs")
    rows = [[thing, ", ".join(needing[thing])] for thing in sorted(needing)]
    heading = "## Equipment: the words an athlete file uses\n\n"
    return heading + _table(["word", "tests and drills that need it"], rows)


def _known(catalogue: Catalogue) -> str:
    """Tell of each test how well it is known, what is not, and what studies found beside it."""
    rows = [
        [key, test.evidence, " ".join(test.unknown), " ".join(b.text for b in test.background)]
        for key, test in catalogue.tests.items()
    ]
    heading = ["test", "evidence", "nobody has published", "for the practitioner alone"]
    return (
        "## Tests: how well each is known\n\n"
        "Good: several studies or a review of the test were read; fair: one was; weak: quoted,"
        " recalled or borrowed from another test; none: used, and no study at hand.\n\n"
    ) + _table(heading, rows)


def _numbers(catalogue: Catalogue, file: str) -> str:
    rows = [
        [key, field, _written(number), number.status, number.source, number.where]
        for key, field, number in numbers_of(catalogue, file)
    ]
    heading = ["entry", "number", "value", "status", "source", "where"]
    return f"## {file}.toml\n\n" + _table(heading, rows)


def _written(number: Cited) -> str:
    """Write a number as the file has it; a pure number has no unit to show."""
    return f"{number.value:g} {number.unit}".removesuffix(" 1")


def _sources(catalogue: Catalogue) -> str:
    rows = [
        [key, source.citation, source.doi, source.status, source.note]
        for key, source in catalogue.sources.items()
    ]
    heading = ["key", "citation", "DOI", "status", "note"]
    return "## Sources\n\n" + _table(heading, rows)


def _table(heading: list[str], rows: list[list[str]]) -> str:
    lines = [heading, ["---"] * len(heading), *rows]
    return "".join("| " + " | ".join(_cell(cell) for cell in line) + " |\n" for line in lines)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


if __name__ == "__main__":
    sys.stdout.write(catalogue_page(load_catalogue()))

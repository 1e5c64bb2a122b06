"""What must hold between entries: every key that is named exists, every unit fits."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import fields, is_dataclass
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING, Any

from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import Entry, Gate
from countermove.catalogue.testing import Test
from countermove.errors import BadCatalogue, UnknownUnit
from countermove.record import Sex, Status
from countermove.units import check_kind, unit_of

if TYPE_CHECKING:
    from countermove.catalogue.catalogue import Catalogue

# Sources that are no publication, and the one status that goes with each.
NO_PUBLICATION = {
    "common-practice": Status.COMMON_PRACTICE,
    "our-default": Status.OUR_DEFAULT,
}


def check(catalogue: Catalogue) -> None:
    """
    Refuse a catalogue whose entries do not fit together.

    Raises
    ------
    BadCatalogue
        With the entry and what is wrong with it.
    """
    for complaint in _complaints(catalogue):
        raise BadCatalogue(complaint)


def _complaints(catalogue: Catalogue) -> Iterator[str]:
    for file, entries in catalogue.files().items():
        for key, entry in entries.items():
            for path, part in parts_of(entry, f"{file}: {key}"):
                yield from _citation(catalogue, path, part)
            if file != "sources" and entry.supersedes and entry.supersedes not in entries:
                yield f"{file}: {key}.supersedes: {entry.supersedes!r} is not there"
    yield from _segments(catalogue)
    yield from _tests(catalogue)
    yield from _links_to_tests(catalogue)
    yield from _cautions(catalogue)
    yield from _drills(catalogue)


def parts_of(thing: Any, path: str) -> Iterator[tuple[str, Entry | Cited]]:
    """
    Yield every entry and every number at and below a thing, each with its path.

    Parameters
    ----------
    thing : object
        An entry, or part of one.
    path : str
        How to call the thing itself; fields are added as ``.name``, ``.key`` and ``[0]``.
    """
    if isinstance(thing, Entry | Cited):
        yield path, thing
    if is_dataclass(thing) and not isinstance(thing, Cited):
        for field in fields(thing):
            yield from parts_of(getattr(thing, field.name), f"{path}.{field.name}")
    elif isinstance(thing, Mapping):
        for key, value in thing.items():
            yield from parts_of(value, f"{path}.{key}")
    elif isinstance(thing, tuple):
        for index, value in enumerate(thing):
            yield from parts_of(value, f"{path}[{index}]")


def _citation(catalogue: Catalogue, path: str, part: Entry | Cited) -> Iterator[str]:
    if part.source not in catalogue.sources:
        yield f"{path}.source: {part.source!r} is not in sources.toml; add it there first"
    if not part.where.strip():
        yield f"{path}.where: empty; say where in the source"
    needed = NO_PUBLICATION.get(part.source)
    if needed and part.status is not needed:
        yield f"{path}.status: {part.status} was met, {needed} goes with that source"
    if not needed and part.status in NO_PUBLICATION.values():
        yield f"{path}.status: {part.status} goes with the source of that name, not {part.source}"
    if isinstance(part, Cited):
        try:
            unit_of(part.unit)
        except UnknownUnit as error:
            yield f"{path}.unit: {error}"


def _segments(catalogue: Catalogue) -> Iterator[str]:
    for key, segment in catalogue.segments.items():
        if segment.sample not in catalogue.samples:
            yield f"segments: {key}.sample: {segment.sample!r} is not in samples.toml"
        if segment.part_of and segment.part_of not in catalogue.segments:
            yield f"segments: {key}.part_of: {segment.part_of!r} is not a segment"
        for name in ("mass_fraction", "com_fraction", "length"):
            if set(getattr(segment, name)) != set(Sex):
                yield f"segments: {key}.{name}: needs female and male"


def _tests(catalogue: Catalogue) -> Iterator[str]:
    carried = {tag for drill in catalogue.drills.values() for tag in drill.tags}
    for key, test in catalogue.tests.items():
        path = f"tests: {key}"
        if (test.reads == "number") is bool(test.choices):
            yield f"{path}.choices: a test in words has choices, a test in numbers has none"
        if (test.reads == "number") is not bool(test.unit):
            yield f"{path}.unit: a test in numbers has a unit, a test in words has none"
        if test.answered_like and test.answered_like not in catalogue.tests:
            yield f"{path}.answered_like: {test.answered_like!r} is not a test"
        yield from _choices(path, test, carried)
        yield from _errors(path, test)
        yield from _same_kind(f"{path}.lowest", test.lowest, test)
        yield from _same_kind(f"{path}.highest", test.highest, test)


def _choices(path: str, test: Test, carried: Collection[str]) -> Iterator[str]:
    keys = [choice.key for choice in test.choices]
    if len(set(keys)) < len(keys):
        yield f"{path}.choices: a key stands twice"
    told = {choice.good for choice in test.choices} - {None}
    if len(told) == 1:
        yield f"{path}.choices: if some answers meet or fall short, there must be both kinds"
    for choice in test.choices:
        for tag in choice.closes:
            if tag not in carried:
                yield f"{path}.choices: {choice.key} closes {tag!r}, a tag that no drill carries"


def _errors(path: str, test: Test) -> Iterator[str]:
    seen = set()
    for index, error in enumerate(test.errors):
        where = f"{path}.errors[{index}]"
        if error.method not in test.methods:
            yield f"{where}.method: {error.method!r} is not one of the test's methods"
        if error.sem is None and error.mdc95 is None and error.cv is None:
            yield f"{where}: needs sem, mdc95 or cv"
        yield from _same_kind(f"{where}.sem", error.sem, test)
        yield from _same_kind(f"{where}.mdc95", error.mdc95, test)
        circumstances = (error.method, error.tester, error.occasion, error.of)
        if circumstances in seen:
            yield f"{where}: a second error for {', '.join(circumstances)}; keep one"
        seen.add(circumstances)


def _same_kind(path: str, number: Cited | None, test: Test) -> Iterator[str]:
    if number is None:
        return
    try:
        check_kind(number.unit, like=test.unit)
    except UnknownUnit as error:
        yield f"{path}: {error}"


def _links_to_tests(catalogue: Catalogue) -> Iterator[str]:
    for key, target in catalogue.targets.items():
        if target.test not in catalogue.tests:
            yield f"targets: {key}.test: {target.test!r} is not a test"
        elif catalogue.tests[target.test].reads == "words":
            yield f"targets: {key}.test: {target.test!r} is answered in words; mark good choices"
        else:
            yield from _same_kind(
                f"targets: {key}.value", target.value, catalogue.tests[target.test]
            )
    for key, norm in catalogue.norms.items():
        if norm.test not in catalogue.tests:
            yield f"norms: {key}.test: {norm.test!r} is not a test"
            continue
        for name in ("mean", "median", "sd", "low", "high", "textbook"):
            test = catalogue.tests[norm.test]
            yield from _same_kind(f"norms: {key}.{name}", getattr(norm, name), test)
        if (norm.low or norm.high) and not norm.interval:
            yield f"norms: {key}.interval: say what kind of interval it is"


def _cautions(catalogue: Catalogue) -> Iterator[str]:
    tags = {tag for entry in catalogue.tests.values() for tag in entry.tags}
    tags |= {tag for entry in catalogue.drills.values() for tag in entry.tags}
    for key, caution in catalogue.cautions.items():
        path = f"cautions: {key}"
        if bool(caution.question) is bool(caution.fact):
            yield f"{path}: needs a question or a fact, one of the two"
        if bool(caution.fact) is not bool(caution.limit):
            yield f"{path}.limit: goes with a fact"
        for tag in caution.closes:
            if tag not in tags:
                yield f"{path}.closes: no test or drill carries the tag {tag!r}"


def _drills(catalogue: Catalogue) -> Iterator[str]:
    before: dict[str, set[str]] = {}
    for key, drill in catalogue.drills.items():
        path = f"drills: {key}"
        for test in drill.helps:
            if test not in catalogue.tests:
                yield f"{path}.helps: {test!r} is not a test"
        for name in ("regressions", "progressions"):
            for other in getattr(drill, name):
                if other not in catalogue.drills:
                    yield f"{path}.{name}: {other!r} is not a drill"
        for index, gate in enumerate(drill.gates):
            yield from _gate(catalogue, f"{path}.gates[{index}]", gate)
        before[key] = {gate.drill for gate in drill.gates if gate.drill}
    try:
        TopologicalSorter(before).prepare()
    except CycleError as error:
        yield f"drills: gates go round in a circle: {' < '.join(error.args[1])}"


def _gate(catalogue: Catalogue, path: str, gate: Gate) -> Iterator[str]:
    if bool(gate.test) is bool(gate.drill):
        yield f"{path}: needs a test or a drill, one of the two"
    if gate.drill and gate.drill not in catalogue.drills:
        yield f"{path}.drill: {gate.drill!r} is not a drill"
    if not gate.test:
        return
    test = catalogue.tests.get(gate.test)
    if test is None:
        yield f"{path}.test: {gate.test!r} is not a test"
    elif test.reads == "words" and gate.answer not in {choice.key for choice in test.choices}:
        yield f"{path}.answer: {gate.answer!r} is not one of the test's choices"
    elif test.reads == "number" and gate.value is None:
        yield f"{path}.value: a test in numbers needs a limit"
    elif test.reads == "number":
        yield from _same_kind(f"{path}.value", gate.value, test)

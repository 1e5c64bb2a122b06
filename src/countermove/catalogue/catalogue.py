"""The catalogue: what we know, with sources, in one object that never changes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Any, TypeVar

import msgspec

from countermove.catalogue.cautions import Caution
from countermove.catalogue.check import check
from countermove.catalogue.entries import (
    Drill,
    Sample,
    Segment,
    Source,
)
from countermove.catalogue.load import FILES, load_file
from countermove.catalogue.testing import Norm, Target, Test
from countermove.errors import BadCatalogue
from countermove.record import Sex

E = TypeVar("E")


@dataclass(frozen=True)
class Catalogue:
    """
    Everything the rooms know about segments, tests, targets, norms, cautions and drills.

    Each attribute maps keys to entries. Science takes the catalogue as an argument.
    """

    sources: Mapping[str, Source]
    samples: Mapping[str, Sample]
    segments: Mapping[str, Segment]
    tests: Mapping[str, Test]
    targets: Mapping[str, Target]
    norms: Mapping[str, Norm]
    cautions: Mapping[str, Caution]
    drills: Mapping[str, Drill]

    @cached_property
    def version(self) -> str:
        """Hash of the content: the same knowledge has the same version, comments do not count."""
        plain = {name: dict(entries) for name, entries in self.files().items()}
        return hashlib.sha256(msgspec.json.encode(plain, order="sorted")).hexdigest()[:16]

    def files(self) -> dict[str, Mapping[str, Any]]:
        """Give the entries by file name."""
        return {name: getattr(self, name) for name in FILES}

    def with_practice(self, documents: Mapping[str, str]) -> Catalogue:
        """
        Add a practice's own entries; they pass the same loader.

        Parameters
        ----------
        documents : mapping of str to str
            TOML text by file name (``tests``, ``drills``, ...).

        Returns
        -------
        Catalogue
            A new one, with a version of its own.

        Raises
        ------
        BadCatalogue
            If an entry is refused, or its key is taken: a built-in entry is never edited, a new
            one may supersede it.
        """
        files = {name: dict(entries) for name, entries in self.files().items()}
        for name, text in documents.items():
            for key, entry in load_file(name, text).items():
                if key in files[name]:
                    raise BadCatalogue(
                        f"{name}: {key}: the key is taken; choose another,"
                        f' and write supersedes = "{key}" to replace that entry'
                    )
                files[name][key] = entry
        return _build({name: in_place(entries) for name, entries in files.items()})

    def targets_of(self, test: str) -> tuple[Target, ...]:
        """Give the targets in force for a test."""
        return tuple(t for t in current(self.targets).values() if t.test == test)

    def norms_of(self, test: str) -> tuple[Norm, ...]:
        """Give what populations showed in a test; context, never a target."""
        return tuple(n for n in current(self.norms).values() if n.test == test)


def current(entries: Mapping[str, E]) -> dict[str, E]:
    """Leave out the entries that another one supersedes."""
    gone = {getattr(entry, "supersedes", "") for entry in entries.values()}
    return {key: entry for key, entry in entries.items() if key not in gone}


def in_place(entries: Mapping[str, E]) -> dict[str, E]:
    """Put each entry right behind the one it supersedes: among equals the order counts."""
    ordered: dict[str, E] = {}
    behind: dict[str, list[str]] = {}
    for key, entry in entries.items():
        behind.setdefault(getattr(entry, "supersedes", ""), []).append(key)

    def place(key: str) -> None:
        if key not in ordered:
            ordered[key] = entries[key]
            for follower in behind.get(key, ()):
                place(follower)

    for key, entry in entries.items():
        if getattr(entry, "supersedes", "") in ("", key):
            place(key)
    return ordered | {key: entry for key, entry in entries.items() if key not in ordered}


def norm_for(
    test: str, *, sex: Sex | None = None, age_years: float | None = None, catalogue: Catalogue
) -> Norm | None:
    """
    Give what people of this sex and age showed in a test; None if nobody was found.

    A norm of the athlete's own sex comes before one of both; age bands hold their last year whole.

    Parameters
    ----------
    test : str
        Key of a test.
    sex : Sex, optional
        Left out, only norms of both sexes fit.
    age_years : float, optional
        Left out, only norms without an age band fit. [year]
    catalogue : Catalogue
        Holds the norms.
    """
    fitting = [norm for norm in catalogue.norms_of(test) if _fits(norm, sex, age_years)]
    return min(fitting, key=lambda norm: norm.sex is None, default=None)


def _fits(norm: Norm, sex: Sex | None, age_years: float | None) -> bool:
    if norm.sex is not None and norm.sex != sex:
        return False
    if norm.age_from is None or norm.age_to is None:
        return True
    return age_years is not None and norm.age_from.value <= age_years < norm.age_to.value + 1


def build_catalogue(documents: Mapping[str, str]) -> Catalogue:
    """
    Build a catalogue from TOML texts by file name; a file left out is empty.

    Raises
    ------
    BadCatalogue
        With file, entry and field.
    """
    files: dict[str, dict[str, Any]] = {name: {} for name in FILES}
    for name, text in documents.items():
        files[name] = load_file(name, text)
    return _build(files)


def _build(files: Mapping[str, Mapping[str, Any]]) -> Catalogue:
    whole = {**files, "drills": _answering(files["drills"], files["tests"])}
    catalogue = Catalogue(**{name: MappingProxyType(dict(whole[name])) for name in FILES})
    check(catalogue)
    return catalogue


def _answering(drills: Mapping[str, Drill], tests: Mapping[str, Test]) -> dict[str, Drill]:
    """Let each drill also help the tests that are answered like one it helps."""
    found = {}
    for key, drill in drills.items():
        alike = [test for test, entry in tests.items() if entry.answered_like in drill.helps]
        found[key] = replace(drill, helps=tuple(dict.fromkeys((*drill.helps, *alike))))
    return found


@lru_cache(maxsize=1)
def load_catalogue() -> Catalogue:
    """Load the built-in catalogue, once a process; it cannot be changed, so it can be shared."""
    data = resources.files("countermove.catalogue") / "data"
    texts = {name: (data / f"{name}.toml").read_text(encoding="utf-8") for name in FILES}
    return build_catalogue(texts)

"""
The catalogue as a site uses it: the built-in entries, and the site's own beside them.

Built once a process for each state of a site's entries: rows are only ever added, so the last row
names the state. An own entry that the loader refuses (say, after the program was renewed) is left
out with the loader's words, and the rest still counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from uuid import UUID

import tomli_w

from countermove.catalogue import Catalogue, load_catalogue
from countermove.clinic.accounts.models import User
from countermove.clinic.practice.access import sites_where
from countermove.clinic.practice.models import OwnEntry, Site
from countermove.clinic.practice.roles import Action
from countermove.codec import parse
from countermove.errors import BadCatalogue

STATES_KEPT = 64  # catalogues kept in memory: a few sites, a few states each; our default


@dataclass(frozen=True)
class SiteCatalogue:
    """
    A site's catalogue, and the own entries it had to leave out.

    Attributes
    ----------
    catalogue : Catalogue
        Built-in entries and the site's own.
    own : tuple of OwnEntry
        The version of each own entry that counts, withdrawn ones too.
    left_out : tuple of (OwnEntry, str)
        Entries the loader refused, with its words.
    """

    catalogue: Catalogue
    own: tuple[OwnEntry, ...] = ()
    left_out: tuple[tuple[OwnEntry, str], ...] = ()


def catalogue_of(site: Site | int) -> Catalogue:
    """Give the catalogue a site works with, by the site or its number; asks one query."""
    return site_catalogue(site).catalogue


def catalogues_for(user: User) -> list[Catalogue]:
    """Give the catalogues somebody may read, one a site; the built-in one without a site."""
    return [catalogue_of(site) for site in sites_where(user, Action.READ)] or [load_catalogue()]


def site_catalogue(site: Site | int) -> SiteCatalogue:
    """Give a site's catalogue with what was left out; asks one query while nothing changes."""
    pk = site if isinstance(site, int) else site.pk
    rows = OwnEntry.objects.filter(site=pk).order_by("-pk")
    last = rows.values_list("sent_as", flat=True).first()
    return SiteCatalogue(load_catalogue()) if last is None else _built(pk, last)


@lru_cache(maxsize=STATES_KEPT)
def _built(site_pk: int, last: UUID) -> SiteCatalogue:
    """Build the state that ends with the row `last`, which is there for the cache's sake."""
    return with_entries(in_force(OwnEntry.objects.filter(site=site_pk).order_by("pk")))


def in_force(rows: Iterable[OwnEntry]) -> tuple[OwnEntry, ...]:
    """Give the latest version of each entry, in the order in which they first came."""
    latest: dict[tuple[str, str], OwnEntry] = {}
    for row in rows:
        latest[row.kind, row.key] = row
    return tuple(latest.values())


def with_entries(entries: Sequence[OwnEntry]) -> SiteCatalogue:
    """Add entries to the built-in catalogue; where one is refused, add what can be added."""
    try:
        return SiteCatalogue(strict(entries), tuple(entries))
    except BadCatalogue:
        return _one_by_one(entries)


def _one_by_one(entries: Sequence[OwnEntry]) -> SiteCatalogue:
    taken: list[OwnEntry] = []
    left_out: list[tuple[OwnEntry, str]] = []
    built = load_catalogue()
    for entry in entries:
        try:
            built = strict([*taken, entry])
        except BadCatalogue as error:
            left_out.append((entry, str(error)))
        else:
            taken.append(entry)
    return SiteCatalogue(built, tuple(entries), tuple(left_out))


def strict(entries: Iterable[OwnEntry]) -> Catalogue:
    """
    Add entries to the built-in catalogue, all or none.

    Raises
    ------
    BadCatalogue
        If the loader refuses one, if entries take each other's place, or if two targets would be in
        force for one test.
    """
    documents: dict[str, str] = {}
    for entry in entries:
        for file, text in _texts(entry):
            documents[file] = documents.get(file, "") + text + "\n"
    catalogue = load_catalogue().with_practice(documents)
    _refuse_circles(catalogue)
    for target in catalogue.targets.values():
        _refuse_two(target.test, catalogue)
    return catalogue


def _texts(entry: OwnEntry) -> Iterable[tuple[str, str]]:
    """
    Give what an entry adds to each file.

    A withdrawn test or drill stays known, because visits speak of it, and is offered no more: it
    supersedes itself. A withdrawn target or norm is gone.
    """
    if entry.sources:
        yield "sources", entry.sources
    if not entry.withdrawn:
        yield entry.kind, entry.toml
    elif entry.kind in (OwnEntry.Kind.TESTS, OwnEntry.Kind.DRILLS):
        table = parse(entry.toml)
        table[entry.key]["supersedes"] = entry.key
        yield entry.kind, tomli_w.dumps(table)


def _refuse_two(test: str, catalogue: Catalogue) -> None:
    """Refuse two targets for one test: which one counts is not for us to guess."""
    if len(catalogue.targets_of(test)) > 1:
        raise BadCatalogue(f"targets: {test}: two are in force; let one supersede the other")


def _refuse_circles(catalogue: Catalogue) -> None:
    """Refuse entries that take each other's place: none of them would count."""
    for file in OwnEntry.Kind.values:
        entries = catalogue.files()[file]
        for start in entries:
            key, met = start, {start}
            while (key := entries[key].supersedes) and key not in met:
                met.add(key)
            if key and len(met) > 1 and key == start:
                raise BadCatalogue(f"{file}: {start}: it takes the place of what takes its place")

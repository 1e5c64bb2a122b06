"""What every own entry asks: what it rests on, what it takes the place of, and why."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from typing import Any, ClassVar, NamedTuple

import msgspec
from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from countermove.catalogue import Catalogue, current
from countermove.record import Status

Table = dict[str, Any]
# Numbers of planning are the practice's own, whatever the entry rests on.
PLANNED: Table = {"source": "our-default", "where": "planning", "status": Status.OUR_DEFAULT.value}
BASES = (
    (Status.OUR_DEFAULT.value, _("our own choice")),
    (Status.COMMON_PRACTICE.value, _("common practice, without a single source")),
    (Status.READ.value, _("a publication we have read")),
    (Status.QUOTED.value, _("a publication that another text quotes")),
    (Status.FROM_MEMORY.value, _("a publication, from memory")),
)
NO_PUBLICATION = {Status.OUR_DEFAULT.value, Status.COMMON_PRACTICE.value}


class Section(NamedTuple):
    """A part of the form: a heading and its fields; a folded one opens on a tap."""

    heading: Any
    fields: list[forms.BoundField]
    folded: bool
    wrong: bool


def one_a_line(text: str) -> list[str]:
    """Give the lines that hold something."""
    return [line.strip() for line in text.splitlines() if line.strip()]


class Lines(forms.CharField):
    """Several things, one a line."""

    def __init__(self, rows: int = 4, help_text: Any = "", **kwargs: Any) -> None:
        area = forms.Textarea(attrs={"rows": rows})
        told = format_lazy("{} {}", _("One a line."), help_text) if help_text else _("One a line.")
        super().__init__(widget=area, max_length=4000, help_text=told, **kwargs)

    def clean(self, value: Any) -> list[str]:
        """Give the lines."""
        return one_a_line(super().clean(value))

    def prepare_value(self, value: Any) -> Any:
        """Show what was kept as lines again."""
        return "\n".join(value) if isinstance(value, list | tuple) else value


class Sentence(forms.CharField):
    """A sentence or two: room to read it whole, kept as one line."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.Textarea(attrs={"rows": 2}), **kwargs)

    def clean(self, value: Any) -> str:
        """Give it without line ends."""
        return " ".join(super().clean(value).split())


def words(label: Any, *, length: int = 120, **kwargs: Any) -> forms.CharField:
    """Ask for a few words."""
    return forms.CharField(label=label, max_length=length, **kwargs)


def sentence(label: Any, *, length: int = 400, **kwargs: Any) -> Sentence:
    """Ask for a sentence."""
    return Sentence(label=label, max_length=length, **kwargs)


def number(label: Any, **kwargs: Any) -> forms.FloatField:
    """Ask for a number; a decimal keyboard on a phone, no arrows."""
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return forms.FloatField(label=label, widget=widget, **kwargs)


def pick(label: Any, choices: Iterable[tuple[Any, Any]] = (), **kwargs: Any) -> forms.ChoiceField:
    """Ask for one of a few, all in sight."""
    return forms.ChoiceField(label=label, choices=[*choices], widget=forms.RadioSelect, **kwargs)


def several(
    label: Any, choices: Iterable[tuple[Any, Any]] = (), **kwargs: Any
) -> forms.MultipleChoiceField:
    """Ask for any of several."""
    return forms.MultipleChoiceField(
        label=label, choices=[*choices], widget=forms.CheckboxSelectMultiple, **kwargs
    )


class EntryForm(forms.Form):
    """
    The parts that every kind shares; a kind adds its fields and makes its table.

    Attributes
    ----------
    kind : str
        File of the catalogue.
    parts : tuple of (str, tuple of str, bool)
        Headings, their fields, and whether the part is folded.
    """

    kind: ClassVar[str]
    parts: ClassVar[tuple[tuple[Any, tuple[str, ...], bool], ...]]

    supersedes = forms.ChoiceField(label=_("takes the place of"), required=False)
    basis = pick(_("it rests on"), BASES, initial=Status.OUR_DEFAULT.value)
    citation = sentence(
        _("publication"),
        required=False,
        help_text=_("Authors, title, journal, year. Needed where it rests on a publication."),
    )
    doi = words(_("DOI"), required=False)
    where = words(
        _("where it is said"),
        length=200,
        help_text=_("Table or page of the publication; or whose habit, and since when."),
    )
    reason = sentence(
        _("why you add or change it"), help_text=_("Stays on record beside your name.")
    )
    sent_as = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    COMMON: ClassVar[tuple[tuple[Any, tuple[str, ...], bool], ...]] = (
        (_("What it rests on"), ("basis", "citation", "doi", "where"), False),
        (_("On record"), ("supersedes", "reason"), False),
    )

    def __init__(self, *args: Any, catalogue: Catalogue, own_key: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        self.catalogue, self.own_key = catalogue, own_key
        self.choose("supersedes", [("", _("nothing: it is new")), *self.named(self.kind)])
        self.offer()

    def offer(self) -> None:
        """Fill the choices that come out of the catalogue."""

    def choose(self, name: str, choices: Iterable[tuple[Any, Any]]) -> None:
        """Give a field its choices."""
        field: Any = self.fields[name]
        field.choices = [*choices]

    def named(self, file: str) -> list[tuple[str, str]]:
        """Name the entries of a file that are in force, but for this one."""
        entries = current(self.catalogue.files()[file])
        pairs = [(key, getattr(one, "name", key)) for key, one in entries.items()]
        kept = self.initial.get("supersedes", "")
        if kept and kept not in entries and kept in self.catalogue.files()[file]:
            old = self.catalogue.files()[file][kept]
            pairs.append((kept, getattr(old, "name", kept)))
        return sorted((pair for pair in pairs if pair[0] != self.own_key), key=lambda p: p[1])

    def sections(self) -> list[Section]:
        """Give the form as its page shows it."""
        return [self._section(*part) for part in (*self.parts, *self.COMMON)]

    def _section(self, heading: Any, names: tuple[str, ...], folded: bool) -> Section:
        shown = [self[name] for name in names if name in self.fields]
        return Section(heading, shown, folded, any(field.errors for field in shown))

    def clean(self) -> dict[str, Any]:
        """Ask for the publication where it rests on one."""
        given = super().clean() or {}
        self.need_citation(given, "basis", "citation")
        return given

    def need_citation(self, given: Mapping[str, Any], basis: str, citation: str) -> None:
        """Refuse a publication without its name."""
        met = given.get(basis)
        if met and met not in NO_PUBLICATION and not given.get(citation):
            self.add_error(citation, _("Name the publication, or choose what else it rests on."))

    def key_words(self) -> str:
        """Give the words that the entry's key is made of."""
        return str(self.cleaned_data.get("name") or self.cleaned_data.get("test", ""))

    def table(self, stem: str) -> Table:
        """Give the entry as a table of the catalogue, cited by sources whose keys begin so."""
        own = self.cleaned_data
        cited = cited_by(own["basis"], own["where"], stem)
        return cited | ({"supersedes": own["supersedes"]} if own.get("supersedes") else {})

    def sources(self, stem: str) -> Table:
        """Give the publications it brings along, by key."""
        own = self.cleaned_data
        return source_table(own["basis"], own["citation"], own["doi"], stem)

    def carried(self, *names: str) -> Table:
        """
        Give what stays of the entry whose place is taken: its tags and the fields named.

        A caution that closes the old entry must close the new one too.
        """
        old = self.catalogue.files()[self.kind].get(self.cleaned_data.get("supersedes", ""))
        if old is None:
            return {}
        table: Table = plain(msgspec.to_builtins(old))
        return {name: table[name] for name in names if name in table}

    @classmethod
    def shown(cls, table: Table, sources: Table) -> dict[str, Any]:
        """Give what to show in the fields for an entry that is kept."""
        cite = sources.get(table["source"], {})
        names = {name: bare(table[name]) for name in cls.base_fields if name in table}
        bases = dict(BASES)
        return names | {
            "basis": table["status"] if table["status"] in bases else Status.OUR_DEFAULT.value,
            "citation": cite.get("citation", ""),
            "doi": cite.get("doi", ""),
        }


def cited_by(basis: str, where: str, stem: str) -> Table:
    """Give source, place and status of what rests on `basis`."""
    return {"source": basis if basis in NO_PUBLICATION else stem, "where": where, "status": basis}


def source_table(basis: str, citation: str, doi: str, stem: str) -> Table:
    """Give the publication as an entry of the sources; empty where there is none."""
    if basis in NO_PUBLICATION:
        return {}
    return {stem: {"citation": citation, "status": basis, **({"doi": doi} if doi else {})}}


def filled(table: Table) -> Table:
    """Leave out what was left empty."""
    return {name: value for name, value in table.items() if value not in (None, "", [], ())}


def plain(table: Any) -> Any:
    """Leave out what an entry does not say, at every depth: TOML has no word for nothing."""
    if isinstance(table, dict):
        return {name: plain(value) for name, value in table.items() if value is not None}
    return [plain(value) for value in table] if isinstance(table, list | tuple) else table


def bare(value: Any) -> Any:
    """Give a number without its citation, a whole one without its point."""
    value = value["value"] if isinstance(value, dict) and "value" in value else value
    return int(value) if isinstance(value, float) and value.is_integer() else value

"""Own tests: how a link is measured, in the practice's words."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from countermove.clinic.practice.entry_form import (
    BASES,
    PLANNED,
    EntryForm,
    Lines,
    Table,
    bare,
    cited_by,
    filled,
    number,
    pick,
    sentence,
    several,
    source_table,
    words,
)
from countermove.record import Link

UNITS = (
    ("", _("none: it is answered in words")),
    ("cm", _("centimetres")), ("mm", _("millimetres")), ("deg", _("degrees")),
    ("s", _("seconds")), ("reps", _("repetitions")), ("kg", _("kilograms")), ("N", _("newtons")),
    ("N.m", _("newton metres")), ("N.m/kg", _("newton metres a kilogram")),
    ("N/kg", _("newtons a kilogram")), ("m/s", _("metres a second")), ("points", _("points")),
    ("%", _("per cent")),
)  # fmt: skip
LINKS = [*((link.value, _(link.value)) for link in Link), ("", _("the jump itself"))]
GOOD = {"+": True, "-": False}
FIXED = ("sides", "unit", "methods")


def tags_closed(form: EntryForm) -> list[tuple[str, str]]:
    """Give the words by which a caution closes a test or a drill."""
    closed = {tag for one in form.catalogue.cautions.values() for tag in one.closes}
    return [(tag, str(_(tag))) for tag in sorted(closed)]


class TestForm(EntryForm):
    """A test: what it tells, how it is done, how far its value strays."""

    __test__ = False  # pytest: a form for tests of athletes

    kind = "tests"
    parts = (
        (_("The test"), ("name", "link", "tells", "sides"), False),
        (_("What it gives"), ("unit", "better", "answers", "methods"), False),
        (_("How it is done"), ("position", "steps", "trials", "keep", "minutes", "needs"), False),
        (_("What may close it"), ("tags",), False),
        (_("More"), ("substitute", "faults", "cautions", "lowest", "highest"), True),
        (
            _("Its error"),
            ("error_of", "error", "error_tester", "error_occasion", "error_population",
             "error_basis", "error_citation", "error_where"),
            True,
        ),
    )  # fmt: skip

    supersedes = forms.ChoiceField(
        label=_("takes the place of"),
        required=False,
        help_text=_(
            "Target and drills stay with the old test: add a target for this one, and name it in"
            " the drills that answer it. What was measured stays with the test it was measured by."
        ),
    )
    name = words(_("name"))
    link = pick(_("link"), LINKS, required=False, initial=Link.ANKLE.value)
    tells = sentence(_("what it tells, in a sentence"))
    sides = pick(_("sides"), [("each", _("left and right")), ("both", _("both together"))])
    unit = forms.ChoiceField(label=_("unit"), choices=UNITS, required=False, initial="cm")
    better = pick(
        _("better for jumping is"),
        [("higher", _("more")), ("lower", _("less")), ("neither", _("neither"))],
        initial="higher",
    )
    answers = Lines(
        label=_("answers"),
        required=False,
        help_text=_(
            "Only for a test in words. Begin a line with + if it meets what jumping asks,"
            " with - if it falls short."
        ),
    )
    methods = Lines(
        rows=2,
        label=_("ways to measure it"),
        help_text=_("The usual way first: tape, goniometer, eye. Two ways are never mixed."),
    )
    position = sentence(_("position, and what is fixed"), length=600)
    steps = Lines(rows=5, label=_("steps, as said to the athlete"))
    trials = forms.IntegerField(label=_("trials"), min_value=1, max_value=20, initial=3)
    keep = pick(_("kept is"), [("mean", _("the mean")), ("best", _("the best"))], initial="mean")
    minutes = number(_("minutes"), min_value=0.5, max_value=60, initial=3)
    needs = Lines(rows=2, label=_("what it needs"), required=False)
    substitute = sentence(_("what else will do"), required=False)
    faults = Lines(rows=3, label=_("common faults"), required=False)
    cautions = Lines(rows=3, label=_("cautions"), required=False)
    lowest = number(_("below this it is a slip of the pen"), required=False)
    highest = number(_("above this it is a slip of the pen"), required=False)
    tags = several(
        _("what it asks of the body"),
        required=False,
        help_text=_("A caution that closes one of these closes this test too."),
    )
    error_of = pick(
        _("kind of error"),
        [("", _("none is known")), ("mdc95", _("smallest real change, 19 in 20")),
         ("sem", _("standard error of measurement"))],
        required=False,
    )  # fmt: skip
    error = number(_("error, in the unit of the test"), required=False, min_value=0)
    error_tester = pick(
        _("measured again by"),
        [("same", _("the same person")), ("different", _("another person"))],
        initial="same",
    )
    error_occasion = pick(
        _("measured again"),
        [("between days", _("on another day")), ("within session", _("in the same session"))],
        initial="between days",
    )
    error_population = words(_("found in whom"), length=200, required=False)
    error_basis = pick(_("the error rests on"), BASES, initial=BASES[0][0])
    error_citation = sentence(_("publication of the error"), required=False)
    error_where = words(_("where the error is said"), length=200, required=False)

    def offer(self) -> None:
        """Offer what cautions close."""
        self.choose("tags", tags_closed(self))

    def clean(self) -> dict[str, Any]:
        """Hold number and words apart, ask for the whole error, and keep the series one series."""
        given = super().clean()
        if bool(given.get("answers")) is bool(given.get("unit")):
            self.add_error("answers", _("Either a unit, or answers in words; one of the two."))
        if given.get("error_of"):
            for name in ("error", "error_population", "error_where"):
                if given.get(name) in (None, ""):
                    self.add_error(name, _("Goes with an error."))
            self.need_citation(given, "error_basis", "error_citation")
        if self.own_key:
            self._hold_fixed(given)
        return given

    def _hold_fixed(self, given: dict[str, Any]) -> None:
        """Refuse another unit, side or way in a new version: what was measured would not fit."""
        for name in FIXED:
            before, now = self.initial.get(name, ""), given.get(name, "")
            lost = set(before) - set(now) if name == "methods" else before != now
            if lost:
                self.add_error(
                    name,
                    _("What was measured would no longer fit. Add a new test for another way,"
                      " and let it take the place of this one."),
                )  # fmt: skip

    def table(self, stem: str) -> Table:
        """Give the test."""
        own = self.cleaned_data
        tags = self.carried("tags").get("tags", [])
        plain = (
            "name", "link", "tells", "sides", "unit", "better", "methods", "position", "steps",
            "keep", "needs", "substitute", "faults", "cautions",
        )  # fmt: skip
        guards = {
            name: {"value": own[name], "unit": own["unit"], **PLANNED}
            for name in ("lowest", "highest")
            if own[name] is not None
        }
        return filled(
            super().table(stem)
            | {name: own[name] for name in plain}
            | {name: {"value": own[name], **PLANNED} for name in ("trials", "minutes")}
            | {"reads": "number" if own["unit"] else "words", "choices": self._choices()}
            | {"errors": self._strays(stem), "tags": list(dict.fromkeys([*own["tags"], *tags]))}
            | guards
        )

    def _choices(self) -> list[Table]:
        return [_choice(line) for line in self.cleaned_data["answers"]]

    def _strays(self, stem: str) -> list[Table]:
        own = self.cleaned_data
        if not own["error_of"]:
            return []
        return [
            cited_by(own["error_basis"], own["error_where"], f"{stem}_error")
            | {"method": own["methods"][0], "tester": own["error_tester"]}
            | {"occasion": own["error_occasion"], "population": own["error_population"]}
            | {own["error_of"]: {"value": own["error"], "unit": own["unit"]}}
        ]

    def sources(self, stem: str) -> Table:
        """Give the publications of the test and of its error."""
        own = self.cleaned_data
        more = {}
        if own["error_of"]:
            more = source_table(own["error_basis"], own["error_citation"], "", f"{stem}_error")
        return super().sources(stem) | more

    @classmethod
    def shown(cls, table: Table, sources: Table) -> dict[str, Any]:
        """Show answers as lines, and the error."""
        answers = [_line(choice) for choice in table.get("choices", [])]
        return (
            {"link": "", "unit": "", "tags": []}
            | super().shown(table, sources)
            | {"answers": answers}
            | _error_shown(table, sources)
        )


def _choice(line: str) -> Table:
    """Read an answer; its sign says whether it meets what jumping asks."""
    text = line.lstrip("+- ").strip()
    key = re.sub(r"[^a-z0-9]+", " ", text.lower()).strip()[:60]
    good = {"good": GOOD[line[0]]} if line[0] in GOOD else {}
    return {"key": key, "text": text} | good


def _line(choice: Table) -> str:
    signs = {True: "+ ", False: "- ", None: ""}
    return signs[choice.get("good")] + str(choice["text"])


def _error_shown(table: Table, sources: Table) -> dict[str, Any]:
    usual = [one for one in table.get("errors", []) if one["method"] == table["methods"][0]]
    if not usual:
        return {}
    error = usual[0]
    kind = next((name for name in ("mdc95", "sem") if error.get(name)), "")
    if not kind:  # a coefficient of variation: the form has no field for it
        return {}
    return {
        "error_of": kind,
        "error": bare(error[kind]),
        "error_tester": error["tester"],
        "error_occasion": error["occasion"],
        "error_population": error["population"],
        "error_basis": error["status"],
        "error_citation": sources.get(error["source"], {}).get("citation", ""),
        "error_where": error["where"],
    }

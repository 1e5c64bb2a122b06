"""Own targets and norms: what jumping asks, and what a group showed."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from countermove.catalogue import current
from countermove.clinic.practice.entry_form import (
    EntryForm,
    Table,
    filled,
    number,
    pick,
    sentence,
    words,
)
from countermove.record import Sex

MEASURES = ("mean", "median", "sd", "low", "high")
INTERVALS = (
    ("", _("none")),
    ("19 in 20", _("19 in 20 of the people")),
    ("range", _("lowest and highest met")),
    ("confidence interval of the mean", _("confidence interval of the mean: not a normal range")),
)


class ForTest(EntryForm):
    """An entry about a test in numbers, written in the test's unit."""

    test = forms.ChoiceField(label=_("test"))

    def offer(self) -> None:
        """Offer the tests in numbers, each with its unit."""
        tests = current(self.catalogue.tests)
        kept = self.initial.get("test", "")
        offered = {kept: self.catalogue.tests[kept]} if self.own_key else tests
        pairs = [(key, f"{one.name} ({one.unit})") for key, one in offered.items() if one.unit]
        self.choose("test", sorted(pairs, key=lambda pair: pair[1]))

    def measured(self, value: float) -> Table:
        """Give a number in the unit of the test."""
        return {"value": value, "unit": self.catalogue.tests[self.cleaned_data["test"]].unit}


class TargetForm(ForTest):
    """What jumping asks of a test; the target in force gives its place to this one."""

    kind = "targets"
    parts = ((_("What is asked"), ("test", "sense", "value", "why"), False),)

    sense = pick(_("asked is"), [("at least", _("at least")), ("at most", _("at most"))])
    value = number(_("value, in the unit of the test"))
    why = sentence(
        _("why jumping asks for it"),
        help_text=_("In words you would say to the athlete. A group's mean is no reason."),
    )

    def offer(self) -> None:
        """The target in force is superseded by itself: nothing is left to choose."""
        super().offer()
        del self.fields["supersedes"]

    def table(self, stem: str) -> Table:
        """Give the target, and what it takes the place of."""
        own, kept = self.cleaned_data, self.initial.get("supersedes", "")
        asked = [
            key
            for key, one in current(self.catalogue.targets).items()
            if one.test == own["test"] and key != self.own_key
        ]
        superseded = kept if self.own_key else (asked[0] if asked else "")
        return filled(
            super().table(stem)
            | {"test": own["test"], "value": self.measured(own["value"])}
            | {"sense": own["sense"], "why": own["why"], "supersedes": superseded}
        )


class NormForm(ForTest):
    """What a group showed in a test; context, never a target."""

    kind = "norms"
    parts = (
        (_("Who was measured"), ("test", "population", "sex", "age_from", "age_to"), False),
        (_("What they showed"), (*MEASURES, "interval"), False),
    )

    population = words(_("who they were, and how many"), length=200)
    sex = pick(_("sex"), [("", _("both")), *((s.value, _(s.value)) for s in Sex)], required=False)
    age_from = number(_("youngest, years"), required=False, min_value=0)
    age_to = number(_("oldest, years"), required=False, min_value=0)
    mean = number(_("mean"), required=False)
    median = number(_("median"), required=False)
    sd = number(_("standard deviation"), required=False, min_value=0)
    low = number(_("lower end"), required=False)
    high = number(_("upper end"), required=False)
    interval = pick(_("what the two ends are"), INTERVALS, required=False)

    def clean(self) -> dict[str, Any]:
        """Ask for a number at all, and in words what two ends mean."""
        given = super().clean()
        if all(given.get(name) is None for name in ("mean", "median", "low", "high")):
            self.add_error("mean", _("Give a mean, a median or the two ends."))
        ends = (given.get("low"), given.get("high"))
        if ends != (None, None) and not given.get("interval"):
            self.add_error("interval", _("Say what kind of ends they are."))
        return given

    def table(self, stem: str) -> Table:
        """Give the norm."""
        own = self.cleaned_data
        plain = ("test", "population", "sex", "age_from", "age_to", "interval")
        numbers = {name: self.measured(own[name]) for name in MEASURES if own[name] is not None}
        return filled(super().table(stem) | {name: own[name] for name in plain} | numbers)

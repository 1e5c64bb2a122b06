"""Own drills: what is done, how much, when to stop, and what comes before."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from countermove.catalogue import Quality, current
from countermove.clinic.practice.entry_form import (
    PLANNED,
    EntryForm,
    Lines,
    Table,
    bare,
    filled,
    number,
    pick,
    sentence,
    several,
    words,
)
from countermove.clinic.practice.entry_tests import tags_closed
from countermove.record import Level, Link

QUALITIES = (
    (Quality.FREE.value, _("free: range and comfort")),
    (Quality.CONTROL.value, _("control")),
    (Quality.STRENGTHEN.value, _("strengthen")),
    (Quality.LAND.value, _("land")),
    (Quality.STRETCH_SHORTENING.value, _("fast spring: stretch-shortening")),
)
COUNTED = ("sets", "reps", "hold", "contacts", "rest", "days_a_week")
# What a drill keeps of the one whose place it takes; `gates` alone those that ask for a test.
CARRIED = ("patterns", "gates", "achilles", "patellar", "regressions", "progressions")


class DrillForm(EntryForm):
    """A drill: links, dose, cue, stop, minutes, what it needs."""

    kind = "drills"
    parts = (
        (_("The drill"), ("name", "links", "quality", "side", "level"), False),
        (_("How it is done"), ("steps", "cue", "stop"), False),
        (_("Dose to begin with"), (*COUNTED, "tempo", "load"), False),
        (_("What it takes"), ("minutes", "needs", "substitute", "place"), False),
        (_("When it is given"), ("helps", "tags", "after", "after_why"), False),
    )

    name = words(_("name"))
    links = several(_("links"), ((link.value, _(link.value)) for link in Link))
    quality = pick(_("what it trains"), QUALITIES)
    side = pick(_("sides"), [("each", _("one at a time")), ("both", _("both together"))])
    level = pick(
        _("training history it asks for"),
        ((level.value, _(level.value)) for level in Level),
        initial=Level.BEGINNER.value,
    )
    steps = Lines(rows=5, label=_("steps, as said to the athlete"))
    cue = words(_("cue"))
    stop = sentence(_("when to stop"))
    sets = forms.IntegerField(label=_("sets"), min_value=1, max_value=20)
    reps = forms.IntegerField(label=_("repetitions"), min_value=1, max_value=200, required=False)
    hold = number(_("hold, seconds"), min_value=1, max_value=600, required=False)
    contacts = forms.IntegerField(
        label=_("landings a session"), min_value=1, max_value=400, required=False
    )
    rest = number(_("rest, seconds"), min_value=0, max_value=900, required=False)
    days_a_week = forms.IntegerField(label=_("days a week"), min_value=1, max_value=7)
    tempo = words(_("tempo"), required=False)
    load = words(_("load"), required=False)
    minutes = number(_("minutes"), min_value=0.5, max_value=120)
    needs = Lines(rows=2, label=_("what it needs"), required=False)
    substitute = sentence(_("what else will do"), required=False)
    place = words(_("where"), length=80, initial="anywhere")
    helps = several(
        _("given where one of these falls short"),
        help_text=_("A drill that answers no test is never put on a work list."),
    )
    tags = several(
        _("what it asks of the body"),
        required=False,
        help_text=_("A caution that closes one of these closes this drill too."),
    )
    after = forms.ChoiceField(label=_("only after this drill"), required=False)
    after_why = words(_("why after it"), length=200, required=False)

    def offer(self) -> None:
        """Offer tests, tags and drills."""
        self.choose("helps", [(k, t.name) for k, t in current(self.catalogue.tests).items()])
        self.choose("tags", tags_closed(self))
        self.choose("after", [("", _("none")), *self.named("drills")])

    def clean(self) -> dict[str, Any]:
        """Ask how much, why a drill comes first, and what a drill that lands asks of the body."""
        given = super().clean()
        if not any(given.get(name) for name in ("reps", "hold", "contacts")):
            self.add_error("reps", _("Give repetitions, a hold or landings."))
        if given.get("after") and not given.get("after_why"):
            self.add_error("after_why", _("Say why the other comes first."))
        lands = given.get("quality") in (Quality.LAND.value, Quality.STRETCH_SHORTENING.value)
        if lands and not given.get("tags"):
            self.add_error("tags", _("A drill that lands or springs asks something: choose what."))
        return given

    def table(self, stem: str) -> Table:
        """Give the drill."""
        own, kept = self.cleaned_data, self.carried("tags", *CARRIED)
        plain = (
            "name", "links", "quality", "side", "level", "steps", "cue", "stop", "needs",
            "substitute", "place", "helps",
        )  # fmt: skip
        first = [{"drill": own["after"], "why": own["after_why"]}] if own["after"] else []
        gates = first + [gate for gate in kept.pop("gates", []) if gate.get("test")]
        tags = list(dict.fromkeys([*own["tags"], *kept.pop("tags", [])]))
        return filled(
            super().table(stem)
            | kept
            | {name: own[name] for name in plain}
            | {"minutes": {"value": own["minutes"], **PLANNED}, "gates": gates, "tags": tags}
            | {"dose": filled({name: own[name] for name in (*COUNTED, "tempo", "load")})}
        )

    @classmethod
    def shown(cls, table: Table, sources: Table) -> dict[str, Any]:
        """Show the dose's numbers bare, and the drill that comes first."""
        gate: Table = next((one for one in table.get("gates", []) if one.get("drill")), {})
        return (
            super().shown(table, sources)
            | {name: bare(value) for name, value in table["dose"].items()}
            | {"after": gate.get("drill", ""), "after_why": gate.get("why", "")}
        )

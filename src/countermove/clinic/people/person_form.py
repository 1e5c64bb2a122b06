"""
An athlete's own page of facts, entered in the user's units, with a guard against slips of the pen.

Limits no person passes are refused. What is only unlikely is asked about once, and kept as it
stands when the box beside the question is ticked.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from django import forms
from django.db.models import QuerySet
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from countermove.catalogue import Catalogue, current
from countermove.clinic.accounts.models import Units, User
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.models import Site
from countermove.record import HEIGHT_M, MASS_KG, age_on
from countermove.units import from_si, to_si

OLDEST_YEARS = 110
# Outside these a slip is likelier than the truth: mass by height squared [kg/m²] and age.
LIKELY_BUILD = (13.0, 45.0)
LIKELY_YEARS = (8, 80)

if TYPE_CHECKING:
    AthleteForm = forms.ModelForm[Athlete]
else:
    AthleteForm = forms.ModelForm

ORDER = ("name", "sex", "born", "height", "feet", "inches", "mass", "level", "sport", "phone",
         "goal", "said", "equipment", "note", "site")  # fmt: skip
FIELDS = ("name", "sex", "born", "level", "sport", "goal", "said", "phone", "note")


class PersonForm(AthleteForm):
    """Add or edit an athlete."""

    height = forms.FloatField(required=False)
    feet = forms.IntegerField(label=gettext_lazy("height, feet"), required=False, min_value=0)
    inches = forms.FloatField(label=gettext_lazy("inches"), required=False, min_value=0)
    mass = forms.FloatField()
    equipment = forms.MultipleChoiceField(
        label=gettext_lazy("equipment at hand for drills"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    sure = forms.BooleanField(label=gettext_lazy("It is right as it stands"), required=False)
    key = forms.UUIDField(widget=forms.HiddenInput)

    field_order = ORDER

    class Meta:
        model = Athlete
        fields = [*FIELDS, "site"]
        widgets = {
            "born": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "phone": forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
            "name": forms.TextInput(attrs={"autocomplete": "off"}),
            **{name: forms.Textarea(attrs={"rows": 3}) for name in ("goal", "said", "note")},
        }
        labels = {
            "name": gettext_lazy("name"),
            "sex": gettext_lazy("sex"),
            "born": gettext_lazy("date of birth"),
            "sport": gettext_lazy("sport"),
            "phone": gettext_lazy("telephone"),
            "note": gettext_lazy("note"),
            "goal": gettext_lazy("goal, in their words"),
            "said": gettext_lazy("history, in their words"),
            "level": gettext_lazy("history with jumping"),
            "site": gettext_lazy("site"),
        }

    def __init__(
        self,
        *args: Any,
        user: User,
        sites: QuerySet[Site],
        catalogues: Sequence[Catalogue],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        self.is_metric = user.units == Units.METRIC
        self.mass_unit = "kg" if self.is_metric else "lb"
        self._lay_out(sites, catalogues)
        self.initial = {**self._shown(), **self.initial}

    def _lay_out(self, sites: QuerySet[Site], catalogues: Sequence[Catalogue]) -> None:
        """Keep the fields of the user's units, and offer what there is to choose from."""
        for name in ("feet", "inches") if self.is_metric else ("height",):
            del self.fields[name]
        self.fields["mass"].label = _("body mass, %(unit)s") % {"unit": self.mass_unit}
        if self.is_metric:
            self.fields["height"].label = _("height, cm")
        words = equipment_words(catalogues, self.instance.equipment)
        offered: Any = self.fields["equipment"]
        offered.choices = [(word, _(word)) for word in words]
        where: Any = self.fields["site"]
        where.queryset, where.empty_label = sites, None
        if sites.count() == 1:
            where.initial, where.widget = sites.get(), forms.HiddenInput()

    def _shown(self) -> dict[str, Any]:
        """Give what stands on record, in the user's units."""
        row = self.instance
        if row._state.adding:
            return {"key": uuid.uuid4()}
        inches_in_all = round(from_si(row.height_m, "in"), 1)
        return {
            "key": row.key,
            "equipment": row.equipment,
            "height": round(from_si(row.height_m, "cm"), 1),
            "feet": int(inches_in_all // 12),
            "inches": round(inches_in_all % 12, 1),
            "mass": round(from_si(row.mass_kg, self.mass_unit), 1),
        }

    def clean_born(self) -> date:
        """Refuse a birthday that nobody alive has."""
        born: date = self.cleaned_data["born"]
        if born > localdate() or age_on(born, localdate()) > OLDEST_YEARS:
            met = {"born": born.isoformat(), "years": OLDEST_YEARS}
            raise forms.ValidationError(
                _("%(born)s was met; the day of birth lies in the last %(years)d years.") % met
            )
        return born

    def clean_mass(self) -> float:
        """Give the mass in kg; refuse what nobody weighs."""
        return _within(self.cleaned_data["mass"], MASS_KG, self.mass_unit)

    def clean(self) -> dict[str, Any]:
        """Put the height together, and ask about what is unlikely."""
        super().clean()
        given = self.cleaned_data
        self._clean_height(given)
        if not self.errors and not given.get("sure"):
            for field, question in unlikely(given):
                self.add_error(field if field in self.fields else "feet", question)
        return given

    def _clean_height(self, given: dict[str, Any]) -> None:
        field = "height" if self.is_metric else "feet"
        if field in self.errors or "inches" in self.errors:
            return
        value, unit = given.get("height"), "cm"
        if not self.is_metric:
            value, unit = 12 * (given.get("feet") or 0) + (given.get("inches") or 0), "in"
        try:
            given["height"] = _within(value or 0, HEIGHT_M, unit)
        except forms.ValidationError as error:
            self.add_error(field, error)

    def save(self, commit: bool = True) -> Athlete:
        """Write the row; what was not touched keeps its digits, whatever the units."""
        row, given, is_new = self.instance, self.cleaned_data, self.instance._state.adding
        if is_new:
            row.key = given["key"]
        if is_new or {"height", "feet", "inches"} & {*self.changed_data}:
            row.height_m = given["height"]
        if is_new or "mass" in self.changed_data:
            row.mass_kg = given["mass"]
        row.equipment = given["equipment"]
        return super().save(commit)


def _within(value: float, limits: tuple[float, float], unit: str) -> float:
    """Give a value in SI; refuse it, in the unit it was entered in, if it lies outside."""
    met = to_si(value, unit)
    if limits[0] <= met <= limits[1]:
        return met
    low, high = (round(from_si(limit, unit)) for limit in limits)
    raise forms.ValidationError(
        _("%(met)s %(unit)s was met, values lie between %(low)d and %(high)d %(unit)s; a slip?")
        % {"met": f"{value:g}", "unit": unit, "low": low, "high": high}
    )


def unlikely(given: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """
    Yield what looks like a slip of the pen: a field and a question.

    Parameters
    ----------
    given : mapping
        Height in metres, mass in kilograms, date of birth.
    """
    build = given["mass"] / given["height"] ** 2
    if not LIKELY_BUILD[0] <= build <= LIKELY_BUILD[1]:
        yield "height", _("Height and body mass rarely go together like this; are they swapped?")
    age = age_on(given["born"], localdate())
    if not LIKELY_YEARS[0] <= age <= LIKELY_YEARS[1]:
        yield "born", _("That makes %(age)d years; is the year right?") % {"age": age}


def equipment_words(catalogues: Iterable[Catalogue], held: Iterable[str] = ()) -> list[str]:
    """Give the catalogues' words for what drills need, and those that are on record already."""
    drills = [one for catalogue in catalogues for one in current(catalogue.drills).values()]
    needed = {word for drill in drills for word in drill.needs}
    return sorted(needed | set(held))

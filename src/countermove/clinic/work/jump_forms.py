"""Forms of the jump: files in, questions of their reader settled, trials marked."""

from __future__ import annotations

import uuid
from typing import Any, ClassVar

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from countermove.catalogue import Catalogue
from countermove.clinic.visits.marks import FOUND, LANDING, ONSET, TAKEOFF, WEIGHING
from countermove.record import JumpKind, Trial

MOST_FILES = 12  # a send; our default
UNITS = ("N", "kN", "kgf", "lbf")


def kinds(catalogue: Catalogue) -> list[tuple[str, str]]:
    """Offer the jumps by the names of their tests."""
    return [(kind.value, catalogue.tests[kind.value].name) for kind in JumpKind]


class ManyFiles(forms.ClearableFileInput):
    """The browser's own file field, which also takes files that are dropped on it."""

    allow_multiple_selected = True


class FilesField(forms.FileField):
    """One or more files, each within the limit before it is opened."""

    widget = ManyFiles

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile[Any]]:
        """Check each file, and how many they are."""
        files = data if isinstance(data, list | tuple) else [data]
        checked = [super(FilesField, self).clean(file, initial) for file in files]
        if len(checked) > MOST_FILES:
            raise forms.ValidationError(
                _("%(n)d files were sent, at most %(most)d go at once; send them in parts")
                % {"n": len(checked), "most": MOST_FILES}
            )
        return checked


class UploadForm(forms.Form):
    """Files of one kind of jump."""

    kind = forms.ChoiceField(label=_("Which jump was it?"), widget=forms.RadioSelect)
    dropped = FilesField(label=_("Force-plate files"), allow_empty_file=True)
    sent_as = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    def __init__(self, *args: Any, catalogue: Catalogue, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["kind"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = kinds(catalogue)


class SettleForm(forms.Form):
    """
    Answers to what a file leaves open.

    The reader's messages name a flag of the command line; each field says which one it is.
    """

    rate_hz = forms.FloatField(label=_("Samples a second"), required=False, min_value=1)
    unit = forms.ChoiceField(
        label=_("Unit of the force"),
        required=False,
        choices=[("", _("as the file says")), *((unit, unit) for unit in UNITS)],
    )
    columns = forms.CharField(
        label=_("Columns of vertical force"),
        required=False,
        max_length=200,
        help_text=_("Names or numbers, parted by semicolons: 2; 3"),
    )
    left = forms.CharField(label=_("Column of the left foot"), required=False, max_length=120)
    right = forms.CharField(label=_("Column of the right foot"), required=False, max_length=120)
    time = forms.CharField(label=_("Column of time"), required=False, max_length=120)
    time_unit = forms.ChoiceField(
        label=_("Unit of time"),
        required=False,
        choices=[("", _("as the file says")), ("s", _("seconds")), ("ms", _("milliseconds"))],
    )
    decimal = forms.ChoiceField(
        label=_("Decimal mark"),
        required=False,
        choices=[("", _("as the file says")), (".", _("point: 7.2")), (",", _("comma: 7,2"))],
    )

    FLAGS: ClassVar[dict[str, tuple[str, ...]]] = {
        "--rate": ("rate_hz",),
        "--unit": ("unit",),
        "--columns": ("columns", "left", "right"),
        "--left": ("left", "right"),
        "--right": ("left", "right"),
        "--time": ("time",),
        "--time-unit": ("time_unit",),
        "--decimal": ("decimal",),
    }

    def asked(self, flag: str) -> list[forms.BoundField]:
        """Give the fields that a flag names."""
        return [self[name] for name in self.FLAGS.get(flag, ())]

    def others(self, flag: str) -> list[forms.BoundField]:
        """Give the rest, for whoever knows more of the file."""
        asked = self.FLAGS.get(flag, ())
        return [self[name] for name in self.fields if name not in asked]

    def options(self) -> dict[str, Any]:
        """Give what was answered, in the reader's words; what was left open is left out."""
        told = {name: value for name, value in self.cleaned_data.items() if value}
        if "columns" in told:
            told["columns"] = [name.strip() for name in told["columns"].split(";") if name.strip()]
        return told

    @classmethod
    def initial_from(cls, options: dict[str, Any]) -> dict[str, Any]:
        """Show earlier answers again."""
        return {**options, "columns": "; ".join(options.get("columns", ()))}


class ReasonForm(forms.Form):
    """A reason, for what is left out of the mean."""

    reason = forms.CharField(label=_("Why"), max_length=400)


def _time(label: Any) -> forms.FloatField:
    step = forms.NumberInput(attrs={"step": "0.001", "inputmode": "decimal"})
    return forms.FloatField(label=label, required=False, widget=step)


class EventsForm(ReasonForm):
    """
    Weighing, onset, take-off and landing, set by hand; what is left as it is, is not touched.

    Parameters
    ----------
    trial, found : Trial
        As it stands, and without what hands moved; both fill in what the fields show.
    """

    start_s = _time(_("Weighing from"))
    end_s = _time(_("Weighing to"))
    onset_s = _time(_("Onset"))
    takeoff_s = _time(_("Take-off"))
    landing_s = _time(_("Landing"))

    FIELDS: ClassVar[dict[str, tuple[str, ...]]] = {
        WEIGHING: ("start_s", "end_s"),
        ONSET: ("onset_s",),
        TAKEOFF: ("takeoff_s",),
        LANDING: ("landing_s",),
    }

    def __init__(self, data: Any = None, *, trial: Trial, found: Trial) -> None:
        self.stands, self.found = _shown(trial), _shown(found)
        super().__init__(data, initial=self.stands, auto_id="move_%s")
        for name in self.found:
            self.fields[name].widget.attrs["data-found"] = self.found[name]

    def times(self) -> dict[str, Any]:
        """Give what was moved: a time, a window, or `FOUND` where it was put back."""
        moved = {what: self._moved(names) for what, names in self.FIELDS.items()}
        return {what: value for what, value in moved.items() if value is not None}

    def _moved(self, names: tuple[str, ...]) -> Any:
        typed = [self.cleaned_data.get(name) for name in names]
        if None in typed:
            return None
        written = [f"{time:.3f}" for time in typed]
        if written == [self.stands[name] for name in names]:
            return None
        if written == [self.found[name] for name in names]:
            return FOUND
        return typed if len(typed) > 1 else typed[0]

    def clean(self) -> dict[str, Any]:
        """Ask for a move, and for both ends of a window."""
        told = super().clean() or self.cleaned_data
        ends = [told.get(name) for name in self.FIELDS[WEIGHING]]
        if ends.count(None) == 1 and not self.errors:
            raise forms.ValidationError(_("Give both ends of the weighing, or leave both out."))
        if not self.errors and not self.times():
            raise forms.ValidationError(_("Nothing was moved; change a time first."))
        return told


def _shown(trial: Trial) -> dict[str, str]:
    """Write the events of a trial to the millisecond; empty where there is none."""
    times = {
        "start_s": trial.weighing_start_s,
        "end_s": trial.weighing_end_s,
        "onset_s": trial.onset_s,
        "takeoff_s": trial.takeoff_s,
        "landing_s": trial.landing_s,
    }
    return {name: "" if time is None else f"{time:.3f}" for name, time in times.items()}

"""Forms of the jump: files in, questions of their reader settled, trials marked."""

from __future__ import annotations

import uuid
from typing import Any, ClassVar

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from countermove.catalogue import Catalogue
from countermove.record import JumpKind

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


class WindowForm(ReasonForm):
    """The weighing window, set by hand."""

    start_s = forms.FloatField(
        label=_("Weighing starts at"), widget=forms.NumberInput(attrs={"step": "0.01"})
    )
    end_s = forms.FloatField(
        label=_("and ends at"), widget=forms.NumberInput(attrs={"step": "0.01"})
    )

"""Finding somebody by name."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class FindForm(forms.Form):
    """A name, or a part of one, and a page of the list."""

    q = forms.CharField(
        label=_("name"),
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )
    page = forms.IntegerField(required=False, min_value=1)

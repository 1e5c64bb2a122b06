"""Beginning a practice, its settings, its members."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from countermove.clinic.accounts.forms import (
    NO_SUCH_TOKEN,
    AccountForm,
    NewPasswordField,
    TokenField,
    check_password,
)
from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.tokens import peek, redeem
from countermove.clinic.practice.models import Membership, Site
from countermove.clinic.practice.roles import Role

BEGUN = _("This practice has an owner already. Sign in, or ask the owner for an account.")


class StartForm(AccountForm):
    """The owner's account and the first site."""

    token = TokenField()
    site = forms.CharField(label=_("name of the practice"), max_length=120)
    password = NewPasswordField()

    field_order = ("token", "site", "name", "username", "password")

    def clean(self) -> dict[str, Any]:
        """Judge the token, and the password by whose it will be."""
        given = super().clean() or {}
        token = peek(given.get("token", ""))
        if token is None or token.user is not None:
            raise ValidationError({"token": NO_SUCH_TOKEN})
        check_password(self, User(username=given.get("username", ""), name=given.get("name", "")))
        return given

    @transaction.atomic
    def begin(self) -> User | None:
        """Make site and owner and use the token up; None if somebody was quicker."""
        if redeem(self.cleaned_data["token"]) is None:
            self.add_error("token", NO_SUCH_TOKEN)
            return None
        if User.objects.exists():
            self.add_error(None, BEGUN)
            return None
        user: User = self.save(commit=False)
        user.set_password(self.cleaned_data["password"])
        user.save()
        site = Site.objects.create(name=self.cleaned_data["site"])
        Membership.objects.create(user=user, site=site, role=Role.OWNER)
        return user


class SiteForm(forms.ModelForm):  # type: ignore[type-arg]
    """What stands on papers and what the pages say in an emergency."""

    us_letter = forms.TypedChoiceField(
        label=_("paper"),
        choices=[("a4", _("A4")), ("letter", _("US letter"))],
        coerce=lambda paper: paper == "letter",
        widget=forms.RadioSelect,
    )

    class Meta:
        model = Site
        fields = ("name", "phone", "emergency_number", "us_letter")
        labels = {
            "name": _("name of the site"),
            "phone": _("telephone"),
            "emergency_number": _("emergency number"),
        }
        help_texts = {"emergency_number": _("Named wherever somebody should be seen at once.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["us_letter"] = "letter" if self.instance.us_letter else "a4"


class MemberForm(forms.Form):
    """Somebody new at a site."""

    name = forms.CharField(label=_("name"), max_length=120)
    username = forms.CharField(
        label=_("user name"),
        max_length=150,
        validators=[User.username_validator],
        help_text=_("What is typed to sign in. Somebody with an account keeps it."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
    role = forms.ChoiceField(label=_("role"), choices=Role.choices, initial=Role.PRACTITIONER)

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site = site

    def clean_username(self) -> str:
        """Refuse somebody who is here already."""
        username: str = self.cleaned_data["username"]
        if self.site.members.filter(username__iexact=username).exists():
            raise ValidationError(_("Is a member already."))
        return username


class RoleForm(forms.ModelForm):  # type: ignore[type-arg]
    """What a member may do."""

    class Meta:
        model = Membership
        fields = ("role",)

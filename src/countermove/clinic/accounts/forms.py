"""Making an account, setting a password with a one-time token, one's own settings."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.tokens import peek, redeem

NO_SUCH_TOKEN = _(
    "This token opens nothing: it was used, is older than an hour, or has a letter wrong. A new one"
    " comes from whoever gave it to you."
)


class TokenField(forms.CharField):
    """A one-time token, typed off a terminal."""

    def __init__(self) -> None:
        widget = forms.TextInput(
            attrs={"autocomplete": "one-time-code", "autocapitalize": "none", "spellcheck": "false"}
        )
        super().__init__(label=_("one-time token"), max_length=40, widget=widget)


class NewPasswordField(forms.CharField):
    """A password that is being chosen."""

    def __init__(self) -> None:
        widget = forms.PasswordInput(attrs={"autocomplete": "new-password"})
        super().__init__(
            label=_("password"),
            strip=False,
            widget=widget,
            help_text=_("Twelve characters or more; a few words in a row are good."),
        )


class AccountForm(forms.ModelForm):  # type: ignore[type-arg]
    """Who somebody is and what they type to come in."""

    class Meta:
        model = User
        fields = ("name", "username")
        labels = {"name": _("name"), "username": _("user name")}
        help_texts = {"username": _("What is typed to sign in.")}

    def clean_username(self) -> str:
        """Refuse a user name that differs from another by its capitals alone."""
        username: str = self.cleaned_data["username"]
        if User.objects.filter(username__iexact=username).exists():
            raise ValidationError(_("This user name is taken."))
        return username


class TokenPasswordForm(forms.Form):
    """A one-time token and the password that it sets."""

    token = TokenField()
    password = NewPasswordField()

    def clean(self) -> dict[str, Any]:
        """Judge the token and then the password, by whose it will be."""
        given = super().clean() or {}
        token = peek(given.get("token", ""))
        if token is None or token.user is None:
            raise ValidationError({"token": NO_SUCH_TOKEN})
        check_password(self, token.user)
        return given

    def save(self) -> User | None:
        """Use the token up and set the password; None if somebody was quicker."""
        token = redeem(self.cleaned_data["token"])
        if token is None or token.user is None:
            self.add_error("token", NO_SUCH_TOKEN)
            return None
        token.user.set_password(self.cleaned_data["password"])
        token.user.save(update_fields=["password"])
        return token.user


class OwnForm(forms.ModelForm):  # type: ignore[type-arg]
    """One's own name and units."""

    class Meta:
        model = User
        fields = ("name", "units")
        labels = {"name": _("name"), "units": _("lengths and masses")}
        widgets = {"units": forms.RadioSelect}


def check_password(form: forms.BaseForm, user: User) -> None:
    """Put on the form what is wrong with its password."""
    password = form.cleaned_data.get("password")
    if password is None:
        return
    try:
        validate_password(password, user)
    except ValidationError as wrong:
        form.add_error("password", wrong)

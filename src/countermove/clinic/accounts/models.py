"""Who works here, and the one-time tokens that let them make or mend an account."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _


class Units(models.TextChoices):
    """How lengths and masses are shown and entered."""

    METRIC = "metric", _("centimetres and kilograms")
    IMPERIAL = "imperial", _("inches and pounds")


class User(AbstractUser):
    """A person with an account; athletes have none."""

    # One name, as it is spoken; Django's two parts are taken away.
    first_name = None  # type: ignore[assignment]
    last_name = None  # type: ignore[assignment]
    name = models.CharField(_("name"), max_length=120)
    units = models.CharField(max_length=8, choices=Units, default=Units.METRIC)

    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    def __str__(self) -> str:
        return self.name or self.username

    def get_full_name(self) -> str:
        """Give the name as it is spoken."""
        return str(self)


class Token(models.Model):
    """
    A word from the terminal that opens one door once: the owner's account, or a new password.

    Only its hash is kept.
    """

    digest = models.CharField(max_length=64, unique=True)
    user = models.ForeignKey(User, null=True, blank=True, on_delete=models.CASCADE)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

"""Sites, memberships, the log of who saw what, and permits to erase."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from countermove.clinic.practice.append_only import AppendOnly
from countermove.clinic.practice.roles import Role


class Site(models.Model):
    """A place where athletes are seen; every athlete belongs to one."""

    name = models.CharField(_("name"), max_length=120)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    emergency_number = models.CharField(_("emergency number"), max_length=40, default="112")
    us_letter = models.BooleanField(_("paper is US letter"), default=False)
    members = models.ManyToManyField(settings.AUTH_USER_MODEL, through="Membership")

    def __str__(self) -> str:
        return self.name


class Membership(models.Model):
    """What one person may do at one site."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE)
    site = models.ForeignKey(Site, on_delete=models.CASCADE)
    role = models.CharField(max_length=12, choices=Role)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["user", "site"], name="one_role_a_person_and_site")
        ]


class AccessEntry(AppendOnly):
    """
    One look at one record: who, which, when, what.

    Holds no health data: the record is named by its kind and key.
    """

    class What(models.TextChoices):
        VIEW = "view", _("saw")
        CHANGE = "change", _("changed")
        EXPORT = "export", _("exported")

    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    site = models.ForeignKey(Site, on_delete=models.PROTECT)
    what = models.CharField(max_length=8, choices=What)
    kind = models.CharField(max_length=40)
    key = models.CharField(max_length=64)

    class Meta:
        indexes = [models.Index(fields=["kind", "key", "at"])]


class ErasurePermit(models.Model):
    """
    The one exception to append-only: while a permit is open, rows may be deleted.

    Opened and closed inside one transaction; it stays as the record that something was erased,
    on whose word and why.
    """

    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    reason = models.CharField(max_length=400)
    key = models.CharField(max_length=64)
    opened_at = models.DateTimeField(auto_now_add=True)
    closed_at = models.DateTimeField(null=True, blank=True)

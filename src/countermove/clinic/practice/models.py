"""Sites, memberships, own entries of the catalogue, who saw what, and permits to erase."""

from __future__ import annotations

import uuid

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


class OwnEntry(AppendOnly):
    """
    One version of an entry of a site's own catalogue.

    A change is a further row with the next version; a withdrawal too, with the text of what it
    withdraws. Built-in entries are not here and are never edited: an own one supersedes them.
    """

    class Kind(models.TextChoices):
        TESTS = "tests", _("test")
        DRILLS = "drills", _("drill")
        TARGETS = "targets", _("target")
        NORMS = "norms", _("norm")

    site = models.ForeignKey(Site, on_delete=models.PROTECT)
    kind = models.CharField(max_length=12, choices=Kind)
    key = models.CharField(max_length=80)
    version = models.PositiveIntegerField()
    toml = models.TextField()
    # The publication it brings along, as a text of sources.toml; empty if it brings none.
    sources = models.TextField(blank=True)
    reason = models.CharField(max_length=400)
    withdrawn = models.BooleanField(default=False)
    sent_as = models.UUIDField(default=uuid.uuid4, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "kind", "key", "version"], name="one_row_a_version"
            )
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

"""Athletes and what clears them. Names are the record's own; `convert.py` builds the record."""

from __future__ import annotations

import uuid
from enum import StrEnum
from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from countermove.clinic.practice.append_only import AppendOnly
from countermove.clinic.practice.models import Site
from countermove.record import Decision, Level, Sex


def choices(words: type[StrEnum]) -> list[tuple[str, str]]:
    """Offer a closed list of the record's words."""
    return [(word.value, word.value) for word in words]


class Athlete(models.Model):
    """The person; what may be edited is kept in its history."""

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="athletes")
    name = models.CharField(_("name"), max_length=120)
    sex = models.CharField(_("sex"), max_length=6, choices=choices(Sex))
    born = models.DateField(_("date of birth"))
    height_m = models.FloatField(_("height"))
    mass_kg = models.FloatField(_("body mass"))
    level = models.CharField(max_length=12, choices=choices(Level), default=Level.BEGINNER)
    sport = models.CharField(_("sport"), max_length=120, blank=True)
    goal = models.TextField(_("goal"), blank=True)
    said = models.TextField(_("history"), blank=True)
    note = models.TextField(_("note"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    equipment = models.JSONField(default=list, blank=True)
    lengths_m = models.JSONField(default=dict, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords(excluded_fields=["made_at"])

    class Meta:
        indexes = [models.Index(fields=["site", "name"])]

    def __str__(self) -> str:
        return self.name

    def calls_kept(self) -> models.QuerySet[CallMade]:
        """Give the calls that were made, newest first, those taken back too."""
        kept = self.calls.filter(undoes=None).select_related("made_by", "undone_by__made_by")
        return kept.order_by("-pk")


class Clearance(AppendOnly):
    """Health questions as answered on one day, and who read them. The latest counts."""

    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT, related_name="clearances")
    asked = models.DateField()
    expires = models.DateField()
    answers = models.JSONField()
    reviewed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    corrects = models.ForeignKey("self", null=True, on_delete=models.PROTECT)
    reason = models.CharField(max_length=400, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        indexes = [models.Index(fields=["athlete", "-made_at"])]


class Override(AppendOnly):
    """A narrowing caution that a practitioner lifted, and why; it stays in sight."""

    clearance = models.ForeignKey(Clearance, on_delete=models.PROTECT, related_name="overrides")
    caution = models.CharField(max_length=80)
    reason = models.CharField(max_length=400)
    on = models.DateField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)


class Consent(AppendOnly):
    """One purpose agreed to or taken back; the latest row for a purpose and recipient counts."""

    class Purpose(models.TextChoices):
        TESTING = "testing", _("testing and keeping a record")
        VIDEO = "video", _("video")
        RECIPIENT = "recipient", _("telling somebody else")

    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT, related_name="consents")
    purpose = models.CharField(max_length=10, choices=Purpose)
    recipient = models.CharField(max_length=120, blank=True)
    given = models.BooleanField()
    guardian = models.CharField(max_length=120, blank=True)
    on = models.DateField()
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )


class Standing(models.Model):
    """
    Where an athlete stands, in one row that lists read, rewritten with what changes it.

    Derived: it can be thrown away and built again from the records.
    """

    athlete = models.OneToOneField(Athlete, on_delete=models.CASCADE, related_name="standing")
    # The athlete's own, repeated: so whom to call at a site comes off one index of this table.
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+", editable=False)
    urgency = models.PositiveSmallIntegerField(default=0)
    call = models.CharField(max_length=12, blank=True)
    sentence = models.TextField(blank=True)
    verdict = models.TextField(blank=True)
    chain = models.JSONField(default=list)
    decision = models.CharField(max_length=9, choices=choices(Decision), default=Decision.ASK_FIRST)
    next = models.CharField(max_length=80, blank=True)
    clear_until = models.DateField(null=True)

    class Meta:
        indexes = [
            models.Index(fields=["site", "-urgency", "clear_until"]),
            models.Index(fields=["site", "clear_until"]),
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Keep the row, at the athlete's site of today."""
        self.site_id = self.athlete.site_id
        if (named := kwargs.get("update_fields")) is not None:
            kwargs["update_fields"] = {*named, "site"}
        super().save(*args, **kwargs)


class CallMade(AppendOnly):
    """
    A call to an athlete: who, when and what was agreed; taken back by a row that points to it.

    It keeps what the standing row told when the call was made: whatever is new since then asks for
    another call.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT, related_name="calls")
    on = models.DateField()
    agreed = models.CharField(max_length=400, blank=True)
    decision = models.CharField(max_length=9, choices=choices(Decision))
    verdict = models.TextField(blank=True)
    clear_until = models.DateField(null=True)
    undoes = models.OneToOneField(
        "self", null=True, on_delete=models.PROTECT, related_name="undone_by"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        indexes = [models.Index(fields=["on", "athlete"])]

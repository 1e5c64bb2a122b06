"""Slow work: a job is what was asked for, a result what came out and from what."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.append_only import AppendOnly


class Job(models.Model):
    """One piece of slow work: ours, so that it can be cancelled, watched and taken up again."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        RUNNING = "running", _("running")
        DONE = "done", _("done")
        FAILED = "failed", _("failed")
        CANCELLED = "cancelled", _("cancelled")

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    kind = models.CharField(max_length=40)
    athlete = models.ForeignKey(Athlete, null=True, on_delete=models.CASCADE)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    arguments = models.JSONField(default=dict)
    state = models.CharField(max_length=9, choices=State, default=State.WAITING)
    fraction = models.FloatField(default=0.0)
    cancel_asked = models.BooleanField(default=False)
    heartbeat = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    said = models.TextField(blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["state", "made_at"])]


class Result(AppendOnly):
    """
    What a step concluded, with all that made it, so that it can be made again.

    The same kind, inputs, settings, code and catalogue are not computed twice.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT, related_name="results")
    kind = models.CharField(max_length=40)
    schema = models.PositiveSmallIntegerField()
    code_version = models.CharField(max_length=40)
    catalogue_version = models.CharField(max_length=40)
    settings = models.JSONField(default=dict)
    inputs = models.CharField(max_length=64)
    output = models.JSONField()
    supersedes = models.ForeignKey("self", null=True, on_delete=models.PROTECT)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["athlete", "kind", "-made_at"])]

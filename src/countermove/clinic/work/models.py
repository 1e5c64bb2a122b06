"""Results: what a step concluded, and from what; jobs: slow work, and how far it is."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.append_only import AppendOnly


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


class State(models.TextChoices):
    """Where a job stands."""

    WAITING = "waiting", _("waiting")
    RUNNING = "running", _("working")
    DONE = "done", _("done")
    FAILED = "failed", _("failed")
    STOPPED = "stopped", _("stopped")


ACTIVE = (State.WAITING, State.RUNNING)


class Job(models.Model):
    """
    Slow work on one athlete: asked for by somebody, done by the worker, in sight all the time.

    The queue only says which job is next; state, progress, the wish to stop and what became of it
    stand here. `runs` counts the beginnings: whoever works on a job writes to it only while the
    count is the one of their own beginning, so a worker that was given up cannot come back.

    Attributes
    ----------
    fraction : float
        How much is done, 0 to 1.
    heartbeat_at : datetime
        When the worker last said that it is at it.
    deaths : int
        How often the work ended without a word: once is begun again, twice is a failure.
    error : str
        What went wrong, for the person who asked.
    inputs : str
        Hash of what goes in; the same is not computed twice.
    task : UUID
        The job's place in the queue.
    """

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    kind = models.CharField(max_length=40)
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="jobs")
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    fraction = models.FloatField(default=0.0)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    started_at = models.DateTimeField(null=True)
    heartbeat_at = models.DateTimeField(null=True)
    stop_asked_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    runs = models.PositiveSmallIntegerField(default=0)
    deaths = models.PositiveSmallIntegerField(default=0)
    error = models.TextField(blank=True)
    inputs = models.CharField(max_length=64, blank=True)
    result = models.ForeignKey(Result, null=True, on_delete=models.CASCADE, related_name="+")
    task = models.UUIDField(null=True)

    class Meta:
        indexes = [
            models.Index(fields=["athlete", "kind", "-asked_at"]),
            models.Index(fields=["state", "heartbeat_at"]),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["athlete", "kind"],
                condition=models.Q(state__in=["waiting", "running"]),
                name="one_active_job_a_kind",
            )
        ]

    @property
    def is_active(self) -> bool:
        """Whether it waits or is worked on."""
        return self.state in ACTIVE

    @property
    def percent(self) -> int:
        """How much is done, in whole per cent, never 100 before the end."""
        return min(99, int(100 * self.fraction)) if self.is_active else 100

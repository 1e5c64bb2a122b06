"""Results: what a step concluded, and from what."""

from __future__ import annotations

from django.db import models

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

"""Visits and what was measured. A measurement is never changed: a correction points to it."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from countermove.clinic.people.models import Athlete, choices
from countermove.clinic.practice.append_only import AppendOnly
from countermove.clinic.practice.models import Site
from countermove.record import Instead, JumpKind, Side


class Template(AppendOnly):
    """
    A practice's own list of the tests a visit begins with.

    A change is a new row that supersedes the old one, so that every visit still tells which list
    it began with; one that is withdrawn is offered no more.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="templates")
    name = models.CharField(_("name"), max_length=80)
    tests = models.JSONField(default=list)
    supersedes = models.OneToOneField(
        "self", null=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    withdrawn = models.BooleanField(default=False)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    sent_as = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class Visit(models.Model):
    """
    One dated occasion of measuring.

    Attributes
    ----------
    follows : Visit, optional
        The visit that this one follows up; what is not measured anew stands as it was then.
    template : Template, optional
        The practice's own list of tests it began with; without one it is the first visit's.
    """

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT, related_name="visits")
    date = models.DateField(_("date"))
    tester = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="visits"
    )
    said = models.TextField(_("in the athlete's words"), blank=True)
    note = models.TextField(_("note"), blank=True)
    follows = models.ForeignKey(
        "self", null=True, on_delete=models.PROTECT, related_name="follow_ups"
    )
    template = models.ForeignKey(Template, null=True, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["date", "pk"]
        indexes = [models.Index(fields=["athlete", "date"])]


class Entry(AppendOnly):
    """What every row of a visit carries: who wrote it, when, what it corrects and why."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="%(class)ss")
    corrects = models.OneToOneField(
        "self", null=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    reason = models.CharField(max_length=400, blank=True)
    withdrawn = models.BooleanField(default=False)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    # Sent along by the page, so that an entry that is sent twice stands once.
    sent_as = models.UUIDField(default=uuid.uuid4, unique=True)

    class Meta:
        abstract = True
        ordering = ["pk"]


class Treatment(Entry):
    """What was tried between two measurings."""

    drill = models.CharField(max_length=80)
    side = models.CharField(max_length=5, choices=choices(Side))
    minutes = models.FloatField()
    cue = models.CharField(max_length=200, blank=True)


class DrillChange(Entry):
    """One drill of the work list that gave its place to another; `reason` says why."""

    drill = models.CharField(max_length=80)
    into = models.CharField(max_length=80)
    how = models.CharField(max_length=8, choices=choices(Instead))


class Measurement(Entry):
    """One test of one side, with every trial as it was entered."""

    test = models.CharField(max_length=80)
    side = models.CharField(max_length=5, choices=choices(Side))
    trials = models.JSONField(default=list)
    unit = models.CharField(max_length=12, blank=True)
    answer = models.CharField(max_length=80, blank=True)
    method = models.CharField(max_length=80, blank=True)
    tester = models.CharField(max_length=120, blank=True)
    could_not = models.CharField(max_length=200, blank=True)
    pain_score = models.FloatField(null=True)
    pain_where = models.CharField(max_length=120, blank=True)
    after = models.ForeignKey(Treatment, null=True, on_delete=models.PROTECT)
    note = models.CharField(max_length=400, blank=True)


class Recording(Entry):
    """A file with the raw signal of one or more trials, kept with its hash."""

    kind = models.CharField(max_length=8, choices=choices(JumpKind))
    file = models.FileField(upload_to="recordings/%Y/")
    name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    options = models.JSONField(default=dict)


class TrialMark(AppendOnly):
    """
    A hand on one trial: kept or rejected, or a mark moved; the latest of a kind counts.

    Undo is one more row, `undone` set.
    """

    recording = models.ForeignKey(Recording, on_delete=models.PROTECT, related_name="marks")
    number = models.PositiveSmallIntegerField()
    what = models.CharField(max_length=20)
    value = models.JSONField()
    undone = models.BooleanField(default=False)
    reason = models.CharField(max_length=400, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

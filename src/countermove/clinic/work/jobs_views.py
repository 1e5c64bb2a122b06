"""Slow work on the pages: asked for, seen on its way, stopped, told."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe
from django_htmx.http import reswap, retarget

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log, may, sites_where
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.work import jobs
from countermove.clinic.work.jobs_kinds import KINDS, RECORDINGS
from countermove.clinic.work.jump_facts import scale_for
from countermove.clinic.work.models import ACTIVE, Job, State
from countermove.errors import CountermoveError

LONG_S = 10  # a job that waits longer has its reason told
LATEST = 20  # ended jobs in the list


def job_for(user: User, key: UUID, action: Action = Action.READ) -> Job:
    """Give one job; 404 unless its athlete is theirs."""
    theirs = Job.objects.filter(athlete__site__in=sites_where(user, action), key=key)
    job = theirs.select_related("athlete__site", "asked_by", "result").first()
    if job is None:
        raise Http404
    return job


@login_required
@require_POST
def analyse_again(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Ask for all recordings of an athlete to be analysed again."""
    athlete = athlete_for(request.user, key, Action.MEASURE)
    try:
        job = jobs.ask_for(RECORDINGS, athlete, request.user, catalogue_of(athlete.site_id))
    except CountermoveError as error:
        messages.error(request, _("Not begun: %(why)s.") % {"why": error})
        return redirect("athlete", key)
    log(request.user, athlete.site, AccessEntry.What.CHANGE, "athlete", key)
    return redirect("job", job.key)


@login_required
@require_safe
@never_cache
def job(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Show a job; a page that is open already gets its line alone, and at the end the whole."""
    row = job_for(request.user, key)
    in_place = "HX-Request" in request.headers
    if in_place and row.is_active:
        return render(request, "work/job_line.html", told(row, request.user))
    log(request.user, row.athlete.site, AccessEntry.What.VIEW, "athlete", row.athlete.key)
    if in_place:
        part = render(request, "work/job_part.html", told(row, request.user))
        return reswap(retarget(part, f"#job-{row.key}"), "outerHTML")
    return render(request, "work/job.html", told(row, request.user))


@login_required
@require_POST
def stop(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Stop a job that waits or is worked on."""
    row = job_for(request.user, key, Action.MEASURE)
    jobs.ask_to_stop(row)
    log(request.user, row.athlete.site, AccessEntry.What.CHANGE, "athlete", row.athlete.key)
    return redirect("job", key)


@login_required
@require_safe
def every(request: SignedInRequest) -> HttpResponse:
    """List what is worked on at one's sites, and what ended lately; no result is told here."""
    sites = list(sites_where(request.user, Action.READ))
    for site in sites:
        log(request.user, site, AccessEntry.What.VIEW, "jobs", site.pk)
    rows = (
        Job.objects.filter(athlete__site__in=sites)
        .select_related("athlete", "asked_by")
        .order_by("-asked_at")
    )
    ended = rows.exclude(state__in=ACTIVE)[:LATEST]
    shown = {"active": _named(rows.filter(state__in=ACTIVE)), "ended": _named(ended)}
    return render(request, "work/jobs.html", shown)


def _named(rows: Any) -> list[tuple[Job, Any]]:
    return [(row, KINDS[row.kind].name if row.kind in KINDS else row.kind) for row in rows]


def told(row: Job, user: User) -> dict[str, Any]:
    """Give a job as its page tells it."""
    kind = KINDS.get(row.kind)
    sentences = kind.told(row.result, scale_for(user)) if kind and row.result else []
    return {
        "job": row,
        "athlete": row.athlete,
        "kind": kind.name if kind else row.kind,
        "sentences": sentences,
        "doing": doing(row),
        "may_measure": may(user, row.athlete.site, Action.MEASURE),
    }


def doing(row: Job) -> str:
    """Say in a few words where a job stands."""
    if row.stop_asked_at and row.is_active:
        return _("stopping")
    if row.state == State.WAITING:
        return _waiting(row)
    if row.state == State.RUNNING and _silent(row):
        return _("the worker is silent; it is begun again by itself")
    return str(State(row.state).label)


def _waiting(row: Job) -> str:
    if row.deaths:
        return _("broke off once, is begun again")
    if timezone.now() - row.asked_at > timedelta(seconds=LONG_S):
        return _("waiting for the worker, which is busy or not running")
    return _("waiting for the worker")


def _silent(row: Job) -> bool:
    since = row.heartbeat_at
    return since is not None and timezone.now() - since > timedelta(seconds=jobs.LOST_S)


def latest_analysis(user: User, athlete: Athlete) -> dict[str, Any] | None:
    """Give the latest job on an athlete's recordings as a page tells it; None if none was asked."""
    theirs = Job.objects.filter(athlete=athlete, kind=RECORDINGS.key)
    latest = theirs.select_related("athlete__site", "asked_by", "result").order_by("-asked_at")
    job = latest.first()
    return told(job, user) if job else None

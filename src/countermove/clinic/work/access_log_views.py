"""Who saw, changed or exported which record, when: for the owner of a site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log, site_for
from countermove.clinic.practice.models import AccessEntry, Site
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.models import Visit

A_PAGE = 50


@dataclass(frozen=True)
class Look:
    """One line of the log, the record named for people."""

    entry: AccessEntry
    record: str


@login_required
def access_log(request: SignedInRequest, pk: int) -> HttpResponse:
    """Show the log of a site, newest first, a page at a time."""
    site = site_for(request.user, pk, Action.MANAGE)
    entries = page_before(site, request.GET.get("before", ""))
    log(request.user, site, AccessEntry.What.VIEW, "log", site.pk)
    shown = {
        "site": site,
        "looks": looks(entries[:A_PAGE]),
        "older": entries[A_PAGE - 1].pk if len(entries) > A_PAGE else None,
        "paged": "before" in request.GET,
    }
    return render(request, "work/access_log.html", shown)


def page_before(site: Site, before: str) -> list[AccessEntry]:
    """Give one page of entries older than one of them, and one more if there is one."""
    entries = AccessEntry.objects.filter(site=site).select_related("by").order_by("-pk")
    if before.isdecimal():
        entries = entries.filter(pk__lt=int(before))
    return list(entries[: A_PAGE + 1])


def looks(entries: Sequence[AccessEntry]) -> list[Look]:
    """Name the records of some entries, with one query a kind."""
    athletes = Athlete.objects.filter(key__in=_uuids(entries, "athlete"))
    visits = Visit.objects.filter(key__in=_uuids(entries, "visit")).select_related("athlete")
    members = User.objects.filter(pk__in=[e.key for e in entries if e.kind == "member"])
    names = {("athlete", str(athlete.key)): athlete.name for athlete in athletes}
    names |= {
        ("visit", str(visit.key)): _("%(name)s, visit of %(day)s")
        % {"name": visit.athlete.name, "day": visit.date.isoformat()}
        for visit in visits
    }
    names |= {("member", str(user.pk)): _("member %s") % user for user in members}
    whole = {"people": _("the list of people"), "site": _("settings"), "log": _("this log")}
    return [
        Look(e, names.get((e.kind, e.key)) or whole.get(e.kind) or f"{e.kind} {e.key[:8]}")
        for e in entries
    ]


def _uuids(entries: Sequence[AccessEntry], kind: str) -> list[UUID]:
    """List the keys of one kind that are random keys; a foreign key names nothing."""
    found = []
    for entry in entries:
        if entry.kind == kind:
            try:
                found.append(UUID(entry.key))
            except ValueError:
                continue
    return found

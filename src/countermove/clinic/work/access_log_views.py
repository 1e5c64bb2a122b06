"""Who saw, changed or exported which record, when: for the owner of a site."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log, site_for
from countermove.clinic.practice.models import AccessEntry, Site
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.models import Visit

A_PAGE = 50
WHOLE = {
    "people": _lazy("the list of people"),
    "jobs": _lazy("the list of slow work"),
    "site": _lazy("settings"),
    "catalogue": _lazy("own catalogue"),
    "log": _lazy("this log"),
}


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
    """Name the records of some entries, with one query for athletes, visits and members each."""
    keys = list(_uuids(entries))
    athletes = Athlete.objects.filter(key__in=keys)
    visits = Visit.objects.filter(key__in=keys).select_related("athlete")
    members = User.objects.filter(pk__in=[e.key for e in entries if e.kind == "member"])
    names = {str(athlete.key): athlete.name for athlete in athletes}
    names |= {
        str(visit.key): _("%(name)s, visit of %(day)s")
        % {"name": visit.athlete.name, "day": date_format(visit.date, "j F Y")}
        for visit in visits
    }
    people = {str(user.pk): user.name for user in members}
    return [Look(entry, _record(entry, names, people)) for entry in entries]


def _record(entry: AccessEntry, names: dict[str, str], members: dict[str, str]) -> str:
    """Name one record: whose it is, and which part if it is not the whole."""
    if entry.kind in WHOLE:
        return str(WHOLE[entry.kind])
    if entry.kind == "member":
        return _("member %s") % members.get(entry.key, entry.key)
    name = names.get(entry.key)
    if name is None:
        return f"{entry.kind} {entry.key[:8]}"
    return name if entry.kind in ("athlete", "visit") else f"{name}, {entry.kind}"


def _uuids(entries: Sequence[AccessEntry]) -> Iterator[UUID]:
    """Give the keys that are random keys; another names nothing here."""
    for entry in entries:
        try:
            yield UUID(entry.key)
        except ValueError:
            continue

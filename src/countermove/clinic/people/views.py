"""The list of people: whom to call today, and everybody, found by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from django.contrib.auth.decorators import login_required
from django.core.paginator import Page, Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe
from django.utils.timezone import localdate
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from countermove.charts.chain import small_chain
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.access import athletes_for
from countermove.clinic.people.calls import Call, call_of, sentences, to_call
from countermove.clinic.people.calls_made import latest_calls, standing_calls
from countermove.clinic.people.forms import FindForm
from countermove.clinic.people.models import Athlete, CallMade, Standing
from countermove.clinic.practice.access import log, sites_where
from countermove.clinic.practice.models import AccessEntry, Site
from countermove.clinic.practice.roles import Action
from countermove.record import age_on

A_PAGE = 50
MOST_CALLS = 20  # shown at once; the rest are one press away


@dataclass(frozen=True, kw_only=True)
class Line:
    """One person in the list."""

    athlete: Athlete
    age: int
    chain: SafeString
    verdict: str
    call: str


@login_required
@require_http_methods(["GET", "POST"])
def people(request: SignedInRequest) -> HttpResponse:
    """
    Show whom to call and everybody at the user's sites.

    A name is sent by POST, though nothing changes: so it stands in no address, history or log.
    """
    form = FindForm(request.POST or request.GET)
    asked = form.cleaned_data if form.is_valid() else {}
    sites = list(sites_where(request.user, Action.READ))
    for site in sites:
        log(request.user, site, AccessEntry.What.VIEW, "people", site.pk)
    # By the sites' numbers, not by a subquery: so one site's people come in order off the index.
    theirs = athletes_for(request.user).filter(site__in=[site.pk for site in sites])
    found = theirs.select_related("standing").order_by("name", "pk")
    if asked.get("q"):
        found = found.filter(name__icontains=asked["q"])
    page = Paginator(found, A_PAGE).get_page(asked.get("page") or 1)
    context = {"form": form, "q": asked.get("q", ""), "page": page, "lines": lines(page)}
    if request.htmx:  # type: ignore[attr-defined]
        return render(request, "people/people.html#roll", context)
    return render(request, "people/people.html", context | _around(request, sites))


def _around(request: SignedInRequest, sites: list[Site]) -> dict[str, object]:
    """Give what stands round the list: the day, whom to call, what may be done."""
    today = localdate()
    rows = to_call([site.pk for site in sites], today)
    count = rows.count()
    shown = rows if request.GET.get("calls") == "all" else rows[:MOST_CALLS]
    return {
        "today": today,
        "sites": sites,
        "calls": list(calls(shown.select_related("athlete"), today)),
        "call_count": count,
        "called": called_today(sites, today),
        "calling": set(sites_where(request.user, Action.MEASURE).values_list("pk", flat=True)),
        "may_add": sites_where(request.user, Action.EDIT).exists(),
    }


def calls(rows: Iterable[Standing], today: date) -> Iterator[Call]:
    """Give the calls that some rows ask for, in their order, each with the call before it."""
    found = [call for row in rows if (call := call_of(row, today)) is not None]
    last = latest_calls(call.athlete for call in found) if found else {}
    for call in found:
        yield replace(call, last=last.get(call.athlete.pk))


def called_today(sites: Iterable[Site], today: date) -> list[CallMade]:
    """Give the calls that were made today, newest first."""
    made = standing_calls().filter(on=today, athlete__site__in=[site.pk for site in sites])
    return list(made.select_related("athlete", "made_by").order_by("-pk")[:A_PAGE])


def lines(page: Page[Athlete]) -> list[Line]:
    """Give a page of the list."""
    today = localdate()
    return [_line(athlete, today) for athlete in page]


def _line(athlete: Athlete, today: date) -> Line:
    standing = getattr(athlete, "standing", None)
    call = call_of(standing, today) if standing else None
    first = sentences(standing.verdict)[:1] if standing else []
    return Line(
        athlete=athlete,
        age=age_on(athlete.born, today),
        chain=drawn_chain(standing.chain if standing else ()),
        verdict=first[0] if first else gettext("Not examined yet."),
        call=call.do if call else "",
    )


def drawn_chain(chain: Iterable[str]) -> SafeString:
    """Draw a chain for a page; it holds our own words only, and those are escaped."""
    return mark_safe(small_chain(tuple(chain), say=gettext))

"""Adding and editing an athlete; what was concluded from the old facts is concluded again."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.changes import changes_to
from countermove.clinic.people.models import Athlete
from countermove.clinic.people.person_form import PersonForm
from countermove.clinic.practice.access import log, sites_where
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.work.examinations import examine_athlete


@login_required
@require_http_methods(["GET", "POST"])
def add(request: SignedInRequest) -> HttpResponse:
    """Add an athlete; sent twice, the same form makes one."""
    if not sites_where(request.user, Action.EDIT).exists():
        raise Http404
    form = _form(request, None)
    if form.is_bound and form.is_valid():
        made = Athlete.objects.filter(key=form.cleaned_data["key"]).first()
        if made is not None:
            return redirect("athlete", athlete_for(request.user, made.key, Action.EDIT).key)
        return redirect("athlete", _keep(request, form).key)
    return render(request, "people/person.html", {"form": form})


@login_required
@require_http_methods(["GET", "POST"])
def edit(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Change an athlete's facts; the old ones stay in the history."""
    athlete = athlete_for(request.user, key, Action.EDIT)
    form = _form(request, athlete)
    if form.is_bound and form.is_valid():
        return redirect("athlete", _keep(request, form).key)
    if request.method == "GET":
        log(request.user, athlete.site, AccessEntry.What.VIEW, "athlete", key)
    context = {"form": form, "athlete": athlete, "changes": list(changes_to(athlete))}
    return render(request, "people/person.html", context)


def _form(request: SignedInRequest, athlete: Athlete | None) -> PersonForm:
    sites = sites_where(request.user, Action.EDIT)
    return PersonForm(
        request.POST or None,
        instance=athlete,
        user=request.user,
        sites=sites,
        catalogues=[catalogue_of(site) for site in sites],
    )


@transaction.atomic
def _keep(request: SignedInRequest, form: PersonForm) -> Athlete:
    athlete = form.save()
    log(request.user, athlete.site, AccessEntry.What.CHANGE, "athlete", athlete.key)
    examine_athlete(athlete, catalogue_of(athlete.site_id))
    return athlete

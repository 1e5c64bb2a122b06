"""The practice's own templates: which tests a visit begins with."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from countermove.catalogue import Catalogue, current
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.access import log, site_for
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry, Site
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.entries import uuid_in
from countermove.clinic.visits.models import Template
from countermove.clinic.visits.templates import (
    FIRST_VISIT,
    is_noisy,
    keep_template,
    templates_of,
    withdraw_template,
)
from countermove.clinic.visits.testing_order import by_stage, in_testing_order, stage_said
from countermove.errors import BadInput


@login_required
@require_safe
def templates(request: SignedInRequest, pk: int) -> HttpResponse:
    """Show the lists a visit may begin with: ours, and the practice's own."""
    site = site_for(request.user, pk, Action.EDIT)
    catalogue = catalogue_of(site)
    context = {
        "site": site,
        "first": _said(FIRST_VISIT, catalogue),
        "rows": [(row, _said(row.tests, catalogue), str(uuid4())) for row in templates_of(site)],
    }
    return render(request, "visits/templates.html", context)


@login_required
@require_http_methods(["GET", "POST"])
def template(request: SignedInRequest, pk: int, row: int | None = None) -> HttpResponse:
    """Make a list, or a new version of one."""
    site = site_for(request.user, pk, Action.EDIT)
    old, error = _row(site, row), ""
    if request.method == "POST":
        try:
            kept = keep_template(
                site,
                name=request.POST.get("name", ""),
                tests=request.POST.getlist("tests"),
                by=request.user,
                sent_as=uuid_in(request.POST.get("sent", "")),
                catalogue=catalogue_of(site),
                replaces=old,
            )
        except BadInput as refusal:
            error = str(refusal)
        else:
            log(request.user, site, AccessEntry.What.CHANGE, "template", kept.pk)
            messages.success(request, _("Kept."))
            return redirect("templates", pk=site.pk)
    context = _form(request, site, old) | {"error": error}
    return render(request, "visits/template.html", context, status=400 if error else 200)


@login_required
@require_POST
def template_withdraw(request: SignedInRequest, pk: int, row: int) -> HttpResponse:
    """Offer a list no more."""
    site = site_for(request.user, pk, Action.EDIT)
    old = _row(site, row)
    if old is not None:
        gone = withdraw_template(
            old, by=request.user, sent_as=uuid_in(request.POST.get("sent", ""))
        )
        log(request.user, site, AccessEntry.What.CHANGE, "template", gone.pk)
    return redirect("templates", pk=site.pk)


def _row(site: Site, pk: int | None) -> Template | None:
    if pk is None:
        return None
    row = site.templates.filter(pk=pk, withdrawn=False).first()
    if row is None:
        raise Http404
    return row


def _form(request: SignedInRequest, site: Site, old: Template | None) -> dict[str, Any]:
    sent = request.method == "POST"
    ticked = set(request.POST.getlist("tests") if sent else old.tests if old else FIRST_VISIT)
    catalogue = catalogue_of(site)
    order, tests = in_testing_order(catalogue), current(catalogue.tests)
    stages = [
        (stage_said(stage), [(k, tests[k], k in ticked, is_noisy(k, catalogue)) for k in keys])
        for stage, keys in by_stage(order, (tests[key] for key in order))
    ]
    name = request.POST.get("name", "") if sent else old.name if old else ""
    mark = request.POST.get("sent", "") if sent else str(uuid4())
    return {"site": site, "old": old, "name": name, "sent_as": mark, "stages": stages}


def _said(keys: tuple[str, ...] | list[str], catalogue: Catalogue) -> dict[str, Any]:
    """Name the tests of a list in the order of testing, with the minutes they take together."""
    tests = current(catalogue.tests)
    order = [key for key in in_testing_order(catalogue) if key in keys]
    return {
        "names": [tests[key].name for key in order],
        "minutes": sum(tests[key].minutes.in_unit("min") for key in order),
    }

"""The site's catalogue on pages: own entries, every number with its evidence, changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import msgspec
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from countermove.catalogue import Catalogue, Cited
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.access import may, site_for
from countermove.clinic.practice.catalogues import SiteCatalogue, site_catalogue
from countermove.clinic.practice.entry_drills import DrillForm
from countermove.clinic.practice.entry_form import EntryForm, Table, bare, plain
from countermove.clinic.practice.entry_targets import NormForm, TargetForm
from countermove.clinic.practice.entry_tests import TestForm
from countermove.clinic.practice.evidence import (
    FILES,
    STATUS_WORDS,
    counts_of,
    name_of,
    shelves_of,
    statuses_of,
)
from countermove.clinic.practice.models import OwnEntry, Site
from countermove.clinic.practice.own_entries import keep_entry, withdraw_entry
from countermove.clinic.practice.roles import Action
from countermove.codec import parse
from countermove.errors import BadInput

FORMS: dict[str, type[EntryForm]] = {
    form.kind: form for form in (TestForm, DrillForm, TargetForm, NormForm)
}
LEFT_AS_FOUND = ("basis", "citation", "doi", "where")  # what rests on the old entry's source


@dataclass(frozen=True)
class Line:
    """An own entry in the list."""

    row: OwnEntry
    name: str
    instead_of: str
    trouble: str


@login_required
@require_safe
def catalogue(request: SignedInRequest, pk: int) -> HttpResponse:
    """Show a site's own entries, and how much the catalogue holds and how it is known."""
    site = site_for(request.user, pk, Action.READ)
    whole = site_catalogue(site)
    shown = {
        "site": site,
        "lines": _lines(site, whole),
        "counts": counts_of(whole.catalogue),
        "statuses": statuses_of(whole.catalogue),
        "kinds": OwnEntry.Kind.choices,
        "may_manage": may(request.user, site, Action.MANAGE),
    }
    return render(request, "practice/catalogue.html", shown)


def _lines(site: Site, whole: SiteCatalogue) -> list[Line]:
    """Give the own entries as they stand, the newest first."""
    keys = [row.pk for row in whole.own]
    rows = OwnEntry.objects.filter(pk__in=keys).select_related("made_by").order_by("-pk")
    trouble = {row.pk: why for row, why in whole.left_out}
    return [_line(row, whole.catalogue, trouble.get(row.pk, "")) for row in rows]


def _line(row: OwnEntry, catalogue: Catalogue, trouble: str) -> Line:
    table = parse(row.toml)[row.key]
    old = str(table.get("supersedes", ""))
    instead_of = name_of(catalogue, row.kind, old) if old else ""
    return Line(row, _named(table, catalogue), instead_of, trouble)


def _named(table: Table, catalogue: Catalogue) -> str:
    """Name an entry by its text: one that was withdrawn or left out is in no catalogue."""
    if "name" in table:
        return str(table["name"])
    test = catalogue.tests.get(table["test"])
    asked = table.get("value", {})
    about = (
        test.name if test else str(table["test"]),
        str(table.get("population", "")),
        f"{table['sense']} {asked['value']:g} {asked['unit']}" if asked else "",
    )
    return ": ".join(part for part in about if part)


@login_required
@require_safe
def numbers(request: SignedInRequest, pk: int, file: str) -> HttpResponse:
    """Show every number of one kind with its evidence; of one status if asked."""
    site = site_for(request.user, pk, Action.READ)
    if file not in FILES:
        raise Http404
    status = request.GET.get("how", "")
    whole = site_catalogue(site)
    shown = {
        "site": site,
        "file": file,
        "name": FILES[file],
        "shelves": shelves_of(whole, file, status=status if status in STATUS_WORDS else ""),
        "status": status,
        "files": FILES,
        "statuses": STATUS_WORDS,
        "own_kind": file in FORMS,
        "may_manage": may(request.user, site, Action.MANAGE),
    }
    return render(request, "practice/numbers.html", shown)


@login_required
@require_http_methods(["GET", "POST"])
def entry_new(request: SignedInRequest, pk: int, kind: str) -> HttpResponse:
    """Add an own entry; begun from another one, it takes that one's place."""
    site = site_for(request.user, pk, Action.MANAGE)
    catalogue, made = site_catalogue(site).catalogue, _form_of(kind)
    old = request.GET.get("from", "")
    initial = begun_from(catalogue, made, old) if old in catalogue.files()[kind] else {}
    form = made(request.POST or None, catalogue=catalogue, initial=initial)
    return _kept(request, site, form) or _form_page(request, site, form)


@login_required
@require_safe
def entry(request: SignedInRequest, pk: int, kind: str, key: str) -> HttpResponse:
    """Show an own entry with every version of it."""
    site = site_for(request.user, pk, Action.READ)
    rows = _versions(site, kind, key)
    whole = site_catalogue(site)
    row = rows[0]
    form = _form_for(row, whole.catalogue)
    trouble = {one.pk: why for one, why in whole.left_out}
    shown = {
        "site": site,
        "line": _line(row, whole.catalogue, trouble.get(row.pk, "")),
        "row": row,
        "rows": rows,
        "parts": _said(form),
        "may_manage": may(request.user, site, Action.MANAGE),
    }
    return render(request, "practice/entry.html", shown)


@login_required
@require_http_methods(["GET", "POST"])
def entry_change(request: SignedInRequest, pk: int, kind: str, key: str) -> HttpResponse:
    """Write the next version of an own entry; of a withdrawn one, it brings it back."""
    site = site_for(request.user, pk, Action.MANAGE)
    row = _versions(site, kind, key)[0]
    form = _form_for(row, site_catalogue(site).catalogue, request.POST or None)
    return _kept(request, site, form, row) or _form_page(request, site, form, row)


@login_required
@require_POST
def entry_withdraw(request: SignedInRequest, pk: int, kind: str, key: str) -> HttpResponse:
    """Withdraw an own entry, with a reason."""
    site = site_for(request.user, pk, Action.MANAGE)
    row = _versions(site, kind, key)[0]
    try:
        withdraw_entry(row, request.user, request.POST.get("reason", ""))
    except BadInput as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Withdrawn. It stays on record and is offered no more."))
    return redirect("entry", site.pk, kind, key)


def _form_of(kind: str) -> type[EntryForm]:
    if kind not in FORMS:
        raise Http404
    return FORMS[kind]


def _versions(site: Site, kind: str, key: str) -> Sequence[OwnEntry]:
    """Give the versions of an own entry, newest first; 404 unless the site has it."""
    _form_of(kind)
    rows = OwnEntry.objects.filter(site=site, kind=kind, key=key)
    found = list(rows.select_related("made_by", "site").order_by("-version"))
    if not found:
        raise Http404
    return found


def _form_for(row: OwnEntry, catalogue: Catalogue, sent: Any = None) -> EntryForm:
    """Give the form of an entry that is kept, filled with it."""
    made = FORMS[row.kind]
    sources = parse(row.sources) if row.sources.strip() else {}
    initial = made.shown(parse(row.toml)[row.key], sources)
    return made(sent, catalogue=catalogue, own_key=row.key, initial=initial)


def begun_from(catalogue: Catalogue, made: type[EntryForm], old: str) -> dict[str, Any]:
    """Give the fields of an entry whose place is taken; what it rested on is asked anew."""
    entry = catalogue.files()[made.kind][old]
    sources = msgspec.to_builtins(dict(catalogue.sources))
    initial = made.shown(plain(msgspec.to_builtins(entry)), sources) | {"supersedes": old}
    if isinstance(getattr(entry, "value", None), Cited):
        unit = catalogue.tests[entry.test].unit
        initial["value"] = round(entry.value.in_unit(unit), 6)
    return {name: bare(value) for name, value in initial.items() if name not in LEFT_AS_FOUND}


def _kept(
    request: SignedInRequest, site: Site, form: EntryForm, before: OwnEntry | None = None
) -> HttpResponse | None:
    """Keep what was sent and go to it; None where there is nothing, or nothing good, to keep."""
    if not form.is_valid():
        return None
    try:
        row = keep_entry(site, form, request.user, before=before)
    except BadInput as error:
        form.add_error(None, str(error))
        return None
    messages.success(request, _("Kept. It counts from the next examination on."))
    return redirect("entry", site.pk, row.kind, row.key)


def _form_page(
    request: SignedInRequest, site: Site, form: EntryForm, before: OwnEntry | None = None
) -> HttpResponse:
    shown = {
        "site": site,
        "form": form,
        "before": before,
        "kind": OwnEntry.Kind(form.kind).label,
        "statuses": STATUS_WORDS,
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "practice/entry_form.html", shown, status=status)


def _said(form: EntryForm) -> list[tuple[Any, list[tuple[Any, Any]]]]:
    """Give what an entry says, part by part, in the words of its form."""
    parts = []
    for section in form.sections():
        said = [(field.label, _value(field)) for field in section.fields if field.name != "reason"]
        parts.append((section.heading, [pair for pair in said if pair[1]]))
    return [part for part in parts if part[1]]


def _value(field: Any) -> list[str]:
    """Give what a field holds, a choice by its label; no link is the jump itself."""
    value = field.initial
    names = {str(key): str(label) for key, label in getattr(field.field, "choices", [])}
    values = value if isinstance(value, list | tuple) else [value]
    told = [one for one in values if one is not None and (one != "" or field.name == "link")]
    return [names.get(str(one), str(one)) for one in told]

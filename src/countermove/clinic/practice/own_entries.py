"""
Keeping own entries: added, changed by a further version, withdrawn. Nothing half is ever kept.

Each is tried as part of the whole catalogue before it is written, by the loader that reads the
built-in one; what it refuses is told in the words of the form.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from uuid import UUID

import tomli_w
from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from countermove.clinic.accounts.models import User
from countermove.clinic.practice.access import log
from countermove.clinic.practice.catalogues import in_force, site_catalogue, strict
from countermove.clinic.practice.entry_form import EntryForm
from countermove.clinic.practice.models import AccessEntry, OwnEntry, Site
from countermove.errors import BadCatalogue, BadInput

KEY_LENGTH = 48
# file: entry.field.field: what is wrong
COMPLAINT = re.compile(r"^\w+: (?P<key>\w+)(?P<path>[.\[]\S*)?: (?P<why>.*)$", re.DOTALL)


@transaction.atomic
def keep_entry(
    site: Site, form: EntryForm, by: User, *, before: OwnEntry | None = None
) -> OwnEntry:
    """
    Keep a new entry, or the next version of one; sent twice, it is one.

    Parameters
    ----------
    site : Site
        Whose catalogue.
    form : EntryForm
        Valid.
    by : User
        Who keeps it.
    before : OwnEntry, optional
        The version it changes.

    Raises
    ------
    BadInput
        If the catalogue refuses it, in plain words; nothing is written.
    """
    Site.objects.select_for_update().get(pk=site.pk)
    sent_as: UUID = form.cleaned_data["sent_as"]
    kept = OwnEntry.objects.filter(site=site, sent_as=sent_as).first()
    if kept is not None:
        return kept
    key = before.key if before else _fresh_key(site, form)
    version = before.version + 1 if before else 1
    stem = f"{key}_{form.kind}_v{version}"
    row = OwnEntry(
        site=site,
        kind=form.kind,
        key=key,
        version=version,
        toml=tomli_w.dumps({key: form.table(stem)}),
        sources=tomli_w.dumps(form.sources(stem)),
        reason=form.cleaned_data["reason"],
        sent_as=sent_as,
        made_by=by,
    )
    _write(row, {name: str(field.label) for name, field in form.fields.items()})
    return row


@transaction.atomic
def withdraw_entry(row: OwnEntry, by: User, reason: str) -> OwnEntry:
    """
    Withdraw an entry by one more version; what it took the place of counts again.

    Raises
    ------
    BadInput
        Without a reason, where that was done already, or where another own entry leans on it.
    """
    Site.objects.select_for_update().get(pk=row.site_id)
    if not reason.strip():
        raise BadInput(_("Nothing was withdrawn: say why, it stays on record."))
    latest = OwnEntry.objects.filter(site=row.site_id, kind=row.kind, key=row.key)
    if row.withdrawn or latest.latest("version").version != row.version:
        raise BadInput(_("Somebody changed or withdrew this entry meanwhile; look again."))
    gone = OwnEntry(
        site_id=row.site_id,
        kind=row.kind,
        key=row.key,
        version=row.version + 1,
        toml=row.toml,
        sources=row.sources,
        reason=reason.strip()[:400],
        withdrawn=True,
        made_by=by,
    )
    _write(gone, {})
    return gone


def _write(row: OwnEntry, labels: Mapping[str, str]) -> None:
    """Try an entry within the whole catalogue, then write it and that it was written."""
    left_out = {(one.kind, one.key) for one, _why in site_catalogue(row.site_id).left_out}
    rows = OwnEntry.objects.filter(site=row.site_id).order_by("pk")
    others = [one for one in rows if (one.kind, one.key) not in left_out - {(row.kind, row.key)}]
    try:
        strict(in_force([*others, row]))
    except BadCatalogue as error:
        raise BadInput(in_plain_words(str(error), row.key, labels)) from None
    row.save()
    log(row.made_by, row.site, AccessEntry.What.CHANGE, "catalogue", row.site_id)


def in_plain_words(complaint: str, key: str, labels: Mapping[str, str]) -> str:
    """Say what the loader met in the words of the form, without its path of keys."""
    parts = COMPLAINT.match(complaint)
    if parts is None:
        return _("Refused, and nothing was kept. %(why)s") % {"why": complaint}
    if parts["key"] != key:
        said = _("Refused, and nothing was kept: “%(other)s” would no longer fit. %(why)s")
        return said % {"other": parts["key"], "why": parts["why"]}
    fields = re.findall(r"[a-z_0-9]+", parts["path"] or "")
    label = next((labels[name] for name in reversed(fields) if name in labels), "")
    why = f"{label}: {parts['why']}" if label else parts["why"]
    return _("Refused, and nothing was kept. %(why)s") % {"why": why}


def _fresh_key(site: Site, form: EntryForm) -> str:
    """Make a key that no entry of the site ever had; `own_` parts it from every built-in one."""
    stem = slugify(form.key_words())[:KEY_LENGTH].strip("-").replace("-", "_") or "entry"
    stem = f"own_{stem}"
    there = OwnEntry.objects.filter(site=site, kind=form.kind)
    taken = set(there.values_list("key", flat=True))
    names = (stem, *(f"{stem}_{number}" for number in range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)

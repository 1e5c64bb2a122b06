"""What a card sends: a measurement, a correction, a withdrawal, a treatment, keep or drop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from countermove import record
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.access import visit_for
from countermove.clinic.visits.blanks import Blank, blank_for
from countermove.clinic.visits.cards import card_of
from countermove.clinic.visits.convert import measurement_record
from countermove.clinic.visits.entries import (
    Correction,
    Typed,
    keep_measurement,
    measurement_of,
    number_in,
    side_said,
    sides_of,
    typed_side,
    unit_for,
    uuid_in,
)
from countermove.clinic.visits.loops import DROP, KEEP, fitting, reasons_against, treated_side
from countermove.clinic.visits.models import Measurement, Treatment, Visit
from countermove.clinic.visits.scene import Scene
from countermove.clinic.work.visit_pages import fetched, show
from countermove.clinic.work.visit_saves import save
from countermove.errors import BadInput


@login_required
@require_POST
def card(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Keep what a card sends: first measuring, measuring again, or a correction with a reason."""
    visit, test = _mine(request, key)
    scene = fetched(request, visit)
    typed = _typed(request, test, scene)

    def keep() -> None:
        _refuse_closed(test, scene, typed)
        _refuse_two_series(test, scene, typed)
        pairs = _measured(typed, test, scene)
        corrects = _row(visit, typed.corrects, test) if typed.corrects else None
        if corrects and not typed.reason.strip():
            raise BadInput(_("A correction needs a reason; what stood before is kept beside it."))
        correction = Correction(of=corrects, reason=typed.reason.strip()) if corrects else None
        for side, measured in pairs:
            keep_measurement(
                visit, measured, sent_as=uuid_in(side.sent_as), by=request.user,
                after=_treatment(visit, typed.after), note=corrects.note if corrects else "",
                correction=correction,
            )  # fmt: skip

    return _answer(request, visit, test, keep, typed)


def _typed(request: SignedInRequest, test: str, scene: Scene) -> Blank:
    """Give the sent form as it was typed, so that a refusal loses nothing."""
    post = request.POST.dict()
    entry = scene.catalogue.tests[test]
    sent = [side for side in sides_of(entry) if f"{side}-sent" in post]
    blank = blank_for(test, sent, scene, name=post.get("form", "new"))
    wanted = len(blank.sides[0].trials) if blank.sides else 0
    sides = tuple(_trimmed(typed_side(post, side), wanted) for side in sent)
    return replace(
        blank, sides=sides, method=post.get("method", ""), after=post.get("after", ""),
        corrects=post.get("corrects", ""), reason=post.get("reason", ""),
    )  # fmt: skip


def _trimmed(typed: Typed, wanted: int) -> Typed:
    """Drop the trials nobody was shown: empty ones beyond the usual number."""
    last = max((i + 1 for i, text in enumerate(typed.trials) if text.strip()), default=0)
    return replace(typed, trials=typed.trials[: max(wanted, last)])


def _measured(typed: Blank, test: str, scene: Scene) -> list[tuple[Typed, record.Measurement]]:
    """Read the filled sides; an empty one waits, unless all are empty."""
    filled = [side for side in typed.sides if not side.is_empty]
    if not filled:
        raise BadInput(
            _("Nothing was written yet; fill in a side, or say why it could not be done.")
        )
    unit = unit_for(scene.catalogue.tests[test], imperial=scene.imperial)
    pairs = []
    for side in filled:
        try:
            measured = measurement_of(
                side, test, method=typed.method, unit=unit, after=typed.after,
                catalogue=scene.catalogue,
            )  # fmt: skip
        except BadInput as error:
            raise BadInput(f"{side_said(side.side)}: {error}") from error
        pairs.append((side, measured))
    return pairs


def _refuse_closed(test: str, scene: Scene, typed: Blank) -> None:
    """Refuse what consent or clearance closes; what was measured may still be corrected."""
    closed = scene.closed(test)
    if closed and not typed.corrects:
        raise BadInput(_("This test is closed: %(why)s.") % {"why": "; ".join(closed)})
    standing = [row for row in scene.standing(test) if str(row.after_id or "") == typed.after]
    sent = {row.sent_as for row in scene.rows.values()}
    for side in typed.sides:
        twice = any(row.side == side.side for row in standing) and uuid_in(side.sent_as) not in sent
        if twice and not typed.corrects and not side.is_empty:
            raise BadInput(_("This side is on record already; correct that entry, with a reason."))


def _refuse_two_series(test: str, scene: Scene, typed: Blank) -> None:
    """Keep a side to one method within a visit, so that before and after can be compared."""
    method = typed.method or scene.catalogue.tests[test].methods[0]
    sides = {side.side for side in typed.sides}
    for row in scene.standing(test):
        other = row.side in sides and str(row.pk) != typed.corrects
        if other and row.method != method and not _is_sent(row, typed):
            raise BadInput(
                _("This side was measured by %(method)s today; measure it again in the same way.")
                % {"method": row.method}
            )


def _is_sent(row: Measurement, typed: Blank) -> bool:
    return str(row.sent_as) in {side.sent_as for side in typed.sides}


@login_required
@require_POST
def withdraw(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Withdraw an entry with a reason: a new row, which points to it."""
    visit, test = _mine(request, key)
    treatment = _treatment(visit, request.POST.get("treatment", ""))
    row = None if treatment else _row(visit, request.POST.get("corrects", ""), test)
    reason = request.POST.get("reason", "").strip()

    def keep() -> None:
        if not reason:
            raise BadInput(_("Withdrawing needs a reason; it stays on the record."))
        if row is not None:
            _again(row, request, reason=reason, withdrawn=True)
        if treatment is not None:
            _withdraw_treatment(treatment, request, reason)

    return _answer(request, visit, test, keep)


def _withdraw_treatment(row: Treatment, request: SignedInRequest, reason: str) -> None:
    """Withdraw a treatment that nothing was measured after; withdrawn twice it is once."""
    after = Measurement.objects.filter(after=row, withdrawn=False, corrected_by=None)
    if after.exists():
        raise BadInput(_("Something was measured after this treatment; withdraw that first."))
    if Treatment.objects.filter(corrects=row).exists():
        return
    Treatment.objects.create(
        visit=row.visit, drill=row.drill, side=row.side, minutes=row.minutes, cue=row.cue,
        corrects=row, reason=reason, withdrawn=True, made_by=request.user,
        sent_as=uuid_in(request.POST.get("sent", "")),
    )  # fmt: skip


@login_required
@require_POST
def keep_or_drop(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Note whether what was tried is kept or dropped: a new row with the same values."""
    visit, test = _mine(request, key)
    row = _row(visit, request.POST.get("corrects", ""), test)
    word = request.POST.get("word", "")

    def keep() -> None:
        if word not in (KEEP, DROP):
            raise BadInput(_("Choose keep or drop."))
        _again(row, request, reason=_("decided after measuring again"), note=word)

    return _answer(request, visit, test, keep)


def _again(
    row: Measurement,
    request: SignedInRequest,
    *,
    reason: str,
    withdrawn: bool = False,
    note: str = "",
) -> None:
    keep_measurement(
        row.visit, measurement_record(row), sent_as=uuid_in(request.POST.get("sent", "")),
        by=request.user, after=row.after, note=note,
        correction=Correction(of=row, reason=reason, withdrawn=withdrawn),
    )  # fmt: skip


@login_required
@require_POST
def treat(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Keep what was tried between two measurings."""
    visit, test = _mine(request, key)
    scene = fetched(request, visit)
    row = _row(visit, request.POST.get("row", ""), test)
    sent_as = uuid_in(request.POST.get("sent", ""))

    def keep() -> None:
        if Treatment.objects.filter(visit=visit, sent_as=sent_as).exists():
            return
        if scene.unagreed:
            raise BadInput(f"{scene.unagreed}.")
        drills = dict(fitting(row, scene))
        chosen = drills.get(request.POST.get("drill", ""))
        if chosen is None:
            raise BadInput(_("Choose one of the drills that fit this test."))
        against = reasons_against(chosen, row, scene)
        if against:
            raise BadInput(_("This drill is closed: %(why)s.") % {"why": against[0]})
        minutes = number_in(request.POST.get("minutes", ""))
        if not 0 < minutes <= 60:
            raise BadInput(_("Minutes lie between 0 and 60; a slip of the pen?"))
        Treatment.objects.create(
            visit=visit, drill=request.POST["drill"], side=treated_side(chosen, row),
            minutes=minutes, cue=request.POST.get("cue", "").strip()[:200],
            made_by=request.user, sent_as=sent_as,
        )  # fmt: skip

    return _answer(request, visit, test, keep)


@login_required
@require_POST
def card_open(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Give the card of a test that is not on the page yet; nothing is kept by looking."""
    visit, test = _mine(request, key)
    if not request.htmx:  # type: ignore[attr-defined]
        return show(request, visit, test=test)
    scene = fetched(request, visit)
    context = {
        "card": card_of(test, scene, is_open=True), "visit": visit, "athlete": visit.athlete,
        "scene": scene, "follow_up": visit.follows_id is not None,
    }  # fmt: skip
    return render(request, "visits/card.html", context)


def _mine(request: SignedInRequest, key: UUID) -> tuple[Visit, str]:
    """Give the visit and the test that is sent for; the test stands in the form, in no address."""
    visit = visit_for(request.user, key, Action.MEASURE)
    test = request.POST.get("test", "")
    if test not in catalogue_of(visit.athlete.site_id).tests:
        raise Http404
    return visit, test


def _row(visit: Visit, pk: str, test: str) -> Measurement:
    row = visit.measurements.filter(pk=pk, test=test).first() if pk.isdecimal() else None
    if row is None:
        raise Http404
    return row


def _treatment(visit: Visit, pk: str) -> Treatment | None:
    if not pk:
        return None
    row = visit.treatments.filter(pk=pk, withdrawn=False).first() if pk.isdecimal() else None
    if row is None:
        raise Http404
    return row


def _answer(
    request: SignedInRequest, visit: Visit, test: str, keep: Callable[[], None],
    typed: Blank | None = None,
) -> HttpResponse:  # fmt: skip
    """Save, and answer with the card (htmx) or the page; a refusal keeps what was typed."""
    error = trouble = ""
    try:
        trouble = save(visit, request.user, keep)
    except BadInput as refusal:
        error = str(refusal)
    shown = replace(typed, error=error) if typed is not None and error else None
    loose = "" if shown else error
    if not request.htmx:  # type: ignore[attr-defined]
        if error:
            return show(request, visit, test=test, typed=shown, error=loose, status=400)
        return redirect(f"{_address(visit)}#card-{test}")
    scene = fetched(request, visit)
    context = {
        "card": card_of(test, scene, typed=shown, is_open=True),
        "visit": visit, "athlete": visit.athlete, "scene": scene, "error": loose,
        "trouble": trouble, "saved": not error, "swapped": True,
        "follow_up": visit.follows_id is not None,
    }  # fmt: skip
    answer = render(request, "visits/card.html", context)
    if not error:
        answer["HX-Trigger-After-Settle"] = "card-kept"  # a follow-up's work list looks again
    return answer


def _address(visit: Visit) -> str:
    return redirect("visit", key=visit.key).url

"""A follow-up: begun with one press, its work list, and the one drill that is changed."""

from __future__ import annotations

from collections.abc import Callable
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.consents import against_testing
from countermove.clinic.practice.access import may
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.access import visit_for
from countermove.clinic.visits.entries import uuid_in
from countermove.clinic.visits.models import DrillChange, Visit
from countermove.clinic.visits.scene import Scene
from countermove.clinic.work.follow_ups import Work, work_of
from countermove.clinic.work.visit_pages import fetched, show
from countermove.clinic.work.visit_saves import save
from countermove.clinic.work.visit_views import begin_page, todays
from countermove.errors import BadInput


@login_required
@require_POST
def follow_up_new(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Begin a follow-up of the latest visit; begun twice a day it is one."""
    user, today = request.user, localdate()
    athlete = athlete_for(user, key, Action.MEASURE)
    unagreed = against_testing(athlete, today)
    if unagreed:
        return begin_page(request, athlete, unagreed)
    with transaction.atomic():
        row = todays(athlete)
        earlier = athlete.visits.filter(date__lt=today).order_by("-date", "-pk").first()
        if row is None and earlier is None:
            return redirect("visit-new", key=athlete.key)
        if row is None:
            row = Visit(athlete=athlete, date=today, tester=user, follows=earlier)
            save(row, user, row.save)
    return redirect("visit", key=row.key)


@login_required
@require_GET
def work(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Give the work list of a follow-up, as it stands after what was kept."""
    visit = visit_for(request.user, key)
    if visit.follows_id is None:
        raise Http404
    return _work(request, visit)


@login_required
@require_POST
def change_drill(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Put one drill in the place of another on the work list, with the reason."""
    visit = visit_for(request.user, key, Action.EDIT)
    scene, sent_as = fetched(request, visit), uuid_in(request.POST.get("sent", ""))
    told = {name: request.POST.get(name, "").strip() for name in ("drill", "into", "reason")}

    def keep() -> None:
        if DrillChange.objects.filter(visit=visit, sent_as=sent_as).exists():
            return
        how = _allowed(scene, told)
        DrillChange.objects.create(
            visit=visit, drill=told["drill"], into=told["into"], how=how,
            reason=told["reason"][:400], made_by=request.user, sent_as=sent_as,
        )  # fmt: skip

    return _answer(request, visit, keep, told)


def _allowed(scene: Scene, told: dict[str, str]) -> str:
    """Give how a drill would take another's place; refuse what may not."""
    if scene.unagreed:
        raise BadInput(f"{scene.unagreed}.")
    if not told["reason"]:
        raise BadInput(_("A change needs a reason; it stays beside the drill."))
    now = work_of(scene)
    if now.changed:
        raise BadInput(
            _(
                "One drill was changed at this visit already, so that the next visit can tell what"
                " it did. Take that change back first."
            )
        )
    row = next((one for one in now.tasks if one.task.drill == told["drill"]), None)
    if row is None:
        raise BadInput(_("This drill is not on the work list any more; choose again."))
    for offer in (*row.offers, *row.closed):
        if offer.drill == told["into"]:
            if offer.against:
                raise BadInput(_("This drill is closed: %(why)s.") % {"why": offer.against[0]})
            return offer.how
    raise BadInput(_("Choose one of the drills beside it."))


@login_required
@require_POST
def take_back(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Take a change back, with a reason: a new row, which points to it."""
    visit = visit_for(request.user, key, Action.EDIT)
    pk, reason = request.POST.get("row", ""), request.POST.get("reason", "").strip()
    row = visit.drillchanges.filter(pk=pk, withdrawn=False).first() if pk.isdecimal() else None
    if row is None:
        raise Http404

    def keep() -> None:
        if not reason:
            raise BadInput(_("Withdrawing needs a reason; it stays on the record."))
        if DrillChange.objects.filter(corrects=row).exists():
            return
        DrillChange.objects.create(
            visit=visit, drill=row.drill, into=row.into, how=row.how, corrects=row,
            reason=reason[:400], withdrawn=True, made_by=request.user,
            sent_as=uuid_in(request.POST.get("sent", "")),
        )  # fmt: skip

    return _answer(request, visit, keep, {})


def _answer(
    request: SignedInRequest, visit: Visit, keep: Callable[[], None], told: dict[str, str]
) -> HttpResponse:
    """Save, and answer with the work list (htmx) or the page; a refusal keeps what was typed."""
    error = ""
    try:
        error = save(visit, request.user, keep)
    except BadInput as refusal:
        error = str(refusal)
    if request.htmx:  # type: ignore[attr-defined]
        return _work(request, visit, error=error, told=told)
    if error:
        return show(request, visit, error=error, status=400)
    return redirect(f"{redirect('visit', key=visit.key).url}#work")


def _work(
    request: SignedInRequest, visit: Visit, *, error: str = "", told: dict[str, str] | None = None
) -> HttpResponse:
    scene = fetched(request, visit)
    made: Work = work_of(scene)
    context = {
        "visit": visit, "athlete": visit.athlete, "scene": scene, "work": made, "error": error,
        "told": told if error else {},
        "asked": told is not None,
        "may_edit": may(request.user, visit.athlete.site, Action.EDIT),
    }  # fmt: skip
    return render(request, "visits/work.html", context)

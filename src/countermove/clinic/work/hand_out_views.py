"""The athlete's sheet as a PDF: what stands out, the work, when to stop."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from countermove.clinic.accounts.requests import SignedInRequest, password_again
from countermove.clinic.accounts.units import worded
from countermove.clinic.people.access import athlete_for
from countermove.clinic.practice.access import log
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.work.plates import examination_of


@login_required
@never_cache
@require_safe
def hand_out(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Give the hand-out of the latest visit on the site's paper; the password is asked first."""
    # Typst is opened for those who print, not for everybody who starts the practice.
    from countermove.documents import hand_out as draw  # noqa: PLC0415

    row = athlete_for(request.user, key, Action.EXPORT)
    password_again(request)
    catalogue = catalogue_of(row.site)
    found = worded(examination_of(row, catalogue), request.user)
    if found is None:
        raise Http404
    site = row.site
    pdf = draw(
        found,
        catalogue,
        paper="us-letter" if site.us_letter else "a4",
        practice=site.name,
        phone=site.phone,
        emergency=site.emergency_number,
    )
    log(request.user, site, AccessEntry.What.EXPORT, "hand-out", row.key)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="hand-out-{found.on}.pdf"'
    return answer

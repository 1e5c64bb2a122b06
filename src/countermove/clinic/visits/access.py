"""The one way to a visit or a recording: through its athlete, or 404."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404

from countermove.clinic.accounts.models import User
from countermove.clinic.practice.access import sites_where
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.models import Recording, Visit


def visit_for(user: User, key: UUID, action: Action = Action.READ) -> Visit:
    """Give one visit; 404 unless theirs."""
    theirs = Visit.objects.filter(athlete__site__in=sites_where(user, action), key=key)
    visit = theirs.select_related("athlete__site", "tester").first()
    if visit is None:
        raise Http404
    return visit


def recording_for(user: User, key: UUID, action: Action = Action.READ) -> Recording:
    """Give one recording, named by the key it was sent as; 404 unless theirs."""
    theirs = Recording.objects.filter(
        visit__athlete__site__in=sites_where(user, action), sent_as=key
    )
    recording = theirs.select_related("visit__athlete__site").first()
    if recording is None:
        raise Http404
    return recording

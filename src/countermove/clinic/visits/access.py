"""The one way to a visit: through its athlete, or 404."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404

from countermove.clinic.accounts.models import User
from countermove.clinic.practice.access import sites_where
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.models import Visit


def visit_for(user: User, key: UUID, action: Action = Action.READ) -> Visit:
    """Give one visit; 404 unless theirs."""
    theirs = Visit.objects.filter(athlete__site__in=sites_where(user, action), key=key)
    visit = theirs.select_related("athlete__site", "tester").first()
    if visit is None:
        raise Http404
    return visit

"""The one way to an athlete's record: theirs by site and role, or 404."""

from __future__ import annotations

from uuid import UUID

from django.db.models import QuerySet
from django.http import Http404

from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import sites_where
from countermove.clinic.practice.roles import Action


def athletes_for(user: User, action: Action = Action.READ) -> QuerySet[Athlete]:
    """Give the athletes with whom somebody may do something."""
    return Athlete.objects.filter(site__in=sites_where(user, action))


def athlete_for(user: User, key: UUID, action: Action = Action.READ) -> Athlete:
    """Give one athlete; 404 unless theirs."""
    athlete = athletes_for(user, action).select_related("site").filter(key=key).first()
    if athlete is None:
        raise Http404
    return athlete

"""Who may do what where, and the log of it."""

from __future__ import annotations

from django.db.models import QuerySet
from django.http import Http404

from countermove.clinic.accounts.models import User
from countermove.clinic.practice.models import AccessEntry, Membership, Site
from countermove.clinic.practice.roles import Action, roles_that


def sites_where(user: User, action: Action) -> QuerySet[Site]:
    """Give the sites at which somebody may do something."""
    roles = roles_that(action)
    return Site.objects.filter(membership__user=user, membership__role__in=roles)


def site_for(user: User, pk: int, action: Action) -> Site:
    """Give one site; 404 unless theirs."""
    site = sites_where(user, action).filter(pk=pk).first()
    if site is None:
        raise Http404
    return site


def may(user: User, site: Site, action: Action) -> bool:
    """Tell whether somebody may do something at a site."""
    return Membership.objects.filter(user=user, site=site, role__in=roles_that(action)).exists()


def log(user: User, site: Site, what: AccessEntry.What, kind: str, key: object) -> None:
    """Write down that somebody saw, changed or exported a record."""
    AccessEntry.objects.create(by=user, site=site, what=what, kind=kind, key=str(key))

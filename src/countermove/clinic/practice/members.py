"""Who belongs to a site. The site's owner adds, changes and removes; one owner always stays."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.tokens import issue
from countermove.clinic.practice.models import Membership, Site
from countermove.clinic.practice.roles import Role

LAST_OWNER = _("A site keeps at least one owner. Make somebody else an owner first.")


@transaction.atomic
def add_member(site: Site, name: str, username: str, role: str) -> tuple[User, str | None]:
    """
    Make somebody a member, with a new account if the user name is new.

    Returns
    -------
    tuple of User and str or None
        Who it is, and the one-time token to hand over; None for somebody who has an account.
    """
    user = User.objects.filter(username__iexact=username).first()
    token = None
    if user is None:
        user = User(username=username, name=name)
        user.set_unusable_password()
        user.save()
        token = issue(user)
    Membership.objects.create(user=user, site=site, role=role)
    return user, token


@transaction.atomic
def change_role(member: Membership, role: str) -> None:
    """Give a member another role; ValidationError for the last owner."""
    _keep_an_owner(member, stays=role == Role.OWNER)
    member.role = role
    member.save(update_fields=["role"])


@transaction.atomic
def remove_member(member: Membership) -> None:
    """End a membership; what the person measured stays, and so does the account."""
    _keep_an_owner(member, stays=False)
    member.delete()


def may_issue(owner: User, user: User) -> bool:
    """
    Tell whether an owner may hand somebody a token for a new password.

    Only for somebody whose every site is theirs: a token opens the whole account, and must not open
    another owner's site.
    """
    owned = Membership.objects.filter(user=owner, role=Role.OWNER).values("site")
    elsewhere = Membership.objects.filter(user=user).exclude(site__in=owned)
    return user != owner and not elsewhere.exists()


def _keep_an_owner(member: Membership, *, stays: bool) -> None:
    Site.objects.select_for_update().get(pk=member.site_id)
    owners = Membership.objects.filter(site=member.site_id, role=Role.OWNER)
    if not stays and not owners.exclude(pk=member.pk).exists():
        raise ValidationError(LAST_OWNER)

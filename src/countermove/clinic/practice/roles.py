"""What each role may do: one table, read by the one access function of each model."""

from __future__ import annotations

from enum import StrEnum

from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    """A member's role at one site."""

    OWNER = "owner", _("owner")
    PRACTITIONER = "practitioner", _("practitioner")
    ASSISTANT = "assistant", _("assistant")
    READER = "reader", _("reader")


class Action(StrEnum):
    """What somebody may do with an athlete's record or a site."""

    READ = "read"
    MEASURE = "measure"
    EDIT = "edit"
    SIGN = "sign"
    OVERRIDE = "override"
    EXPORT = "export"
    MANAGE = "manage"
    ERASE = "erase"


ALLOWED: dict[Role, frozenset[Action]] = {
    Role.READER: frozenset({Action.READ}),
    Role.ASSISTANT: frozenset({Action.READ, Action.MEASURE}),
    Role.PRACTITIONER: frozenset(set(Action) - {Action.MANAGE, Action.ERASE}),
    Role.OWNER: frozenset(Action),
}


def roles_that(action: Action) -> list[Role]:
    """List the roles that may do something."""
    return [role for role, actions in ALLOWED.items() if action in actions]

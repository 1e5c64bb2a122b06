"""What was changed in a person's facts, on which day and by whom, from the kept history."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from django.utils.translation import gettext as _

from countermove.clinic.people.models import Athlete

MOST = 20


@dataclass(frozen=True, kw_only=True)
class Changed:
    """One saving of the facts: when, by whom, and which of them."""

    at: datetime
    by: str
    what: tuple[str, ...]


def changes_to(athlete: Athlete) -> Iterator[Changed]:
    """Yield the latest savings, newest first; the first of all made the record."""
    rows = list(athlete.history.select_related("history_user")[: MOST + 1])
    for new, old in pairwise(rows):
        what = tuple(_name(field) for field in new.diff_against(old).changed_fields)
        if what:
            yield Changed(at=new.history_date, by=_by(new), what=what)
    if rows and len(rows) <= MOST:
        yield Changed(at=rows[-1].history_date, by=_by(rows[-1]), what=())


def _by(row: object) -> str:
    user = getattr(row, "history_user", None)
    return str(user) if user else _("the program")


def _name(field: str) -> str:
    return str(getattr(Athlete._meta.get_field(field), "verbose_name", field))

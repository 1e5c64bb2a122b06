"""
Whom to call today and why: one sentence from one `Standing` row, nothing invented.

*Refer* is a stop. *Ask first* and a clearance that has run out, or soon will, are to be asked.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from countermove.clinic.people.calls_made import called_on
from countermove.clinic.people.models import Athlete, CallMade, Standing
from countermove.record import Decision

# Time enough to put the questions again before a clearance runs out (our default).
SOON_DAYS = 14
# Where a sentence ends: after a full stop or question mark, closed by a quotation mark or not.
SENTENCE_END = re.compile(r"(?<=[.?!])\s+(?=[A-Z“])")


@dataclass(frozen=True, kw_only=True)
class Call:
    """
    Somebody to call.

    Attributes
    ----------
    do : str
        What to do, in a word.
    is_stop : bool
        Before everything else.
    why : str
        The reason, in a sentence or two.
    more : str
        What else to know; empty if nothing.
    last : CallMade or None
        The latest call to this athlete.
    """

    athlete: Athlete
    do: str
    is_stop: bool
    why: str
    more: str = ""
    last: CallMade | None = None


def sentences(text: str) -> list[str]:
    """
    Split a verdict into its sentences.

    Examples
    --------
    >>> sentences("Free the right ankle first. It falls 2.8 cm short.")
    ['Free the right ankle first.', 'It falls 2.8 cm short.']
    """
    return SENTENCE_END.split(text) if text else []


def to_call(sites: Collection[int], today: date) -> QuerySet[Standing]:
    """Give the rows of those at some sites who need a call and got none today, the urgent first."""
    soon = today + timedelta(days=SOON_DAYS)
    asks = Q(urgency__gt=0) | Q(clear_until__lte=soon)
    # By the site's own index alone, so that ten thousand who need nothing cost nothing.
    rows = Standing.objects.filter(asks, site__in=sites).exclude(called_on(today))
    return rows.order_by("-urgency", "clear_until", "pk")


def call_of(row: Standing, today: date) -> Call | None:
    """Say why somebody is to be called; None if nothing asks for it."""
    if row.decision == Decision.REFER:
        _stop, why, more = _told(row)
        return Call(athlete=row.athlete, do=_("Stop"), is_stop=True, why=why, more=more)
    if row.decision == Decision.ASK_FIRST:
        _ask, why, more = _told(row)
        why = why or _("No health questions were asked yet.")
        return Call(athlete=row.athlete, do=_("Ask"), is_stop=False, why=why, more=more)
    if row.clear_until is not None and row.clear_until <= today + timedelta(days=SOON_DAYS):
        why, more = _running_out(row.clear_until, today)
        return Call(athlete=row.athlete, do=_("Ask"), is_stop=False, why=why, more=more)
    return None


def _told(row: Standing) -> tuple[str, str, str]:
    """Give a stopped verdict in three parts: the word, the reason, the rest."""
    word, *rest = sentences(row.verdict) or [""]
    return word, " ".join(rest[:2]), " ".join(rest[2:])


def _running_out(until: date, today: date) -> tuple[str, str]:
    day, left = date_format(until, "j F Y"), (until - today).days
    if left < 0:
        return (
            _("The clearance ran out on %(day)s.") % {"day": day},
            _("Jumps stay closed until the health questions are asked again."),
        )
    if left == 0:
        return _("The clearance runs out today."), _("Ask the health questions again.")
    days = ngettext("%(n)d day", "%(n)d days", left) % {"n": left}
    return (
        _("The clearance runs out in %(days)s, on %(day)s.") % {"days": days, "day": day},
        _("Ask the health questions again before then."),
    )

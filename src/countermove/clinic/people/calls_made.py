"""A call that was made: kept with what was agreed, off the list for the day, and taken back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import BigIntegerField, Exists, OuterRef, Q, QuerySet
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _

from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete, CallMade, Standing
from countermove.errors import BadInput

MOST_LETTERS = 400


def standing_calls() -> QuerySet[CallMade]:
    """Give the calls that were made and not taken back."""
    # As a number: SQLite takes "points to nothing" for rare, and would read every call ever made.
    points_to = Coalesce("undoes_id", 0, output_field=BigIntegerField())
    return CallMade.objects.alias(points_to=points_to).filter(points_to=0, undone_by=None)


def called_on(day: date) -> Exists:
    """Say, in a query of standing rows, that somebody called that day about what the row tells."""
    same = Q(clear_until=OuterRef("clear_until")) | Q(clear_until=None)
    about = standing_calls().filter(
        same,
        athlete=OuterRef("athlete"),
        on=day,
        decision=OuterRef("decision"),
        verdict=OuterRef("verdict"),
    )
    return Exists(about)


def latest_calls(athletes: Iterable[Athlete]) -> dict[int, CallMade]:
    """Give the latest call of each of some athletes, by the athlete's number."""
    made = standing_calls().filter(athlete__in=list(athletes)).select_related("made_by")
    return {call.athlete_id: call for call in made.order_by("pk")}


def keep_call(athlete: Athlete, agreed: str, *, on: date, by: User) -> CallMade:
    """
    Keep a call with what was agreed; sent twice it stands once.

    Raises
    ------
    BadInput
        If nothing says what was agreed, or too much, or nothing asks for a call.
    """
    agreed = agreed.strip()
    if not agreed:
        raise BadInput(_("Write in a sentence what was agreed; “nobody answered” is one too."))
    if len(agreed) > MOST_LETTERS:
        raise BadInput(_("A sentence is enough: %d letters at most.") % MOST_LETTERS)
    row = Standing.objects.filter(athlete=athlete).first()
    if row is None:
        raise BadInput(_("Nothing is known that asks for a call."))
    told = {"decision": row.decision, "verdict": row.verdict, "clear_until": row.clear_until}
    same = standing_calls().filter(athlete=athlete, on=on, made_by=by, agreed=agreed, **told)
    return same.first() or CallMade.objects.create(
        athlete=athlete, on=on, agreed=agreed, made_by=by, **told
    )


def take_back(call: CallMade, *, by: User) -> None:
    """Take a call back by a row that points to it; taken back twice it is once."""
    if CallMade.objects.filter(undoes=call).exists():
        return
    CallMade.objects.create(
        athlete=call.athlete,
        on=call.on,
        decision=call.decision,
        verdict=call.verdict,
        clear_until=call.clear_until,
        undoes=call,
        made_by=by,
    )

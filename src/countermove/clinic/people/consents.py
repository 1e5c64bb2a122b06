"""
What an athlete agreed to: the latest row for a purpose and recipient counts.

It opens and closes: without consent for testing nothing new is measured or kept, and nobody is told
anything who was not named.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete, Consent
from countermove.errors import BadInput
from countermove.record import age_on
from countermove.safety.questions import ADULT_YEARS


def needs_guardian(athlete: Athlete, on: date) -> bool:
    """Tell whether a guardian must agree beside the athlete."""
    return age_on(athlete.born, on) < ADULT_YEARS


def consents_in_force(athlete: Athlete) -> list[Consent]:
    """Give the latest row of each purpose and recipient, taken back or not."""
    latest: dict[tuple[str, str], Consent] = {}
    for row in athlete.consents.select_related("made_by").order_by("made_at", "pk"):
        latest[row.purpose, row.recipient] = row
    return list(latest.values())


def consented(athlete: Athlete, purpose: str, on: date, recipient: str = "") -> bool:
    """
    Tell whether a consent stands on a day.

    Parameters
    ----------
    athlete : Athlete
        Who agreed, or did not.
    purpose : str
        One of `Consent.Purpose`.
    on : date
        The day; under 18 on it, a guardian must have agreed too.
    recipient : str, optional
        Who is to be told, for that purpose.
    """
    row = _latest(athlete, purpose, on, recipient)
    return row is not None and row.given and not _lacks_guardian(row, on)


def against_testing(athlete: Athlete, on: date) -> str:
    """Say why nothing new may be measured on a day, and how to go on; empty if it may."""
    row = _latest(athlete, Consent.Purpose.TESTING, on)
    if row is None:
        return _(
            "No consent for testing is on record. Ask the athlete, and write it down under Consent"
        )
    if not row.given:
        day = date_format(row.on, "j F Y")
        return _(
            "Consent for testing was taken back on %(day)s. What was measured stays and may be"
            " corrected; nothing new is added unless it is given again"
        ) % {"day": day}
    if _lacks_guardian(row, on):
        return _(
            "Under 18 a guardian agrees to testing too. Ask, and write the guardian's name down"
            " under Consent"
        )
    return ""


def _latest(athlete: Athlete, purpose: str, on: date, recipient: str = "") -> Consent | None:
    rows = athlete.consents.filter(purpose=purpose, recipient=recipient, on__lte=on)
    return rows.order_by("made_at", "pk").last()


def _lacks_guardian(row: Consent, on: date) -> bool:
    return needs_guardian(row.athlete, on) and not row.guardian


@dataclass(frozen=True, kw_only=True)
class Recipient:
    """Somebody who was named to be told, and whether that stands today."""

    row: Consent
    agreed: bool


def recipients_of(athlete: Athlete, on: date) -> list[Recipient]:
    """Give everybody who was ever named to be told, with what stands on a day."""
    named = (row for row in consents_in_force(athlete) if row.purpose == Consent.Purpose.RECIPIENT)
    return [
        Recipient(row=row, agreed=consented(athlete, row.purpose, on, row.recipient))
        for row in named
    ]


def keep_consent(
    athlete: Athlete,
    *,
    purpose: str,
    recipient: str,
    given: bool,
    guardian: str,
    on: date,
    by: User,
) -> Consent:
    """
    Keep a consent given or taken back; sent twice it stands once.

    Raises
    ------
    BadInput
        If the purpose is unknown, a recipient has no name, or a minor's guardian is not named.
    """
    recipient, guardian = recipient.strip(), guardian.strip()
    if purpose not in Consent.Purpose.values:
        raise BadInput(_("Choose what the consent is for."))
    if purpose == Consent.Purpose.RECIPIENT and not recipient:
        raise BadInput(_("Name the person who may be told."))
    if given and needs_guardian(athlete, on) and not guardian:
        raise BadInput(_("Under 18 a guardian agrees too; write the guardian's name."))
    told = recipient if purpose == Consent.Purpose.RECIPIENT else ""
    for row in consents_in_force(athlete):
        met = (row.purpose, row.recipient, row.given, row.guardian, row.on)
        if met == (purpose, told, given, guardian, on):
            return row
    return Consent.objects.create(
        athlete=athlete,
        purpose=purpose,
        recipient=told,
        given=given,
        guardian=guardian,
        on=on,
        made_by=by,
    )

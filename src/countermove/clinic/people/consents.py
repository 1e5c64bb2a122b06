"""What an athlete agreed to: the latest row for a purpose and recipient counts."""

from __future__ import annotations

from datetime import date

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

"""One save of a visit: the entry, the log and what follows from it, in one transaction."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from countermove.clinic.accounts.models import User
from countermove.clinic.practice.access import log
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.models import Visit
from countermove.clinic.work.examinations import examine_athlete
from countermove.errors import CountermoveError


def save(visit: Visit, by: User, keep: Callable[[], object]) -> str:
    """
    Keep an entry and examine the athlete anew.

    Parameters
    ----------
    visit : Visit
        Where the entry belongs.
    by : User
        Who keeps it.
    keep : callable
        Writes the rows; may raise BadInput, and then nothing is kept.

    Returns
    -------
    str
        Why the examination could not be made; empty if it was. The entry stands either way: what
        somebody measured is not lost because another entry of the visit does not fit.
    """
    with transaction.atomic():
        keep()
        log(by, visit.athlete.site, AccessEntry.What.CHANGE, "visit", visit.key)
        try:
            with transaction.atomic():
                examine_athlete(visit.athlete, catalogue_of(visit.athlete.site_id))
        except CountermoveError as error:
            return str(error)
    return ""

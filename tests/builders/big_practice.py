"""
A large invented practice: the club's people, copied as often as wanted, each with their own name.

The club itself goes in by the clinic's own code; copies are rows with new numbers and keys, written
in one transaction, since ten thousand people by way of the pages would take hours. Every table that
a page reads grows: facts and their history, clearance, visits, treatments, measurements,
recordings, results, standing rows, calls, consents and the access log.
"""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import Any

from django.db import models, transaction

from countermove.catalogue import load_catalogue
from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete, CallMade, Clearance, Consent, Standing
from countermove.clinic.practice.models import AccessEntry, Membership, Site
from countermove.clinic.practice.roles import Role
from countermove.clinic.visits.load import keep_athlete
from countermove.clinic.visits.models import Measurement, Recording, Treatment, Visit
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.models import Result
from countermove.club import club_athlete
from countermove.club.tape import recording_bytes

# Those that are copied: well, short, inelastic and to be called.
PEOPLE = ("juno-breakwater", "kasimir-mooring", "pim-gullivane", "tove-harbourne")
# Invented; no name of anybody we know.
GIVEN = [
    "Ilse",
    "Mirek",
    "Odalys",
    "Bram",
    "Tamsin",
    "Joost",
    "Wren",
    "Calder",
    "Neve",
    "Anselm",
    "Petra",
]
FAMILY = [
    "Kelp",
    "Jetty",
    "Sandbar",
    "Tideway",
    "Groyne",
    "Lanternhill",
    "Saltmarsh",
    "Shingle",
    "Cove",
]
# One in twelve is to be called: more would be a bad week even in a large practice (our choice).
TO_CALL_EVERY = 12
A_LOT = 2000  # rows a statement
LOOKS = 6  # times each record was looked at before


def practice_of(count: int, *, today: date) -> User:
    """
    Fill an empty, migrated database with a practice of `count` athletes.

    Returns
    -------
    User
        The owner, who sees them all.
    """
    ada = User.objects.create(username="ada", name="Ada")
    site = Site.objects.create(name="Harbour Lane (invented)")
    Membership.objects.create(user=ada, site=site, role=Role.OWNER)
    club = [keep_athlete(club_athlete(key), site, ada, recording_bytes) for key in PEOPLE]
    for athlete in club:
        examine_athlete(athlete, load_catalogue())
    add_copies(count - len(club), today=today)
    return ada


@transaction.atomic
def add_copies(count: int, *, today: date) -> None:
    """Add copies of the club's people, who came first, to the practice."""
    site, ada = Site.objects.get(), User.objects.get()
    names = [club_athlete(key).name for key in PEOPLE]
    made = _copy(list(Athlete.objects.filter(name__in=names)), count, today)
    _call_all_yesterday(made, today, ada)
    _look_at_all(made, site, ada)


def _copy(club: list[Athlete], count: int, today: date) -> list[Athlete]:
    """Write copies of the club's people, by turns."""
    ids: dict[int, list[int]] = {athlete.pk: [] for athlete in club}
    healthy = [one for one in club if one.standing.urgency == 0]
    stopped = [one for one in club if one.standing.urgency > 0]
    turns = _turns(healthy, stopped)
    names = _names()
    fresh = []
    for number in range(count):
        like = next(turns)
        fresh.append(_fresh(like, name=next(names), key=uuid.uuid4()))
        ids[like.pk].append(number)
    made = Athlete.objects.bulk_create(fresh, A_LOT)
    copies = {pk: [made[number].pk for number in numbers] for pk, numbers in ids.items()}
    _copy_history(copies)
    _copy_standing(copies, today)
    for model in (Clearance, Consent, Result):
        _copy_rows(model, "athlete_id", copies)
    visits = _copy_rows(Visit, "athlete_id", copies, key=uuid.uuid4)
    treatments = _copy_rows(Treatment, "visit_id", visits, sent_as=uuid.uuid4)
    _copy_measurements(visits, treatments)
    _copy_rows(Recording, "visit_id", visits, sent_as=uuid.uuid4)
    return made


def _turns(healthy: list[Athlete], stopped: list[Athlete]) -> Iterator[Athlete]:
    """Give whom to copy next, one in twelve of them to be called."""
    well, ill = itertools.cycle(healthy), itertools.cycle(stopped)
    for number in itertools.count(1):
        yield next(ill) if number % TO_CALL_EVERY == 0 else next(well)


def _names() -> Iterator[str]:
    """Give invented names without end, not in the order of the alphabet."""
    for number in itertools.count():
        given, family = GIVEN[number % len(GIVEN)], FAMILY[number * 7 % len(FAMILY)]
        yield f"{given} {family} {number * 7919 % 99991:05}"


def _fresh(row: models.Model, **change: Any) -> Any:
    """Give an unsaved copy of a row."""
    facts = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    del facts[row._meta.pk.attname]
    return type(row)(**(facts | change))


Copies = dict[int, list[int]]  # from the number of a row to those of its copies, in their order


def _copy_rows(
    model: type[models.Model], owner: str, owners: Copies, **new: Callable[[], Any]
) -> Copies:
    """Copy the rows that belong to what was copied; `new` makes what must be a row's own."""
    manager = model._default_manager
    rows = list(manager.filter(**{f"{owner}__in": list(owners)}).order_by("pk"))
    fresh = [
        _fresh(row, **{owner: pk}, **{name: make() for name, make in new.items()})
        for row in rows
        for pk in owners[getattr(row, owner)]
    ]
    made = iter(manager.bulk_create(fresh, A_LOT))
    return {row.pk: [next(made).pk for _ in owners[getattr(row, owner)]] for row in rows}


def _copy_measurements(visits: Copies, treatments: Copies) -> None:
    """Copy measurements, each after the copy of the treatment that it was made after."""
    rows = Measurement.objects.filter(visit__in=list(visits)).order_by("pk")
    fresh = (
        _fresh(
            row,
            visit_id=pk,
            sent_as=uuid.uuid4(),
            after_id=treatments[row.after_id][turn] if row.after_id else None,
        )
        for row in rows
        for turn, pk in enumerate(visits[row.visit_id])
    )
    while lot := list(itertools.islice(fresh, A_LOT)):
        Measurement.objects.bulk_create(lot)


def _copy_history(copies: Copies) -> None:
    """Let every copy have its first saving in the history, as the clinic writes it."""
    history = Athlete.history.model
    rows = {row.id: row for row in history.objects.filter(id__in=list(copies))}
    fresh = [_fresh(rows[like], id=pk) for like, made in copies.items() for pk in made]
    history.objects.bulk_create(fresh, A_LOT)


def _copy_standing(copies: Copies, today: date) -> None:
    """Copy what the lists read; clearances last another half year, whenever this is run."""
    until = today + timedelta(days=180)
    rows = Standing.objects.filter(athlete__in=list(copies))
    rows.update(clear_until=until)
    fresh = [_fresh(row, athlete_id=pk) for row in rows for pk in copies[row.athlete_id]]
    Standing.objects.bulk_create(fresh, A_LOT)


def _call_all_yesterday(athletes: list[Athlete], today: date, by: User) -> None:
    """Keep a call of the day before to everybody who is to be called."""
    called = {athlete.pk for athlete in athletes}
    made = [
        CallMade(
            athlete_id=row.athlete_id,
            on=today - timedelta(days=1),
            agreed="Nobody answered.",
            decision=row.decision,
            verdict=row.verdict,
            clear_until=row.clear_until,
            made_by=by,
        )
        for row in Standing.objects.exclude(urgency=0)
        if row.athlete_id in called
    ]
    CallMade.objects.bulk_create(made, A_LOT)


def _look_at_all(athletes: list[Athlete], site: Site, by: User) -> None:
    """Fill the access log: everybody's record was looked at a few times."""
    seen = [
        AccessEntry(by=by, site=site, what=AccessEntry.What.VIEW, kind="athlete", key=str(one.key))
        for one in athletes
        for _ in range(LOOKS)
    ]
    AccessEntry.objects.bulk_create(seen, A_LOT)

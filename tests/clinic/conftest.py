"""A small practice: Ada owns the record's site, Ben reads there, Cleo works elsewhere."""

from dataclasses import replace
from datetime import date

import pytest

from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Consent
from countermove.clinic.practice.models import Membership, Site
from countermove.clinic.practice.roles import Role
from countermove.clinic.visits.load import keep_athlete
from countermove.club import club_athlete
from countermove.club.tape import recording_bytes

PASSWORD = "a-long-password"


def read_recording(path):
    return recording_bytes(path)


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "uploads"


def password_given(client, user):
    """Sign somebody in who has given their password again just now."""
    client.force_login(user)
    client.post("/account/confirm/", {"password": PASSWORD})
    return client


@pytest.fixture
def site(db):
    return Site.objects.create(name="Harbour Lane (invented)")


def person(name, site, role):
    user = User.objects.create_user(username=name.lower(), password=PASSWORD, name=name)
    Membership.objects.create(user=user, site=site, role=role)
    return user


@pytest.fixture
def ada(site):
    return person("Ada", site, Role.OWNER)


@pytest.fixture
def ben(site):
    return person("Ben", site, Role.READER)


@pytest.fixture
def cleo(db):
    return person("Cleo", Site.objects.create(name="Elsewhere"), Role.OWNER)


def agreed(athlete, by, on=date(2026, 1, 1), **more):
    """Let an athlete agree to testing, or to what `more` says."""
    said = {"purpose": "testing", "given": True} | more
    return Consent.objects.create(athlete=athlete, on=on, made_by=by, **said)


def lately(key, visits):
    """Give one of the club with their last visits alone, the latest with its recordings."""
    whole = club_athlete(key)
    *earlier, latest = whole.visits[-visits:]
    plain = (replace(visit, recordings=()) for visit in earlier)
    return replace(whole, visits=(*plain, latest))


@pytest.fixture
def juno(site, ada):
    row = keep_athlete(lately("juno-breakwater", 2), site, ada, read_recording)
    agreed(row, ada)
    return row

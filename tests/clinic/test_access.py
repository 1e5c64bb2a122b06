"""Owner, colleague and stranger; every role and action of the table."""

import uuid
from itertools import pairwise

import pytest
from django.http import Http404

from countermove.clinic.accounts.models import Token
from countermove.clinic.accounts.tokens import issue, redeem
from countermove.clinic.people.access import athlete_for, athletes_for
from countermove.clinic.practice.access import may, site_for
from countermove.clinic.practice.roles import ALLOWED, Action, Role, roles_that
from countermove.clinic.visits.access import visit_for

pytestmark = pytest.mark.django_db


def test_owner_and_colleague_see_a_stranger_does_not(juno, ada, ben, cleo):
    visit = juno.visits.first()
    for user in (ada, ben):
        assert athlete_for(user, juno.key) == juno
        assert visit_for(user, visit.key) == visit
    assert list(athletes_for(cleo)) == []
    with pytest.raises(Http404):
        athlete_for(cleo, juno.key)
    with pytest.raises(Http404):
        visit_for(cleo, visit.key)
    with pytest.raises(Http404):
        site_for(cleo, juno.site_id, Action.READ)


def test_a_reader_reads_and_no_more(juno, ben):
    for action in set(Action) - {Action.READ}:
        assert not may(ben, juno.site, action)
        with pytest.raises(Http404):
            athlete_for(ben, juno.key, action)


def test_an_unknown_key_is_404_like_a_strangers(ada):
    with pytest.raises(Http404):
        athlete_for(ada, uuid.uuid4())


def test_the_table_of_roles():
    assert roles_that(Action.SIGN) == [Role.PRACTITIONER, Role.OWNER]
    assert roles_that(Action.MEASURE) == [Role.ASSISTANT, Role.PRACTITIONER, Role.OWNER]
    assert roles_that(Action.ERASE) == [Role.OWNER]
    ladder = [
        ALLOWED[role] for role in (Role.READER, Role.ASSISTANT, Role.PRACTITIONER, Role.OWNER)
    ]
    assert all(low < high for low, high in pairwise(ladder))


def test_a_token_opens_once(ada):
    word = issue(ada)
    assert redeem(word.upper()).user == ada
    assert redeem(word) is None
    assert redeem("not-a-token") is None


def test_a_token_is_kept_as_a_hash_and_runs_out(ada):
    word = issue(ada)
    row = Token.objects.get(user=ada)
    assert word not in row.digest
    Token.objects.update(expires_at=row.made_at)
    assert redeem(word) is None

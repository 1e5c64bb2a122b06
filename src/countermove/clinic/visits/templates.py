"""
Which tests a visit begins with: ours for a first visit, or a list of the practice's own.

They are shown in the order of testing, however they were ticked; every other test is one tap away.
"""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from countermove.catalogue import Catalogue, current
from countermove.clinic.accounts.models import User
from countermove.clinic.practice.models import Site
from countermove.clinic.visits.models import Template, Visit
from countermove.errors import BadInput
from countermove.examination import error_of, half_width, target_of

# Eight looks along the whole chain that can tell something in the time (our default). The lunge is
# two cards: how far, and where it is felt.
FIRST_VISIT = (
    "lunge_distance",
    "lunge_felt",
    "step_down_seen",
    "hip_internal_rotation_seated",
    "thoracic_rotation_lumbar_locked",
    "overhead_wall",
    "drop_landing",
    "cmj",
    "heel_raise",
)
MOST_TESTS = 20  # more is no choice any more; our default
MOST_NOISE = 0.25  # of the target; with a larger error a test hardly decides. Our default


def noise_of(key: str, catalogue: Catalogue) -> float | None:
    """
    Give a test's error as a share of what is asked, by the usual method, for a whole visit.

    Returns
    -------
    float or None
        None where the test gives words, nothing is asked of it or no error is published.
    """
    test, target = catalogue.tests[key], target_of(key, catalogue)
    if test.reads == "words" or target is None or not target.value.si:
        return None
    known = error_of(test, target.value.si, method=test.methods[0])
    return None if known is None else half_width(known.sem) / abs(target.value.si)


def is_noisy(key: str, catalogue: Catalogue) -> bool:
    """Tell whether a test's error is too large a share of what is asked to decide anything."""
    noise = noise_of(key, catalogue)
    return noise is not None and noise > MOST_NOISE


def templates_of(site: Site) -> list[Template]:
    """Give a site's own lists that are in force, by name."""
    rows = site.templates.filter(withdrawn=False, superseded_by=None)
    return list(rows.select_related("made_by"))


def usual_template(user: User, site: Site) -> Template | None:
    """Give the list that somebody began their latest whole visit with, in its present version."""
    last = Visit.objects.filter(tester=user, athlete__site=site, follows=None).order_by("-pk")
    visit = last.select_related("template").first()
    row = visit.template if visit else None
    while row is not None and hasattr(row, "superseded_by"):
        row = row.superseded_by
    return None if row is None or row.withdrawn else row


def begins_with(visit: Visit, catalogue: Catalogue) -> tuple[str, ...]:
    """Give the tests a visit begins with; what the catalogue has no more is left out."""
    tests = visit.template.tests if visit.template else FIRST_VISIT
    known = current(catalogue.tests)
    return tuple(test for test in tests if test in known)


def keep_template(
    site: Site,
    *,
    name: str,
    tests: Sequence[str],
    by: User,
    sent_as: UUID,
    catalogue: Catalogue,
    replaces: Template | None = None,
) -> Template:
    """
    Keep a list of tests, or a new version of one; sent twice it stands once.

    Raises
    ------
    BadInput
        If it has no name or another's, no test, too many, or one the catalogue does not have.
    """
    known = Template.objects.filter(site=site, sent_as=sent_as).first()
    if known is not None:
        return known
    name, chosen = name.strip(), tuple(dict.fromkeys(tests))
    if not name:
        raise BadInput(_("A template needs a name, by which you choose it."))
    if any(row.name.casefold() == name.casefold() for row in templates_of(site) if row != replaces):
        raise BadInput(_("There is a template of this name already; give it another."))
    if not chosen or len(chosen) > MOST_TESTS:
        raise BadInput(_("Tick one test at least, and %(n)d at most.") % {"n": MOST_TESTS})
    strange = [test for test in chosen if test not in current(catalogue.tests)]
    if strange:
        raise BadInput(_("The catalogue has no test “%(test)s” in force.") % {"test": strange[0]})
    return _written(site, by, sent_as, name=name, tests=list(chosen), supersedes=replaces)


def withdraw_template(row: Template, *, by: User, sent_as: UUID) -> Template:
    """Offer a list no more; visits that began with it keep it. Sent twice it is done once."""
    known = Template.objects.filter(site=row.site, sent_as=sent_as).first()
    return known or _written(
        row.site, by, sent_as, name=row.name, tests=row.tests, supersedes=row, withdrawn=True
    )


def _written(
    site: Site,
    by: User,
    sent_as: UUID,
    *,
    name: str,
    tests: list[str],
    supersedes: Template | None,
    withdrawn: bool = False,
) -> Template:
    try:
        with transaction.atomic():
            return Template.objects.create(
                site=site, name=name, tests=tests, supersedes=supersedes, withdrawn=withdrawn,
                made_by=by, sent_as=sent_as,
            )  # fmt: skip
    except IntegrityError:
        raise BadInput(
            _("Somebody changed this template meanwhile; load the page again.")
        ) from None

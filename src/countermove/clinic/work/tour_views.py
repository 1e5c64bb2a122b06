"""The tour of the demo: the main job in five minutes, on people of the invented club."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.access import athletes_for
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.models import Recording, Visit
from countermove.club import CLUB_NAME, athlete_keys, club_athlete

# What there is to see in each, in the order of the chain; whoever is not named here is not shown.
STORIES = {
    "juno-breakwater": gettext_lazy("A right ankle that a stiff joint holds back."),
    "bram-quayside": gettext_lazy("A left ankle that the whole calf holds back; three visits on."),
    "mira-seawall": gettext_lazy(
        "Seventeen, with a guardian's consent; the calf muscle that crosses the knee is short."
    ),
    "isolde-tidewell": gettext_lazy("Springy, but the calves tire after a dozen raises."),
    "edda-lightship": gettext_lazy(
        "On the way back with a sore Achilles tendon: fast work is closed, slow strength goes on."
    ),
    "wren-saltmarsh": gettext_lazy("Fourteen and growing fast; the knees drift inward."),
    "casper-shoalwater": gettext_lazy(
        "A right hip that turns little; it moved by less than measuring alone explains."
    ),
    "anselm-lockgate": gettext_lazy(
        "A back that turns one way only, and a caution that was lifted with a reason."
    ),
    "hobart-sounding": gettext_lazy("Sixty-three, measured in inches; the arms stop short."),
    "magnus-capstan": gettext_lazy("Above 100 kg: loud landings, and fewer of them."),
    "linnea-bowline": gettext_lazy("One leg hops farther than the other; every link meets."),
    "pim-gullivane": gettext_lazy("Strong, but the dip before the jump gives nothing back."),
    "tove-harbourne": gettext_lazy("Nothing falls short, and nothing is made of it."),
    "kasimir-mooring": gettext_lazy("To be sent to a doctor before anything else."),
}
STOPPED, FOLLOWED = "kasimir-mooring", "juno-breakwater"


@dataclass(frozen=True, kw_only=True)
class Step:
    """One stop of the tour: what it is called, what to look at, and where."""

    name: str
    look: str
    doors: tuple[tuple[str, str], ...]


@login_required
@require_safe
def tour(request: SignedInRequest) -> HttpResponse:
    """Lead through the main job on the club's people, those of them that the user may see."""
    people = _people(request)
    context = {
        "club": CLUB_NAME,
        "steps": list(_steps(people)),
        "people": [(people[key], story) for key, story in STORIES.items() if key in people],
    }
    return render(request, "work/tour.html", context)


def _people(request: SignedInRequest) -> dict[str, Athlete]:
    """Give the rows of the club's people by key, and log that they were looked at."""
    names = {club_athlete(key).name: key for key in athlete_keys()}
    rows = athletes_for(request.user).filter(site__name=CLUB_NAME, name__in=names)
    found = {names[row.name]: row for row in rows.select_related("site").order_by("-pk")}
    for site in {row.site for row in found.values()}:
        log(request.user, site, AccessEntry.What.VIEW, "people", site.pk)
    return found


def _steps(people: Mapping[str, Athlete]) -> Iterator[Step]:
    """Yield the stops; those on somebody who is not here are left out."""
    stopped, followed = people.get(STOPPED), people.get(FOLLOWED)
    if stopped is not None:
        yield _called(stopped)
    if followed is None:
        return
    yield _cleared(followed)
    visit = followed.visits.order_by("-date", "-pk").first()
    if visit is not None:
        yield _measured(visit)
    yield _found(followed)
    jump = Recording.objects.filter(visit=visit).order_by("pk").first() if visit else None
    if jump is not None:
        yield _jumped(jump)
    yield _decided(followed)


def _called(row: Athlete) -> Step:
    return Step(
        name=_("Whom to call"),
        look=_(
            "The list of people begins with whom to call and why. One calf is swollen after a long"
            " journey: open him and see that no jump is judged and no drill is offered."
        ),
        doors=((_("People"), reverse("people")), (row.name, reverse("athlete", args=[row.key]))),
    )


def _cleared(row: Athlete) -> Step:
    return Step(
        name=_("Clear"),
        look=_(
            "Every question says what a yes leads to. Without current answers, a signature and a"
            " consent, no jump, hop or greatest effort opens."
        ),
        doors=((_("Clearance"), reverse("clearance", args=[row.key])),),
    )


def _measured(visit: Visit) -> Step:
    return Step(
        name=_("Measure, treat, measure again"),
        look=_(
            "One test a card, both sides, several trials. The right ankle was treated for two"
            " minutes and measured again: the change is told only because it is larger than the"
            " error of that day."
        ),
        doors=((_("The latest visit"), reverse("visit", args=[visit.key])),),
    )


def _found(row: Athlete) -> Step:
    return Step(
        name=_("Read the chain"),
        look=_(
            "Three visits side by side, the links rising from the floor, the jump on top. A bar"
            " shows the error of each value, the violet stretch how much is missing beyond it."
        ),
        doors=((row.name, reverse("athlete", args=[row.key])),),
    )


def _jumped(jump: Recording) -> Step:
    return Step(
        name=_("Measure the jump"),
        look=_(
            "The force on the plate as an ink line. Walk along it with the arrow keys, move an"
            " event by hand, leave a trial out: each needs a reason, and can be undone."
        ),
        doors=((_("Her first jump"), reverse("trace", args=[jump.sent_as, 1])),),
    )


def _decided(row: Athlete) -> Step:
    return Step(
        name=_("Decide, and hand it over"),
        look=_(
            "Her page ends in the work: each drill says why it is there, how much, and when to"
            " stop. A follow-up re-checks one thing and changes one drill. The hand-out is for"
            " paper."
        ),
        doors=(
            (_("Hand-out"), reverse("hand-out", args=[row.key])),
            (_("Every drill"), reverse("drills")),
        ),
    )

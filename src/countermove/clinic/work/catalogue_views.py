"""Pages of the catalogue: the drills from easy to hard, one drill, and every picture there is."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from countermove.catalogue import Catalogue, Drill, Test, current, load_catalogue
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.catalogues import catalogues_for
from countermove.clinic.work.catalogue_pages import (
    follows,
    gate_words,
    ladders,
    loads,
    picture,
)
from countermove.examination.sentences import source_name
from countermove.examination.work_lists import dose_words
from countermove.figure import draw_drill, load_poses
from countermove.figure.poses import Kind

A_DAY_S = 86_400
KINDS: dict[str, Kind] = {"tests": "tests", "drills": "drills"}


@login_required
@require_safe
def drills(request: SignedInRequest) -> HttpResponse:
    """Show every drill by link, from easy to hard; to members of two sites the built-in ones."""
    first, *others = catalogues_for(request.user)
    catalogue = load_catalogue() if others else first
    shown = {
        "ladders": ladders(catalogue),
        "count": len(current(catalogue.drills)),
        "version": catalogue.version,
    }
    return render(request, "work/drills.html", shown)


@login_required
@require_safe
def drill(request: SignedInRequest, key: str) -> HttpResponse:
    """Show one drill: moving, with steps, dose, gates, loads and sources."""
    catalogues = catalogues_for(request.user)
    catalogue = next((one for one in catalogues if key in one.drills), None)
    if catalogue is None:
        raise Http404
    found = catalogue.drills[key]
    name = {other: entry.name for other, entry in catalogue.drills.items()}
    shown = {
        "drill": found,
        "key": key,
        "version": catalogue.version,
        "dose": dose_words(found),
        "picture": draw_drill(key, catalogue, animated=True) if key in load_poses("drills") else "",
        "gates": [(gate_words(gate, catalogue), gate.why, gate.drill) for gate in found.gates],
        "easier": [(other, name[other]) for other in found.regressions],
        "harder": [(other, name[other]) for other in found.progressions],
        "follows": [(other, name[other]) for other in follows(key, catalogue)],
        "loads": list(loads(found, catalogue)),
        "dose_source": _dose_source(found, catalogue),
        "helps": [catalogue.tests[test].name for test in found.helps],
    }
    return render(request, "work/drill.html", shown)


def _dose_source(found: Drill, catalogue: Catalogue) -> str:
    """Say whose dose it is; our own needs no second word for how we know it."""
    sets = found.dose.sets
    said = f"{source_name(sets.source, catalogue)}: {sets.where}"
    return said if sets.source == "our-default" else f"{said} ({sets.status})"


@login_required
@require_safe
def pictures(request: SignedInRequest) -> HttpResponse:
    """Show every test and every drill as it is drawn; the browser asks for what it shows."""
    catalogue = load_catalogue()
    shown = {
        "parts": [
            ("tests", _drawn("tests", current(catalogue.tests))),
            ("drills", _drawn("drills", current(catalogue.drills))),
        ],
        "version": catalogue.version,
    }
    return render(request, "work/pictures.html", shown)


def _drawn(kind: Kind, entries: Mapping[str, Test | Drill]) -> list[tuple[str, Test | Drill]]:
    return [(key, entry) for key, entry in entries.items() if key in load_poses(kind)]


@login_required
@require_safe
def picture_file(request: SignedInRequest, kind: str, key: str) -> HttpResponse:
    """Give one picture as SVG; its address carries the catalogue's version, so it may be kept."""
    catalogue = load_catalogue()
    if kind not in KINDS or key not in load_poses(KINDS[kind]):
        raise Http404
    if key not in catalogue.files()[kind]:
        raise Http404
    small = "small" in request.GET
    drawn = picture(KINDS[kind], key, small=small, version=catalogue.version)
    answer = HttpResponse(drawn, content_type="image/svg+xml")
    answer["Cache-Control"] = f"private, max-age={A_DAY_S}, immutable"
    return answer

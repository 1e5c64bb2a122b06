"""
The kinds of slow work: what goes in, which function does it, what is kept and how it is told.

A new kind is one `Kind` here and one function ``run(inputs, report) -> output`` in a module of its
own, which the child process alone opens: it may import whatever it needs, and nothing of Django.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from countermove.catalogue import Catalogue
from countermove.clinic.people.models import Athlete
from countermove.clinic.work import jobs_recordings
from countermove.clinic.work.jump_facts import Scale
from countermove.clinic.work.models import Result


@dataclass(frozen=True, kw_only=True)
class Kind:
    """
    One kind of slow work.

    Attributes
    ----------
    key : str
        What jobs and results of the kind go by.
    name : str
        What a page calls it.
    schema : int
        Of the output that is kept.
    run : str
        ``module:function`` of the work itself: ``(inputs: bytes, report) -> bytes``, pure but for
        reading files of the upload folder, which its inputs name; `report(fraction)` tells how far.
    gather : callable
        Gives an athlete's inputs as bytes, from rows alone: the same rows give the same bytes.
    output : callable
        Gives what is kept of the output, beside the result it supersedes (None for the first).
    after : callable
        Does what follows from it, as examining again.
    told : callable
        Gives the sentences that tell a kept output.
    """

    key: str
    name: Any
    schema: int
    run: str
    gather: Callable[[Athlete], bytes]
    output: Callable[[Athlete, bytes, Result | None], dict[str, Any]]
    after: Callable[[Athlete, Catalogue], None]
    told: Callable[[Result, Scale], list[str]]


RECORDINGS = Kind(
    key=jobs_recordings.KEY,
    name=_("Recordings analysed again"),
    schema=1,
    run="countermove.clinic.work.jobs_recordings_run:run",
    gather=jobs_recordings.gather,
    output=jobs_recordings.output,
    after=jobs_recordings.after,
    told=jobs_recordings.told,
)
KINDS: dict[str, Kind] = {RECORDINGS.key: RECORDINGS}

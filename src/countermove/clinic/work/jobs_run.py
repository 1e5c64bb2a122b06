"""One job carried out: its work in a child process, watched until it ends or is to stop."""

from __future__ import annotations

import threading
import time
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.db import DatabaseError
from django.utils.translation import gettext as _

from countermove import __version__
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.work import jobs
from countermove.clinic.work.jobs_child import Child, Word, place_of
from countermove.clinic.work.jobs_kinds import KINDS, Kind
from countermove.clinic.work.models import Job
from countermove.errors import CountermoveError

LOOK_S = 0.2  # how often a running job is asked about; a stop is heard within a second
leaving = threading.Event()  # set when the worker is to end


def run_job(key: UUID) -> None:
    """Carry one job out; a job that was stopped meanwhile is passed over."""
    job = jobs.begin(key)
    if job is None:
        return
    kind = KINDS.get(job.kind)
    if kind is None:
        jobs.fail(job, _("This version does not know such work; ask again."))
        return
    try:
        _compute(job, kind)
    except CountermoveError as error:
        jobs.fail(job, str(error))
    except DatabaseError:
        raise  # nothing can be written now; the job is found silent and begun again
    except Exception as error:
        jobs.fail(job, _fault(place_of(error)))


def _compute(job: Job, kind: Kind) -> None:
    """Do the work, unless the same was done before."""
    catalogue, inputs = catalogue_of(job.athlete.site_id), kind.gather(job.athlete)
    job.inputs = jobs.hash_of(inputs)
    Job.objects.filter(pk=job.pk).update(inputs=job.inputs)
    same = jobs.computed(kind, job.athlete, job.inputs, catalogue)
    if same is not None:
        jobs.reuse(job, same)
        return
    word = _worked(job, kind, inputs)
    if isinstance(word, str):
        {"stop": jobs.stop, "leave": _left, "put back": jobs.put_back}[word](job)
    elif word.what == "output":
        jobs.finish(job, kind, word.output, catalogue)
    else:
        _settle(job, word)


def _settle(job: Job, word: Word) -> None:
    """End a job whose work gave nothing."""
    if word.what == "died":
        jobs.died(job)
    elif word.what == "refused":
        jobs.fail(job, word.text)
    else:
        jobs.fail(job, _fault(word.text))


def _fault(place: str) -> str:
    said = _("A fault of the program was met (%(place)s, version %(version)s); report it.")
    return said % {"place": place, "version": __version__}


def _worked(job: Job, kind: Kind, inputs: bytes) -> Word | str:
    """Let a child work, and give its last word, or why it was ended."""
    folder = Path(settings.MEDIA_ROOT)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    child = Child(kind.run, inputs, folder)
    try:
        return _watched(job, child)
    finally:
        child.end()


def _watched(job: Job, child: Child) -> Word | str:
    """Hear a child out, beat for it, and look whether it is to stop."""
    fraction, beaten = 0.0, time.monotonic()
    while True:
        word = child.heard(LOOK_S)
        if word is not None and word.what != "fraction":
            return word
        fraction = word.fraction if word else fraction
        if time.monotonic() - beaten >= jobs.BEAT_S:
            jobs.beat(job, fraction)
            beaten = time.monotonic()
        if leaving.is_set():
            return "put back"
        wish = jobs.wish(job)
        if wish != "go on":
            return wish


def _left(job: Job) -> None:
    """Do nothing: the job is in other hands."""

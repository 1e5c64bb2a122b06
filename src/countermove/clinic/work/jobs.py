"""
Jobs from asking to end: each step is one short transaction; one that comes too late does nothing.

    waiting ──> running ──> done
       │           ├──────> failed    the work refused, or died twice
       │           ├──────> waiting   died once, or the worker was ended
       └───────────┴──────> stopped   somebody asked
"""

from __future__ import annotations

from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks_db.models import DBTaskResult

from countermove import __version__
from countermove.catalogue import Catalogue
from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete
from countermove.clinic.work.jobs_kinds import Kind
from countermove.clinic.work.jobs_queue import carry_out
from countermove.clinic.work.models import ACTIVE, Job, Result, State

BEAT_S = 1.0  # how often a worker says that it is at it
LOST_S = 10.0  # silent for longer, it is given up (our default: a busy disk costs some beats)


def ask_for(kind: Kind, athlete: Athlete, by: User, catalogue: Catalogue) -> Job:
    """
    Ask for slow work: one job of a kind and athlete at a time, and nothing is computed twice.

    Raises
    ------
    CountermoveError
        If there is nothing to work on; the message says what is needed.
    """
    inputs = hash_of(kind.gather(athlete))
    try:
        with transaction.atomic():
            return _active(kind, athlete) or _new(kind, athlete, by, inputs, catalogue)
    except IntegrityError:  # somebody else asked, a moment earlier
        return Job.objects.get(athlete=athlete, kind=kind.key, state__in=ACTIVE)


def hash_of(inputs: bytes) -> str:
    """Give the hash that inputs go by."""
    return sha256(inputs).hexdigest()


def _active(kind: Kind, athlete: Athlete) -> Job | None:
    return Job.objects.filter(athlete=athlete, kind=kind.key, state__in=ACTIVE).first()


def _new(kind: Kind, athlete: Athlete, by: User, inputs: str, catalogue: Catalogue) -> Job:
    job = Job(kind=kind.key, athlete=athlete, asked_by=by, inputs=inputs)
    job.result = computed(kind, athlete, inputs, catalogue)
    if job.result is None:
        job.save()
        _queue(job)
        return job
    job.state, job.fraction, job.ended_at = State.DONE, 1.0, timezone.now()
    job.save()
    return job


def computed(kind: Kind, athlete: Athlete, inputs: str, catalogue: Catalogue) -> Result | None:
    """Give what the same inputs gave with the same code and catalogue, if they did."""
    return athlete.results.filter(
        kind=kind.key,
        schema=kind.schema,
        inputs=inputs,
        code_version=__version__,
        catalogue_version=catalogue.version,
    ).last()


def _queue(job: Job) -> None:
    """Give a job its place in the queue, which learns its key and nothing else."""
    task = carry_out.enqueue(str(job.key))
    Job.objects.filter(pk=job.pk).update(task=UUID(task.id))


def ask_to_stop(job: Job) -> None:
    """Stop a job: at once while it waits, within a second while it is worked on."""
    now = timezone.now()
    waiting = Job.objects.filter(pk=job.pk, state=State.WAITING)
    if not waiting.update(state=State.STOPPED, stop_asked_at=now, ended_at=now):
        Job.objects.filter(pk=job.pk, state=State.RUNNING).update(stop_asked_at=now)


def begin(key: UUID) -> Job | None:
    """Take a waiting job in hand; None if it was stopped or somebody else has it."""
    now = timezone.now()
    taken = Job.objects.filter(key=key, state=State.WAITING).update(
        state=State.RUNNING, started_at=now, heartbeat_at=now, fraction=0.0, runs=F("runs") + 1
    )
    return Job.objects.select_related("athlete").get(key=key) if taken else None


def beat(job: Job, fraction: float) -> None:
    """Say that a job is worked on, and how far it is."""
    _mine(job).update(heartbeat_at=timezone.now(), fraction=fraction)


def wish(job: Job) -> str:
    """Give what is wished of a running job: "go on", "stop", or "leave" where it is not ours."""
    row = _mine(job).values_list("stop_asked_at", flat=True)[:1]
    for asked in row:
        return "stop" if asked else "go on"
    return "leave"


def finish(job: Job, kind: Kind, made: bytes, catalogue: Catalogue) -> None:
    """Keep what came out, and what follows from it."""
    kept = job.athlete.results.filter(kind=kind.key).order_by("-pk").first()
    output = kind.output(job.athlete, made, kept)
    kind.after(job.athlete, catalogue)
    with transaction.atomic():
        if not _end(job, State.DONE, fraction=1.0):
            return
        result = Result.objects.create(
            athlete=job.athlete,
            kind=kind.key,
            schema=kind.schema,
            code_version=__version__,
            catalogue_version=catalogue.version,
            inputs=job.inputs,
            output=output,
            supersedes=kept,
        )
        Job.objects.filter(pk=job.pk).update(result=result)


def reuse(job: Job, result: Result) -> None:
    """End a job with what was computed before."""
    _end(job, State.DONE, fraction=1.0, result=result)


def fail(job: Job, words: str) -> None:
    """End a job that cannot be done; the words are for whoever asked."""
    _end(job, State.FAILED, error=words)


def stop(job: Job) -> None:
    """End a job because somebody asked."""
    _end(job, State.STOPPED)


@transaction.atomic
def put_back(job: Job) -> None:
    """Let a job wait again, because the worker ends; a job that was to stop is stopped."""
    if not _end(job, State.STOPPED, only=Q(stop_asked_at__isnull=False)):
        _wait_again(job)


@transaction.atomic
def died(job: Job) -> None:
    """Begin a job again whose work ended without a word; the second time it has failed."""
    if _end(job, State.STOPPED, only=Q(stop_asked_at__isnull=False)):
        return
    if job.deaths:
        words = _(
            "The work broke off twice without a word: this machine may be short of memory. Close"
            " other programs and ask again; if it breaks off again, report it."
        )
        _end(job, State.FAILED, error=words, deaths=F("deaths") + 1)
    else:
        _wait_again(job, deaths=F("deaths") + 1)


def lost_jobs(now: datetime) -> QuerySet[Job]:
    """Give the jobs that nobody is at: silent for too long, or gone from the queue unbegun."""
    line = now - timedelta(seconds=LOST_S)
    queued = DBTaskResult.objects.ready().values("id")
    silent = Q(state=State.RUNNING, heartbeat_at__lt=line)
    dropped = Q(state=State.WAITING, asked_at__lt=line) & ~Q(task__in=queued)
    return Job.objects.filter(silent | dropped)


def set_right(now: datetime) -> None:
    """Put lost jobs back into the queue or fail them, and clear what the queue has done with."""
    for job in lost_jobs(now):
        if job.state == State.RUNNING:
            died(job)
        else:
            _queue(job)
    line = now - timedelta(seconds=LOST_S)
    active = Job.objects.filter(state=State.RUNNING).values("task")
    over = DBTaskResult.objects.filter(started_at__lt=line).exclude(id__in=active)
    if over.exists():  # a look locks nothing, a delete of nothing would
        over.delete()


def _mine(job: Job) -> QuerySet[Job]:
    """Give the job's row while it is in the hands that `job` was taken by."""
    return Job.objects.filter(pk=job.pk, state=State.RUNNING, runs=job.runs)


def _end(job: Job, state: State, *, only: Q | None = None, **more: Any) -> bool:
    rows = _mine(job).filter(only) if only is not None else _mine(job)
    return bool(rows.update(state=state, ended_at=timezone.now(), **more))


def _wait_again(job: Job, **more: Any) -> None:
    if _mine(job).update(state=State.WAITING, fraction=0.0, **more):
        _queue(job)

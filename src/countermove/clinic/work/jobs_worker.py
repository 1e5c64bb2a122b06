"""
The worker: takes one job after another, and sets right what a worker before it left behind.

The queue is the library's; looking whether anything waits is a plain read, so that an idle worker
never locks the database.
"""

from __future__ import annotations

import logging
import signal
from types import FrameType
from uuid import uuid4

from django.db import OperationalError, close_old_connections
from django.utils import timezone
from django_tasks_db.management.commands.db_worker import Worker
from django_tasks_db.models import DBTaskResult

from countermove.clinic.work import jobs
from countermove.clinic.work.jobs_run import leaving

__all__ = ["leave", "leaving", "listen", "work"]

IDLE_S = 0.5  # between two looks into an empty queue


def work() -> None:
    """Work until told to leave; the job in hand is then put back."""
    # The library's own lines are for developers; what concerns people stands in the job.
    for name in ("django_tasks", "django_tasks_db"):
        logging.getLogger(name).setLevel(logging.CRITICAL)
    while not leaving.is_set():
        close_old_connections()
        try:
            jobs.set_right(timezone.now())
            _empty_the_queue()
        except OperationalError:
            pass  # a busy database: the next look comes soon
        leaving.wait(IDLE_S)


def leave(_signum: int = 0, _frame: FrameType | None = None) -> None:
    """Let the worker end after putting its job back; fits a signal."""
    leaving.set()


def listen() -> None:
    """Leave when the system asks."""
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, leave)


def _empty_the_queue() -> None:
    """Carry out what waits, one job at a time, until nothing does or we are to leave."""
    worker_id = uuid4().hex
    while not leaving.is_set() and DBTaskResult.objects.ready().exists():
        Worker(
            queue_names=["default"],
            interval=0,
            batch=True,
            backend_name="default",
            startup_delay=False,
            max_tasks=1,
            worker_id=worker_id,
            excluded_queue_names=[],
        ).run()
        jobs.set_right(timezone.now())

"""What stands in the queue: the key of a job, and that it is to be carried out."""

from __future__ import annotations

from uuid import UUID

from django_tasks import task


@task()
def carry_out(job_key: str) -> None:
    """Carry a job out, in the worker."""
    from countermove.clinic.work.jobs_run import run_job  # noqa: PLC0415 - the pages never need it

    run_job(UUID(job_key))

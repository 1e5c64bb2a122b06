"""Slow work in a browser: the line fills by itself, the end is told in place, a stop is a press."""

from django.urls import reverse
from django.utils import timezone

from countermove.catalogue import load_catalogue
from countermove.clinic.work import jobs
from countermove.clinic.work.jobs_kinds import RECORDINGS
from countermove.clinic.work.models import Job


def test_a_job_is_watched_on_the_athletes_page_to_its_end(sign_in, ada, juno, serious):
    page = sign_in(ada)
    page.goto(reverse("athlete", args=[juno.key]))
    page.get_by_role("button", name="Analyse all recordings again").click()
    page.get_by_text("Waiting for the worker").wait_for()
    assert serious(page) == []
    taken = jobs.begin(Job.objects.get().key)
    page.goto(reverse("athlete", args=[juno.key]))
    for percent in (40, 73):
        jobs.beat(taken, percent / 100 + 0.001)
        page.locator(".way b", has_text=f"{percent} %").wait_for()
    assert page.locator(".way progress").get_attribute("value") == "73"
    stop = page.get_by_role("button", name="Stop")
    stop.focus()
    jobs.beat(taken, 0.9)
    page.locator(".way b", has_text="90 %").wait_for()
    assert stop.evaluate("one => one === document.activeElement")  # polling leaves the hand alone
    assert serious(page) == []
    jobs.fail(taken, "the plate weighs nobody")
    page.get_by_text("The plate weighs nobody").wait_for()
    assert page.locator("[hx-trigger]").count() == 0


def test_a_stop_is_one_press(sign_in, ada, juno, serious):
    page = sign_in(ada)
    job = jobs.ask_for(RECORDINGS, juno, ada, load_catalogue())
    Job.objects.update(state="running", heartbeat_at=timezone.now(), runs=1)
    page.goto(reverse("job", args=[job.key]))
    page.get_by_role("button", name="Stop").click()
    page.get_by_text("Stopping").wait_for()
    assert page.get_by_role("button", name="Stop").count() == 0
    jobs.stop(Job.objects.get())
    page.get_by_text("Nothing was changed").wait_for()
    page.goto(reverse("jobs"))
    assert page.get_by_role("heading", name="Slow work").is_visible()
    assert serious(page) == []

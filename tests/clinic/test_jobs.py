"""Slow work: asked for once, seen by whom it concerns, told in words, never computed twice."""

import json
import os
import time
import uuid
from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from countermove.catalogue import load_catalogue
from countermove.clinic.practice.models import AccessEntry, Membership
from countermove.clinic.practice.roles import ALLOWED, Action, Role
from countermove.clinic.visits.marks import WEIGHING, mark
from countermove.clinic.work import jobs
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.jobs_child import Child
from countermove.clinic.work.jobs_kinds import KINDS, RECORDINGS
from countermove.clinic.work.jobs_run import run_job
from countermove.clinic.work.jump_facts import Scale
from countermove.clinic.work.jump_trials import marked_trials
from countermove.clinic.work.models import Job, Result
from tests.builders import slow_job

pytestmark = pytest.mark.django_db
METRIC, IMPERIAL = Scale("cm", "kg"), Scale("in", "lb")
SOON_S = 20  # for a process to start on a machine with two busy cores
A_SECOND = 1.0  # the promise: a stop works within it


@pytest.fixture
def kinds(monkeypatch):
    for key, kind in slow_job.kinds().items():
        monkeypatch.setitem(KINDS, key, kind)
    return KINDS


def ask(athlete, by, kind=RECORDINGS):
    return jobs.ask_for(kind, athlete, by, load_catalogue())


def again(job):
    return Job.objects.get(pk=job.pk)


def told(job, scale=METRIC):
    return RECORDINGS.told(again(job).result, scale)


# Asking


def test_the_queue_learns_the_key_of_the_job_and_nothing_else(juno, ada):
    job = again(ask(juno, ada))
    queued = DBTaskResult.objects.get()
    assert queued.args_kwargs == {"args": [str(job.key)], "kwargs": {}}
    assert (job.state, job.task, job.asked_by) == ("waiting", queued.id, ada)


def test_asked_twice_it_stands_once(juno, ada):
    assert ask(juno, ada) == ask(juno, ada)
    assert (Job.objects.count(), DBTaskResult.objects.count()) == (1, 1)


def test_two_who_ask_at_once_get_the_same_job(juno, ada, ben, monkeypatch):
    first = ask(juno, ada)
    monkeypatch.setattr(jobs, "_active", lambda kind, athlete: None)  # as the other saw it
    assert ask(juno, ben) == first
    assert (Job.objects.count(), DBTaskResult.objects.count()) == (1, 1)


def test_without_a_recording_there_is_nothing_to_ask_for(client, juno, ada):
    for row in juno.visits.last().recordings.all():
        type(row).objects.create(
            visit=row.visit, kind=row.kind, file=row.file.name, name=row.name, sha256=row.sha256,
            corrects=row, withdrawn=True, made_by=ada,
        )  # fmt: skip
    client.force_login(ada)
    answer = client.post(reverse("analyse-again", args=[juno.key]), follow=True)
    said = [str(message) for message in answer.context["messages"]]
    assert said == ["Not begun: no recording is kept for this athlete; add one at a visit first."]
    assert not Job.objects.exists()


# Whose it is


def addresses(job):
    return {
        "get": [reverse("job", args=[job.key]), reverse("jobs")],
        "post": [
            reverse("analyse-again", args=[job.athlete.key]),
            reverse("job-stop", args=[job.key]),
        ],
    }


def test_each_view_by_owner_reader_stranger_and_nobody(client, juno, ada, ben, cleo):
    job = ask(juno, ada)
    where = addresses(job)
    for path in [*where["get"], *where["post"]]:
        assert client.get(path).status_code in (302, 405)
        assert client.post(path).status_code in (302, 405)
    for user, seen in ((ada, 200), (ben, 200), (cleo, 404)):
        client.force_login(user)
        assert client.get(where["get"][0]).status_code == seen
        page = client.get(where["get"][1]).content.decode()
        assert ("Juno Breakwater" in page) == (seen == 200)
    for user in (ben, cleo):
        client.force_login(user)
        assert [client.post(path).status_code for path in where["post"]] == [404, 404]
    assert (again(job).state, Job.objects.count()) == ("waiting", 1)
    client.force_login(ada)
    assert [client.post(path).status_code for path in where["post"]] == [302, 302]
    assert again(job).state == "stopped"


@pytest.mark.parametrize("role", list(Role))
def test_who_may_measure_may_start_and_stop(client, juno, ada, ben, role):
    job = ask(juno, ada)
    Membership.objects.filter(user=ben).update(role=role)
    client.force_login(ben)
    may = Action.MEASURE in ALLOWED[role]
    page = client.get(reverse("job", args=[job.key])).content.decode()
    assert (reverse("job-stop", args=[job.key]) in page) == may
    for path in addresses(job)["post"]:
        assert client.post(path).status_code == (302 if may else 404)


def test_an_unknown_job_is_404_like_a_strangers(client, ada):
    client.force_login(ada)
    assert client.get(reverse("job", args=[uuid.uuid4()])).status_code == 404


def test_starting_looking_and_stopping_are_logged_and_polling_is_not(client, juno, ada):
    client.force_login(ada)
    client.post(reverse("analyse-again", args=[juno.key]))
    page = reverse("job", args=[Job.objects.get().key])
    client.get(page)
    for _ in range(3):
        client.get(page, headers={"HX-Request": "true"})
    client.post(page + "stop/")
    looks = AccessEntry.objects.filter(kind="athlete", key=str(juno.key)).order_by("pk")
    assert [look.what for look in looks] == ["change", "view", "change"]


def test_the_list_of_jobs_is_logged_once_a_site(client, juno, ada):
    ask(juno, ada)
    client.force_login(ada)
    client.get(reverse("jobs"))
    look = AccessEntry.objects.get(by=ada)
    assert (look.what, look.kind, look.key, look.site) == (
        "view",
        "jobs",
        str(juno.site.pk),
        juno.site,
    )


# On the page


def test_the_page_tells_how_far_it_is_with_and_without_script(client, juno, ada):
    client.force_login(ada)
    job = ask(juno, ada)
    ahead = timezone.now() + timedelta(minutes=5)  # a busy machine is not a silent worker
    Job.objects.update(state="running", fraction=0.4, heartbeat_at=ahead)
    for page in (reverse("job", args=[job.key]), reverse("athlete", args=[juno.key])):
        text = client.get(page).content.decode()
        assert "Working <b>40 %</b>" in text
        assert f'hx-get="{reverse("job", args=[job.key])}" hx-trigger="every 1s"' in text
        assert "How far is it?" in text.split("<noscript>")[1]
        assert "style=" not in text.split("<main")[1]
    line = client.get(reverse("job", args=[job.key]), headers={"HX-Request": "true"})
    assert "<html" not in line.content.decode()
    assert '<progress max="100" value="40"' in line.content.decode()


def test_at_the_end_the_open_page_gets_the_whole_and_asks_no_more(client, juno, ada):
    client.force_login(ada)
    job = ask(juno, ada)
    jobs.fail(jobs.begin(job.key), "the plate weighs nobody")
    answer = client.get(reverse("job", args=[job.key]), headers={"HX-Request": "true"})
    assert answer["HX-Retarget"] == f"#job-{job.key}"
    assert answer["HX-Reswap"] == "outerHTML"
    assert "The plate weighs nobody" in answer.content.decode()
    assert "hx-trigger" not in answer.content.decode()


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"state": "waiting"}, "Waiting for the worker"),
        ({"state": "waiting", "deaths": 1}, "Broke off once, is begun again"),
        ({"state": "waiting", "asked_at": timedelta(minutes=5)}, "which is busy or not running"),
        ({"state": "running", "heartbeat_at": timedelta(minutes=5)}, "The worker is silent"),
        ({"state": "running", "stop_asked_at": timedelta()}, "Stopping"),
        ({"state": "stopped", "ended_at": timedelta()}, "Nothing was changed"),
    ],
)
def test_each_state_is_told(client, juno, ada, row, words):
    job = ask(juno, ada)
    now = timezone.now()
    Job.objects.update(
        **{k: now - value if isinstance(value, timedelta) else value for k, value in row.items()}
    )
    client.force_login(ada)
    assert words in client.get(reverse("job", args=[job.key])).content.decode()


# Recordings analysed again


def test_all_recordings_are_analysed_told_and_examined(client, juno, ada):
    before = examine_athlete(juno, load_catalogue())
    job = ask(juno, ada)
    run_job(job.key)
    done = again(job)
    assert (done.state, done.error, done.deaths) == ("done", "", 0)
    rows = juno.visits.last().recordings.order_by("pk")
    expected = [len(marked_trials(row)) for row in rows]
    kept = done.result.output["recordings"]
    assert [len(one["trials"]) for one in kept] == expected
    assert told(job) == [
        f"{sum(expected)} trials of {len(rows)} recordings analysed again.",
        "Every number is as it was.",
    ]
    assert done.result.output["compared"] == sum(len(jump.trials) for jump in before.jumps)
    client.force_login(ada)
    assert "Every number is as it was." in client.get(reverse("athlete", args=[juno.key])).text


def test_the_same_inputs_are_not_computed_twice(client, juno, ada, monkeypatch):
    first = ask(juno, ada)
    run_job(first.key)
    monkeypatch.setattr("countermove.clinic.work.jobs_run.Child", pytest.fail)
    second = ask(juno, ada)
    assert (second.state, second.result) == ("done", again(first).result)
    client.force_login(ada)
    page = client.get(reverse("job", args=[second.key])).text
    assert "had computed the same already" in page
    Job.objects.filter(pk=second.pk).update(state="waiting", result=None)
    run_job(second.key)  # asked for before the same was done elsewhere
    assert again(second).result == again(first).result
    assert Result.objects.filter(kind="recordings").count() == 1


def older(result, height_m):
    """Put on record what an older version might have found: another height of the first trial."""
    output = json.loads(json.dumps(result.output))
    trial = output["jumps"][0]["trials"][0]
    trial["height_impulse_m"], trial["flight_s"] = height_m, 0.5
    return Result.objects.create(
        athlete=result.athlete, kind="examination", schema=1, code_version="0.0.9",
        catalogue_version="older", inputs=result.inputs, output=output,
    )  # fmt: skip


def test_a_number_that_changed_is_told_and_the_examination_superseded(juno, ada):
    examine_athlete(juno, load_catalogue())
    older(Result.objects.get(), 0.25)
    job = ask(juno, ada)
    run_job(job.key)
    kind = Result.objects.first().output["jumps"][0]["kind"]
    row = juno.visits.last().recordings.get(kind=kind)
    height_m = marked_trials(row)[0].trial.height_impulse_m
    day = row.visit.date
    where = f"{row.name}, {day.day} {day:%B %Y}, trial 1"
    moved = "1 other number moved"
    assert told(job)[1] == (f"{where}: height {100 * height_m:.1f} cm, was 25.0 cm, {moved}.")
    # 1 in = 25.4 mm, exact by definition.
    assert (
        f"height {height_m / 0.0254:.1f} in, was {0.25 / 0.0254:.1f} in" in told(job, IMPERIAL)[1]
    )
    assert len(told(job)) == 2


def test_an_analysis_is_compared_with_the_one_it_supersedes(juno, ada):
    job = ask(juno, ada)
    run_job(job.key)
    first = again(job).result
    output = json.loads(json.dumps(first.output))
    output["recordings"][0]["trials"].pop()
    between = Result.objects.create(
        athlete=juno, kind="recordings", schema=1, code_version="0.0.9", catalogue_version="older",
        inputs=first.inputs, output=output, supersedes=first,
    )  # fmt: skip
    trials = len(first.output["recordings"][0]["trials"])
    made = RECORDINGS.output(juno, output_of(first), between)
    result = Result(output=made)
    name = made["recordings"][0]["name"]
    assert f"{trials} trials found, were {trials - 1}." in RECORDINGS.told(result, METRIC)[1]
    assert RECORDINGS.told(result, METRIC)[1].startswith(name)


def output_of(result):
    found = [
        {name: one[name] for name in ("key", "trials", "trouble")}
        for one in result.output["recordings"]
    ]
    heading = {"document": "recordings-analysed", "schema": 1}
    return json.dumps(heading | {"recordings": found}).encode()


def test_what_hands_set_is_used_as_on_the_pages(juno, ada):
    row = juno.visits.last().recordings.get(kind="cmj")
    mark(row, 1, WEIGHING, [4.0, 5.5], reason="swayed", by=ada)
    job = ask(juno, ada)
    run_job(job.key)
    kept = {one["key"]: one["trials"] for one in again(job).result.output["recordings"]}
    heights = [one.trial.height_impulse_m for one in marked_trials(row)]
    assert [trial["height_impulse_m"] for trial in kept[str(row.sent_as)]] == heights


def test_a_file_that_is_gone_or_another_is_told_and_keeps_no_other_out(juno, ada):
    first, second = juno.visits.last().recordings.order_by("pk")
    default_storage.delete(first.file.name)
    with second.file.open("ab") as file:
        file.write(b"\n")
    job = ask(juno, ada)
    run_job(job.key)
    assert again(job).state == "done"
    said = told(job)
    assert f"{first.name}, " in said[2]
    assert "could not be analysed: its file cannot be read" in said[2]
    assert "its file is not the one that was kept" in said[3]


# What may befall


def test_a_job_that_was_stopped_while_it_waited_is_passed_over(juno, ada, monkeypatch):
    monkeypatch.setattr("countermove.clinic.work.jobs_run.Child", pytest.fail)
    job = ask(juno, ada)
    jobs.ask_to_stop(job)
    run_job(job.key)
    assert (again(job).state, again(job).runs) == ("stopped", 0)


def test_a_refusal_is_told_in_its_words_and_a_fault_by_its_place(juno, ada, kinds):
    for key, words in (("refuses", "weigh the athlete"), ("breaks", "KeyError in slow_job.py")):
        job = ask(juno, ada, kinds[key])
        run_job(job.key)
        assert again(job).state == "failed"
        assert words in again(job).error
        assert "calf" not in again(job).error  # a fault's message could hold an athlete's data


def test_a_fault_while_keeping_is_told_by_its_place(juno, ada, monkeypatch):
    def forgets(athlete, made, superseded):
        raise KeyError("calf pain of a person")

    monkeypatch.setitem(KINDS, "recordings", replace(RECORDINGS, output=forgets))
    job = ask(juno, ada)
    run_job(job.key)
    assert again(job).state == "failed"
    assert "KeyError in test_jobs.py" in again(job).error
    assert "calf" not in again(job).error


def test_a_death_is_begun_again_once_and_the_second_is_a_failure(juno, ada, kinds):
    job = ask(juno, ada, kinds["dies"])
    run_job(job.key)
    assert (again(job).state, again(job).deaths) == ("waiting", 1)
    assert DBTaskResult.objects.ready().filter(id=again(job).task).exists()
    run_job(job.key)
    assert (again(job).state, again(job).deaths) == ("failed", 2)
    assert "broke off twice" in again(job).error


def test_a_kind_of_a_later_version_fails_with_words(juno, ada, kinds):
    job = ask(juno, ada, kinds["until_told"])
    Job.objects.update(kind="of-tomorrow")
    run_job(job.key)
    assert again(job).error == "This version does not know such work; ask again."


def test_a_worker_that_was_given_up_cannot_come_back(juno, ada):
    job = ask(juno, ada)
    first = jobs.begin(job.key)
    jobs.died(first)
    second = jobs.begin(job.key)
    jobs.beat(first, 0.9)
    jobs.fail(first, "too late")
    assert jobs.wish(first) == "leave"
    assert (again(job).state, again(job).fraction, again(job).error) == ("running", 0.0, "")
    assert jobs.wish(second) == "go on"


def test_only_a_silent_job_is_lost(juno, ada):
    job = ask(juno, ada)
    jobs.begin(job.key)
    now = timezone.now()
    line = timedelta(seconds=jobs.LOST_S)
    assert list(jobs.lost_jobs(now)) == []
    assert list(jobs.lost_jobs(now + line + timedelta(seconds=1))) == [job]
    jobs.set_right(now + line + timedelta(seconds=1))
    assert (again(job).state, again(job).deaths) == ("waiting", 1)


def test_a_lost_job_that_was_to_stop_is_stopped(juno, ada):
    job = ask(juno, ada)
    jobs.begin(job.key)
    jobs.ask_to_stop(job)
    jobs.set_right(timezone.now() + timedelta(seconds=jobs.LOST_S + 1))
    assert again(job).state == "stopped"


def test_a_job_that_fell_out_of_the_queue_gets_its_place_back(juno, ada):
    job = ask(juno, ada)
    DBTaskResult.objects.all().delete()
    jobs.set_right(timezone.now() + timedelta(seconds=jobs.LOST_S + 1))
    assert DBTaskResult.objects.get().id == again(job).task
    assert again(job).deaths == 0


def test_the_queue_keeps_nothing_that_is_over(juno, ada):
    job = ask(juno, ada)
    jobs.ask_to_stop(job)
    DBTaskResult.objects.update(status="FAILED", started_at=timezone.now() - timedelta(minutes=1))
    jobs.set_right(timezone.now())
    assert not DBTaskResult.objects.exists()


# The child


def until(there, seconds=SOON_S):
    end = time.monotonic() + seconds
    while not there():
        assert time.monotonic() < end
        time.sleep(0.01)


def is_alive(pid):
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.mark.parametrize("run", ["until_told", "stubborn"])
def test_a_child_ends_within_a_second_however_stubborn(tmp_path, run):
    child = Child(f"tests.builders.slow_job:{run}", b"", tmp_path)
    try:
        until(lambda: (word := child.heard(0.1)) is not None and word.fraction == slow_job.HALF)
        pid = child.process.pid
    finally:
        began = time.monotonic()
        child.end()
    assert time.monotonic() - began < A_SECOND
    assert not is_alive(pid)


def test_a_child_gives_what_its_run_gave(tmp_path):
    (tmp_path / slow_job.GO).touch()
    child = Child("tests.builders.slow_job:until_told", b"in", tmp_path)
    try:
        word = child.heard(SOON_S)
    finally:
        child.end()
    assert (word.what, word.output) == ("output", b"in done")

"""Workers and their children, killed for real: what was asked for is done, once, or told."""

import shutil
import signal

import pytest

from tests.builders import slow_job
from tests.builders import worked_practice as made
from tests.builders.worked_practice import SOON_S, child, is_alive, kill, row, until, worker

A_SECOND = 1.0  # the promise: a stop works within it
AT_WORK = "At work in"


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    folder = tmp_path_factory.mktemp("asked") / "practice"
    made.ask(folder)
    return folder


@pytest.fixture
def folder(asked, tmp_path):
    return shutil.copytree(asked, tmp_path / "practice")


def state(folder):
    return row(folder)["state"]


def let_go(folder):
    (folder / "uploads" / slow_job.GO).touch()


def test_progress_is_seen_and_the_end_is_kept(folder):
    with worker(folder):
        child(folder)
        until(lambda: row(folder)["fraction"] == slow_job.HALF)
        assert state(folder) == "running"
        let_go(folder)
        until(lambda: state(folder) == "done")
    assert row(folder) == {"state": "done", "fraction": 1.0, "deaths": 0, "error": ""}
    assert made.count(folder, "work_result") == 1


def test_a_killed_child_is_begun_again_once_and_then_a_failure_is_told(folder):
    with worker(folder) as process:
        first = child(folder)
        kill(first)
        second = child(folder, other_than=first)
        assert (state(folder), row(folder)["deaths"]) == ("running", 1)
        kill(second)
        until(lambda: state(folder) == "failed")
        assert process.poll() is None  # a job's death is not the worker's
    assert row(folder)["deaths"] == 2
    assert "broke off twice" in row(folder)["error"]
    assert made.count(folder, "work_result") == 0


def test_a_killed_worker_takes_its_child_along_and_the_next_one_does_the_job(folder):
    with worker(folder) as process:
        first = child(folder)
        kill(process.pid)
        until(lambda: not is_alive(first))
        assert state(folder) == "running"  # nobody could say so
    with worker(folder):
        child(folder, other_than=first)
        let_go(folder)
        until(lambda: state(folder) == "done")
    assert row(folder)["deaths"] == 1
    assert made.count(folder, "work_result") == 1


def test_the_second_death_of_a_worker_is_a_failure(folder):
    last = None
    for _ in range(2):
        with worker(folder) as process:
            last = child(folder, other_than=last)
            kill(process.pid)
            until(lambda pid=last: not is_alive(pid))
    with worker(folder):
        until(lambda: state(folder) == "failed")
    assert row(folder)["deaths"] == 2


def test_a_stop_ends_the_child_within_a_second(folder):
    with worker(folder):
        pid = child(folder)
        until(lambda: state(folder) == "running")
        made.write(folder, "UPDATE work_job SET stop_asked_at = CURRENT_TIMESTAMP")
        assert until(lambda: not is_alive(pid)) < A_SECOND
        until(lambda: state(folder) == "stopped")
    assert made.count(folder, "work_result") == 0


def test_a_worker_that_is_asked_to_end_puts_its_job_back_and_that_is_no_death(folder):
    with worker(folder) as process:
        first = child(folder)
        process.send_signal(signal.SIGTERM)
        assert process.wait(timeout=SOON_S) == 0
        assert not is_alive(first)
    assert row(folder) | {"error": ""} == {
        "state": "waiting", "fraction": 0.0, "deaths": 0, "error": "",
    }  # fmt: skip
    let_go(folder)
    with worker(folder):
        until(lambda: state(folder) == "done")


def test_a_worker_ends_with_the_input_of_whoever_started_it(folder):
    with worker(folder, "--until-input-ends") as process:
        first = child(folder)
        process.stdin.close()
        assert process.wait(timeout=SOON_S) == 0
        assert not is_alive(first)
    assert state(folder) == "waiting"


def test_one_worker_a_folder_and_the_next_waits_for_its_turn(folder):
    let_go(folder)
    with worker(folder) as first:
        assert AT_WORK in first.stdout.readline()
        with worker(folder) as second:
            assert second.wait(timeout=SOON_S) == 1
            assert "a worker is at work in" in second.stdout.read()
        with worker(folder, "--until-input-ends") as patient:
            first.send_signal(signal.SIGTERM)
            assert AT_WORK in patient.stdout.readline()
            assert first.wait(timeout=SOON_S) == 0

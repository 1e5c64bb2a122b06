"""`work`, and the worker beside `open`: started again when killed, gone when `open` is gone."""

import fcntl
import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from tests.cli.test_serving import command, ended, environment, free_port, running, said_until
from tests.upgrades.test_older_practices import OLDER

SOON_S = 40


def workers(folder):
    """Give the process numbers of the workers of a folder."""
    found = []
    for file in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            words = file.read_bytes().split(b"\0")
        except OSError:
            continue
        if b"work" in words and str(folder).encode() in words:
            found.append(int(file.parent.name))
    return found


def until(is_so):
    end = time.monotonic() + SOON_S
    while not is_so():
        assert time.monotonic() < end
        time.sleep(0.05)


def is_held(file):
    with file.open("a+b") as opened:
        try:
            fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
    return False


def other_worker(folder, than):
    until(lambda: any(pid != than for pid in workers(folder)))
    return next(pid for pid in workers(folder) if pid != than)


def test_open_has_a_worker_that_is_started_again_and_ends_with_it(tmp_path):
    folder = tmp_path / "practice"
    with running("open", "--port", str(free_port()), folder=folder):
        first = other_worker(folder, None)
        os.kill(first, signal.SIGKILL)
        second = other_worker(folder, first)
        assert second != first
        until(lambda: is_held(folder / "at-work"))
        alone = ended("work", folder=folder)
        assert alone.returncode == 1
        assert "a worker is at work in" in alone.stderr
    assert workers(folder) == []


def test_the_demo_has_a_worker_that_ends_with_it(tmp_path):
    with running("demo", "--port", str(free_port()), folder=tmp_path / "any"):
        (folder,) = tmp_path.glob("countermove-demo-*")
        other_worker(folder, None)
        until(lambda: (folder / "at-work").exists() and is_held(folder / "at-work"))
    assert workers(folder) == []
    assert not folder.exists()


def test_a_worker_does_not_outlive_an_open_that_was_killed(tmp_path):
    folder = tmp_path / "practice"
    process = subprocess.Popen(
        command("open", "--no-browser", "--port", str(free_port())),
        env=environment(folder),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )
    try:
        said_until(process, "Ctrl+C ends it")
        other_worker(folder, None)
        process.kill()
        until(lambda: workers(folder) == [])
    finally:
        os.killpg(process.pid, signal.SIGKILL)  # the server's own processes
        process.wait(timeout=SOON_S)
        process.stdout.close()


def test_work_needs_a_practice(tmp_path):
    told = ended("work", folder=tmp_path / "nowhere")
    assert told.returncode == 1
    assert "holds no practice; name its folder by --data" in told.stderr
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("file", OLDER[:1], ids=lambda file: file.stem)
def test_work_leaves_the_tables_of_another_version_alone(file, tmp_path):
    (tmp_path / "practice.sqlite3").write_bytes(file.read_bytes())
    told = ended("work", folder=tmp_path)
    assert told.returncode == 1
    assert "open it once with `countermove open`" in told.stderr
    assert (tmp_path / "practice.sqlite3").read_bytes() == file.read_bytes()

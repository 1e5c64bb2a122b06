"""`open`, `account` and `demo`: real processes on real ports, ended as Ctrl+C ends them."""

import os
import re
import signal
import socket
import stat
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager

import pytest

SOON_S = 40  # a machine with two busy cores; alone it takes about three


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


# A test run in the background ignores Ctrl+C, and its children would inherit that.
RUN = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
    "from countermove.cli import main; main()"
)


def command(*words):
    return [sys.executable, "-c", RUN, *words]


def environment(folder):
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("COUNTERMOVE", "DJANGO"))}
    return kept | {
        "COUNTERMOVE_DATA": str(folder),
        "PYTHONUNBUFFERED": "1",
        "TMPDIR": str(folder.parent),
    }


def ended(*words, folder):
    return subprocess.run(
        command(*words),
        check=False,
        env=environment(folder),
        capture_output=True,
        text=True,
        timeout=SOON_S,
    )


@contextmanager
def running(*words, folder):
    """Give what a command said once it serves; end it as Ctrl+C does, and see that it ends."""
    process = subprocess.Popen(
        command(*words, "--no-browser"),
        env=environment(folder),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        yield said_until(process, "Ctrl+C ends it")
    finally:
        process.send_signal(signal.SIGINT)
        try:
            process.wait(timeout=15)
        finally:
            process.kill()
            process.stdout.close()


def said_until(process, words):
    said, end = "", time.monotonic() + SOON_S
    while words not in said:
        line = process.stdout.readline()
        assert line, f"ended early: {said}"
        assert time.monotonic() < end, said
        said += line
    return said


def get(address, host=None):
    request = urllib.request.Request(address, headers={"Host": host} if host else {})
    try:
        with urllib.request.urlopen(request, timeout=10) as answer:
            return answer.status, answer.url, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, address, error.read().decode()


def test_a_practice_opens_once_tells_its_token_and_mends_an_account(tmp_path):
    folder, port = tmp_path / "practice", free_port()
    with running("open", "--port", str(port), folder=folder) as said:
        assert f"http://127.0.0.1:{port}" in said
        assert re.search(r"\n    ([a-z0-9]{5}-){3}[a-z0-9]{5}\n", said)
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        status, url, _page = get(f"http://127.0.0.1:{port}/")
        assert status == 200
        assert url.endswith("/start/")
        assert get(f"http://127.0.0.1:{port}/static/css/base.css")[0] == 200
        assert get(f"http://127.0.0.1:{port}/start/", host="clinic.example")[0] == 400
        with pytest.raises(OSError, match=r"refused|unreachable|timed out"):
            socket.create_connection((outside(), port), timeout=2)
        second = ended("open", "--port", str(free_port()), folder=folder)
        assert second.returncode == 1
        assert "open already in another window" in second.stderr
    unknown = ended("account", "reset", "nobody", folder=folder)
    assert unknown.returncode == 1
    assert "no account goes by 'nobody'; there is none yet" in unknown.stderr
    nowhere = ended("account", "reset", "nobody", folder=tmp_path / "elsewhere")
    assert "holds no practice" in nowhere.stderr
    assert not (tmp_path / "elsewhere").exists()


def outside():
    """Give this machine's address as others see it, without sending anything."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: an address that is nobody's
        except OSError:
            return "127.0.0.2"
        return probe.getsockname()[0]


def test_a_taken_port_is_told(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        for words in (("open",), ("demo",)):
            told = ended(*words, "--port", str(port), folder=tmp_path / "practice")
            assert told.returncode == 1
            assert f"port {port} is taken" in told.stderr


def test_the_demo_opens_without_a_password_and_leaves_nothing(tmp_path):
    port = free_port()
    with running("demo", "--port", str(port), folder=tmp_path / "any") as said:
        assert "made up" in said
        assert len(list(tmp_path.glob("countermove-demo-*"))) == 1
        status, url, page = get(f"http://127.0.0.1:{port}/")
        assert status == 200
        assert "login" not in url
        held = socket.create_connection(
            ("127.0.0.1", port)
        )  # as a browser does: must not hold us up
        held.sendall(b"GET /static/css/base.css HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        assert b"200" in held.recv(64)
        assert "Juno Breakwater" in page
        assert get(f"http://127.0.0.1:{port}/", host="clinic.example")[0] == 400
    held.close()
    assert list(tmp_path.glob("countermove-demo-*")) == []


def test_demo_settings_refuse_a_real_practice(tmp_path):
    refused = subprocess.run(
        [sys.executable, "-m", "django", "check"],
        check=False,
        env=environment(tmp_path) | {"DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.demo"},
        capture_output=True,
        text=True,
    )
    assert refused.returncode != 0
    assert "was not made for a demo" in refused.stderr

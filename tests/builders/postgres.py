"""
A PostgreSQL of one's own for tests: ``python -m tests.builders.postgres tests/clinic``.

It lives in a temporary folder, answers on a socket in that folder and on no port, and is gone
afterwards. PostgreSQL refuses to run as root; then it runs as the user that its package made.
"""

import os
import pwd
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

USER = "clinic"
DEBIAN = Path("/usr/lib/postgresql")  # where its programs lie that are not on the path


def program(name: str) -> str:
    """Give the path of one of PostgreSQL's programs, or say how to get it."""
    found = [*sorted(DEBIAN.glob(f"*/bin/{name}")), shutil.which(name)]
    found = [place for place in found if place]
    if not found:
        raise FileNotFoundError(f"{name} was not found; install PostgreSQL (Debian: postgresql)")
    return str(found[0])


@contextmanager
def cluster() -> Iterator[str]:
    """Start an empty PostgreSQL; give the connection string of its one database."""
    # A short path: that of a socket may have some hundred letters.
    with tempfile.TemporaryDirectory(prefix="pg-", dir="/tmp", ignore_cleanup_errors=True) as told:
        folder = Path(told)
        owner = pwd.getpwnam("postgres") if os.geteuid() == 0 else None
        if owner:
            os.chown(folder, owner.pw_uid, owner.pw_gid)

        def run(name: str, *words: str) -> None:
            done = subprocess.run(
                [program(name), *words], cwd=folder, check=False, capture_output=True, text=True,
                user=owner.pw_uid if owner else None, group=owner.pw_gid if owner else None,
                extra_groups=[] if owner else None, stdin=subprocess.DEVNULL,
            )  # fmt: skip
            assert done.returncode == 0, done.stdout + done.stderr

        data = str(folder / "data")
        run("initdb", "-D", data, "-U", USER, "--auth=trust", "--encoding=UTF8",
            "--locale=C.UTF-8", "--no-sync")  # fmt: skip
        options = f"-c listen_addresses= -c unix_socket_directories={folder} -c fsync=off"
        run("pg_ctl", "-D", data, "-w", "-l", str(folder / "log"), "-o", options, "start")
        try:
            run("createdb", "-h", str(folder), "-U", USER, USER)
            yield f"host={folder} dbname={USER} user={USER}"
        finally:
            run("pg_ctl", "-D", data, "-w", "-m", "immediate", "stop")


def main() -> int:
    with cluster() as told:
        environment = os.environ | {"COUNTERMOVE_DATABASE": told}
        command = [sys.executable, "-m", "pytest", *sys.argv[1:]]
        return subprocess.run(command, check=False, env=environment).returncode


if __name__ == "__main__":
    sys.exit(main())

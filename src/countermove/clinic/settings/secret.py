"""The secret key of a practice, made on first use and kept in its data folder."""

from __future__ import annotations

import os
import secrets
from pathlib import Path


def secret_key_in(folder: Path) -> str:
    """
    Give the practice's secret key, making folder and key on first use.

    The file is readable by its owner alone, and written whole or not at all.
    """
    file = folder / "secret-key"
    if not file.exists():
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        fresh = folder / f".secret-key-{os.getpid()}"
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as out:
            out.write(secrets.token_urlsafe(48))
        fresh.replace(file)
    return file.read_text(encoding="ascii")

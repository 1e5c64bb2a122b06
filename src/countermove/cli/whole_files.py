"""Files that are written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(file: Path, content: bytes) -> None:
    """
    Put content into a file in one step: whoever looks sees the old file or the new, never a half.

    It may hold health data, so only its owner may read it.

    Raises
    ------
    OSError
        If the folder is missing, or may not be written; nothing is left behind.
    """
    handle, name = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        Path(name).replace(file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise

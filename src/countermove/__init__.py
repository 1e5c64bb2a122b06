"""countermove: clear, measure and train an athlete's jump, link by link up the kinetic chain."""

from __future__ import annotations

import importlib
from typing import Any

__version__ = "0.1.0"

# Public name -> room. Rooms are opened on first use, so that `import countermove` stays instant.
_ROOMS = {
    "Athlete": "record",
    "Catalogue": "catalogue",
    "load_catalogue": "catalogue",
    "read_athlete": "codec",
    "write_athlete": "codec",
    "build_body": "body",
    "read_force": "recordings",
    "analyse_jumps": "jumps",
    "clear": "safety",
    "examine": "examination",
    "run_checks": "evidence",
}
__all__ = list(_ROOMS)


def __getattr__(name: str) -> Any:
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{_ROOMS[name]}"), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_ROOMS])

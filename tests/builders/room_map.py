"""The map of the rooms, made from the import contracts and each room's first docstring line."""

import importlib
import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
PAGE = ROOT / "docs" / "design.md"
BEGIN, END = "<!-- room map: begin -->", "<!-- room map: end -->"


def layers() -> list[list[str]]:
    """Give the rooms of each layer, top to bottom, as the contract holds them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = project["tool"]["importlinter"]["contracts"]
    held = next(contract for contract in contracts if contract["id"] == "layers")
    return [[room.strip() for room in layer.split("|")] for layer in held["layers"]]


def first_line(room: str) -> str:
    doc = importlib.import_module(f"countermove.{room}").__doc__ or ""
    return next(line.strip() for line in doc.splitlines() if line.strip())


def room_map() -> str:
    lines = ["| layer | room | what it holds |", "|---|---|---|"]
    for number, rooms in enumerate(layers(), start=1):
        lines += [f"| {number} | `{room}` | {first_line(room)} |" for room in rooms]
    return "\n".join(lines)


def page() -> str:
    """Give docs/design.md with a fresh map."""
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGIN)
    after = rest.partition(END)[2]
    return f"{before}{BEGIN}\n{room_map()}\n{END}{after}"

"""Write every generated page: `make docs`. A test holds each page to its source."""

from collections.abc import Callable
from pathlib import Path

from countermove.catalogue import load_catalogue
from countermove.catalogue.page import catalogue_page
from tests.builders import broken_files, room_map

ROOT = Path(__file__).parent.parent.parent

PAGES: dict[str, Callable[[], str]] = {
    "docs/broken-files.md": broken_files.page,
    "docs/design.md": room_map.page,
    "docs/methods/catalogue.md": lambda: catalogue_page(load_catalogue()),
}


def main() -> None:
    for path, page in PAGES.items():
        (ROOT / path).write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()

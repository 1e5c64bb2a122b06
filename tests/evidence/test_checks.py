"""Every published check holds, or misses as it says; and the runner can tell the difference."""

from dataclasses import replace

import pytest

from countermove.catalogue import load_catalogue
from countermove.cli.evidence_page import evidence_page
from countermove.errors import BadDocument
from countermove.evidence import load_checks, run_check, run_checks
from countermove.record import Status

CHECKS = load_checks()


@pytest.mark.parametrize("key", CHECKS)
def test_what_is_printed_is_what_we_give(key):
    result = run_check(key, CHECKS[key], load_catalogue())
    assert result.holds is not bool(result.check.misses), f"{result.ours} for {result.check}"


@pytest.mark.parametrize("key", CHECKS)
def test_a_check_has_a_source_of_the_catalogue(key):
    check = CHECKS[key]
    assert check.source in load_catalogue().sources
    assert check.where.strip()
    assert check.why.strip()


@pytest.mark.parametrize("key", CHECKS)
def test_what_we_worked_out_is_not_called_read(key):
    """A definition was read; the example worked from it is ours, not the author's number."""
    check = CHECKS[key]
    assert "worked" not in check.where or check.status is not Status.READ


@pytest.mark.parametrize("key", [key for key, c in CHECKS.items() if isinstance(c.printed, float)])
def test_a_check_could_fail(key):
    # Moved by ten tolerances, the same call must miss: no check is so wide that anything passes.
    check = CHECKS[key]
    moved = replace(check, printed=check.printed + 10 * check.tolerance)
    assert not run_check(key, moved, load_catalogue()).holds


def test_the_worst_stands_first():
    offs = [result.off for result in run_checks(load_catalogue())]
    assert offs == sorted(offs, reverse=True)


def test_only_public_functions_of_our_rooms_are_called():
    check = next(iter(CHECKS.values()))
    for name in ("os.system", "jumps._trial", "record.nothing", "cli.main"):
        with pytest.raises(BadDocument, match="not a public function"):
            run_check("x", replace(check, function=name), load_catalogue())


def test_a_miss_that_is_declared_is_shown_and_one_that_lingers_is_not_hidden():
    key, check = next((k, c) for k, c in CHECKS.items() if isinstance(c.printed, float))
    off = replace(check, printed=check.printed + 10 * check.tolerance, misses="a misprint")
    result = run_check(key, off, load_catalogue())
    assert not result.holds
    assert "misses: a misprint" in evidence_page([result])
    lingering = run_check(key, replace(check, misses="a misprint"), load_catalogue())
    assert lingering.holds  # holds although it is said to miss: the checks above would fail

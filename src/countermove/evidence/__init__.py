"""Published checks as data, run by the tests and by `countermove evidence`."""

from countermove.evidence.check import (
    Check,
    CheckResult,
    load_checks,
    run_check,
    run_checks,
)
from countermove.evidence.worked import rectangular_jump

__all__ = ["Check", "CheckResult", "load_checks", "rectangular_jump", "run_check", "run_checks"]

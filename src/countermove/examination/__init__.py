"""A visit's measurements to grades, changes, findings in chain order, and a work list."""

from countermove.examination.ankle import ankle_pattern, bent_knee_verdict, pattern_of
from countermove.examination.changes import change, changes_of, has_changed
from countermove.examination.findings import findings_of, verdict_of_link
from countermove.examination.grades import grade, target_of, verdict_of, verdict_of_trials
from countermove.examination.jump_summaries import (
    Gain,
    countermovement_gain,
    gain_of,
    gains_little,
    summarise,
)
from countermove.examination.main_job import examine
from countermove.examination.measurement_errors import (
    KnownError,
    error_of,
    half_width,
    mdc95,
    sem_from_cv,
    sem_from_icc,
    sem_from_mdc95,
)
from countermove.examination.readings import checked, checked_visit, value_si
from countermove.examination.symmetry import asymmetry
from countermove.examination.work_lists import Bench, work_list

__all__ = [
    "Bench",
    "Gain",
    "KnownError",
    "ankle_pattern",
    "asymmetry",
    "bent_knee_verdict",
    "change",
    "changes_of",
    "checked",
    "checked_visit",
    "countermovement_gain",
    "error_of",
    "examine",
    "findings_of",
    "gain_of",
    "gains_little",
    "grade",
    "half_width",
    "has_changed",
    "mdc95",
    "pattern_of",
    "sem_from_cv",
    "sem_from_icc",
    "sem_from_mdc95",
    "summarise",
    "target_of",
    "value_si",
    "verdict_of",
    "verdict_of_link",
    "verdict_of_trials",
    "work_list",
]

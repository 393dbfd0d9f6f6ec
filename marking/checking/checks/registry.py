"""The kinds of check, one line each: a new kind is a new file and a new line here."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from marking.checking.case import Case, Line
from marking.checking.checks.choice import check_choice, check_nearest
from marking.checking.checks.decimal_places import check_places
from marking.checking.checks.figures import check_figures
from marking.checking.checks.ideas import check_ideas
from marking.checking.checks.method import check_method
from marking.checking.checks.read_off_points import check_line, check_scale
from marking.checking.checks.readings import check_reading
from marking.checking.checks.rows import check_rows
from marking.checking.checks.teacher import check_teacher
from marking.checking.checks.unit import check_unit
from marking.checking.checks.value import check_value
from rubrics.model import CheckKind, Criterion

Check = Callable[[Criterion, Case], Iterator[Line]]

CHECKS: Mapping[CheckKind, Check] = {
    CheckKind.READING: check_reading,
    CheckKind.PLACES: check_places,
    CheckKind.ROWS: check_rows,
    CheckKind.VALUE: check_value,
    CheckKind.UNIT: check_unit,
    CheckKind.FIGURES: check_figures,
    CheckKind.METHOD: check_method,
    CheckKind.CHOICE: check_choice,
    CheckKind.NEAREST: check_nearest,
    CheckKind.IDEAS: check_ideas,
    CheckKind.SCALE: check_scale,
    CheckKind.LINE: check_line,
    CheckKind.TEACHER: check_teacher,
}

"""The classes of a department's list, marked and decided, as sampling takes them."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path

from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.moderation.department import ClassLine, check_results, read_department
from marking.moderation.sampling import ClassMarks
from marking.record import Record, SetName, mark_versions, proposed_class, ticked, with_decisions
from marking.write_up import ClassSet
from rubrics.faults import InputError
from rubrics.model import Rubric


def department_classes(
    arguments: argparse.Namespace, rubrics: Mapping[str, Rubric], record: Record | None
) -> tuple[ClassMarks, ...]:
    """Return the classes of the department that did one practical, in the order of its list.

    Raises:
        InputError: A class cannot be read, its results are not those of its set, or several practicals are met.
    """
    path = Path(arguments.department)
    sets = [(line, one) for line in read_department(path) for one in _sets(line, rubrics, arguments.practical)]
    practicals = sorted({one.practical for _, one in sets})
    if len(practicals) != 1:
        problem = f"the classes did {len(practicals)} practicals: {', '.join(practicals)}"
        raise InputError(path.name, problem, "say which one after --practical")
    rubric = rubrics[practicals[0]]
    return tuple(_class_marks(line, one, rubric, record) for line, one in sets)


def _sets(line: ClassLine, rubrics: Mapping[str, Rubric], practical: str | None) -> Sequence[ClassSet]:
    found = read_inputs([line.set], rubrics, practical=practical)
    return [one for one in found if practical in (None, one.practical)]


def _class_marks(line: ClassLine, one: ClassSet, rubric: Rubric, record: Record | None) -> ClassMarks:
    marked = _decided(line, one, rubric, record)
    if line.results is not None:
        check_results(line.results, marked)
    return ClassMarks(marker=line.marker, class_name=line.class_name, marked=marked, is_whole=line.is_whole)


def _decided(line: ClassLine, one: ClassSet, rubric: Rubric, record: Record | None) -> MarkedSet:
    found = mark_versions(rubric, one)
    if record is not None:
        known = {name.class_name for name in record.sets() if name.practical == one.practical}
        # The record knows a class by its own name, or by that of its file.
        for name in (line.class_name, proposed_class([str(line.set)], one)):
            if name in known:
                return with_decisions(found, record.decisions(SetName(class_name=name, practical=one.practical)))
    return ticked(found)

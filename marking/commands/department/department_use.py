"""The classes of a department's list, marked and decided, as sampling takes them."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path

from marking.compared import mark_versions
from marking.decided import (
    SetName,
    ticked,
    with_decisions,
)
from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.moderation.department import ClassLine, check_results, read_department
from marking.moderation.sampling import ClassMarks
from marking.record import (
    Record,
    name_set,
    proposed_class,
)
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
    marked, name = _decided(line, one, rubric, record)
    if line.results is not None:
        check_results(line.results, marked)
    kept_as = name if name != line.class_name else ""
    return ClassMarks(
        marker=line.marker, class_name=line.class_name, marked=marked, is_whole=line.is_whole, kept_as=kept_as
    )


def _decided(line: ClassLine, one: ClassSet, rubric: Rubric, record: Record | None) -> tuple[MarkedSet, str]:
    """Return the class with what was decided, and the name under which the record has it, or would have it."""
    found = mark_versions(rubric, one)
    if record is None:
        return ticked(found), line.class_name
    known = {name.class_name for name in record.sets() if name.practical == one.practical}
    # The record knows a class by what is in its files, else by its own name, or by that of its file.
    name, _ = name_set(record, one, wanted="", proposed=line.class_name)
    for class_name in (name, proposed_class([str(line.set)], one)):
        if class_name in known:
            decisions = record.decisions(SetName(class_name=class_name, practical=one.practical))
            return with_decisions(found, decisions), class_name
    return ticked(found), line.class_name

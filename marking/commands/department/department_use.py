"""The classes of a department's list, marked and decided, as sampling takes them."""

from __future__ import annotations

import argparse
import itertools
from collections.abc import Mapping, Sequence
from pathlib import Path

from marking.commands.record_use import maker_of
from marking.compared import mark_versions
from marking.decided import (
    SetName,
    new_ticks,
    ticked,
    with_decisions,
)
from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.moderation.department import ClassLine, check_results, read_department
from marking.moderation.sampling import ClassMarks
from marking.record import (
    Record,
    is_closed,
    keep,
    name_set,
    proposed_class,
)
from marking.write_up import ClassSet
from rubrics.faults import InputError
from rubrics.model import Rubric


def department_classes(
    arguments: argparse.Namespace, rubrics: Mapping[str, Rubric], record: Record | None, *, takes_down: bool = False
) -> tuple[ClassMarks, ...]:
    """Return the classes of the department that did one practical, in the order of its list.

    Args:
        arguments: Of the command line.
        rubrics: The practicals known, by id.
        record: Where decisions are, if anywhere.
        takes_down: Whether ticks that the record does not hold yet are taken down in it, as ``mark`` does: before
            anything is decided about marks that stand in files alone.

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
    return tuple(_class_marks(line, one, rubric, record, takes_down=takes_down) for line, one in sets)


def _sets(line: ClassLine, rubrics: Mapping[str, Rubric], practical: str | None) -> Sequence[ClassSet]:
    found = read_inputs([line.set], rubrics, practical=practical)
    return [one for one in found if practical in (None, one.practical)]


def _class_marks(
    line: ClassLine, one: ClassSet, rubric: Rubric, record: Record | None, *, takes_down: bool
) -> ClassMarks:
    marked, name = _decided(line, one, rubric, record, takes_down=takes_down)
    if line.results is not None:
        check_results(line.results, marked)
    kept_as = name if name != line.class_name else ""
    return ClassMarks(
        marker=line.marker, class_name=line.class_name, marked=marked, is_whole=line.is_whole, kept_as=kept_as
    )


def _decided(
    line: ClassLine, one: ClassSet, rubric: Rubric, record: Record | None, *, takes_down: bool
) -> tuple[MarkedSet, str]:
    """Return the class with what was decided, and the name under which the record has it, or would have it."""
    if record is None:
        return ticked(mark_versions(rubric, one)), line.class_name
    name = _name_in(record, line, one)
    if takes_down:
        return keep(record, rubric, one, maker_of(line.marker), class_name=name).marked, name
    found = mark_versions(rubric, one)
    decisions = record.decisions(SetName(class_name=name, practical=one.practical))
    # Whatever the record has of a class, a tick in its file that it has not met counts as it does when it is met.
    numbers = itertools.count(1)
    new = () if is_closed(decisions) else new_ticks(found, decisions, lambda: str(next(numbers)))
    return with_decisions(found, [*decisions, *new]), name


def _name_in(record: Record, line: ClassLine, one: ClassSet) -> str:
    """Return the class as the record knows it: by what is in its files, else by its own name, or by its file's."""
    known = {name.class_name for name in record.sets() if name.practical == one.practical}
    name, _ = name_set(record, one, wanted="", proposed=line.class_name)
    return next((each for each in (name, proposed_class([str(line.set)], one)) if each in known), line.class_name)

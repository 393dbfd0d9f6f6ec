"""Careful students of every practical lose nothing, however they round."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from marking.checking.marking_set import mark_set
from marking.findings import Finding, MarkedSet, Outcome
from marking.intake.read_inputs import read_inputs
from marking.write_up import Student, Weight
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Rubric
from samples.bench_class import fill_desk
from samples.bench_data import bench_data
from samples.desk import Desk
from samples.habits import Habits
from samples.make_samples import FilledSet, write
from samples.scenario import bare_set
from tests.apparatus import BENCHES

STUDENTS = 15
MANY = 120
"""In the campaign; other students."""
BENCH_COUNT = 12
WAYS = (
    Habits(figures=3),
    Habits(figures=3, keeps=3),
    Habits(figures=3, keeps=3, cuts=True),
    Habits(figures=3, keeps=4),
    Habits(figures=4, keeps=4, cuts=True),
    Habits(figures=3, has_places=True),
    Habits(figures=3, keeps=3, has_places=True),
    Habits(figures=None),
)
"""Three figures, four, decimal places or the whole display; rounded or cut; steps kept so or to the last figure."""


def careful(chance: Random) -> Habits:
    """Return the habits of some careful student."""
    way = chance.choice(WAYS)
    return Habits(
        figures=way.figures,
        keeps=way.keeps,
        cuts=way.cuts,
        has_places=way.has_places,
        carries_written=chance.random() < 0.5,
        tilt=0.0 if chance.random() < 0.25 else chance.uniform(-0.03, 0.03),
        likes_e=chance.random() < 0.5,
        leaves_out=0.25,
    )


def careful_class(rubric: Rubric, folder: Path, seed: str, count: int) -> tuple[dict[str, Desk], MarkedSet]:
    """Return the desks of careful students, and how their write-ups were marked."""
    students = tuple(
        Student(code=f"S{number:03}", name="", bench=str(number % BENCH_COUNT + 1)) for number in range(count)
    )
    data = bench_data()[rubric.id]
    desks = {
        one.code: fill_desk(rubric, data, one, seed, habits=careful, slip_rate=0.0, uses_other_ways=True)
        for one in students
    }
    sample = bare_set(rubric.id, students, "careful")
    write(FilledSet(sample=sample, write_ups={code: desk.work for code, desk in desks.items()}), rubric, folder)
    (class_set,) = read_inputs([folder], {rubric.id: rubric})
    return desks, mark_set(rubric, class_set)


def lost(desks: dict[str, Desk], marked: MarkedSet) -> Iterator[tuple[CheckKind, Finding]]:
    """Yield what was taken from a careful student; four figures and the whole display may be too many, and rightly."""
    kinds = {one.code: one.check for one in marked.rubric.criteria}
    for script in marked.scripts:
        desk = desks[script.write_up.student.code]
        for finding in script.findings:
            told_only = CheckKind.FIGURES if finding.reason.startswith("figures") else CheckKind.UNIT
            kind = kinds.get(finding.criterion, told_only)
            if finding.outcome is not Outcome.WITHHELD:
                continue
            if kind is CheckKind.FIGURES and not _has_three_figures(desk.habits):
                continue
            if kind is CheckKind.PLACES and desk.habits.figures is None:
                continue
            if kind is CheckKind.IDEAS:
                continue  # what these students say in words is of every kind
            if finding.item not in desk.work.cells:
                continue  # a box that was left empty has no mark to lose
            yield kind, finding


def _has_three_figures(habits: Habits) -> bool:
    return habits.figures == 3 and not habits.has_places


def test_every_practical_is_tried() -> None:
    """What is not tried here is tried at the benches of ``tests/apparatus``."""
    assert bench_data().keys() | BENCHES.keys() == load_catalogue().keys()


@pytest.mark.parametrize("practical", sorted(bench_data()))
@pytest.mark.parametrize(
    ("seed", "count"),
    [("careful", STUDENTS), pytest.param("many", MANY, marks=pytest.mark.campaign)],
    ids=["some", "many"],
)
def test_careful_students_lose_nothing(practical: str, seed: str, count: int, tmp_path: Path) -> None:
    """No reading, value, unit, choice or sensible number of figures of a careful student is withheld."""
    desks, marked = careful_class(load_catalogue()[practical], tmp_path, seed, count)
    assert [script.write_up.student.code for script in marked.scripts] == list(desks)
    assert [remark.message for remark in marked.remarks if remark.weight is not Weight.NOTE] == []
    found = [
        f"{one.student} {one.item} {one.row}: {one.entry!r} {one.unit!r}, expected {one.expected}: {kind} {one.reason}"
        f" {desks[one.student].habits}"
        for kind, one in lost(desks, marked)
    ]
    assert found == []

from __future__ import annotations

import csv

import pytest

from marking.findings import Cause, Outcome
from marking.reasons import Reason
from rubrics.formulas.formula import Call, walk
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind
from samples.mistakes import Planted
from samples.scenario import FOLDER
from samples.short_answers import sentences
from tests.samples.marked import FOLDERS, SCENARIO_FOLDERS, Told, filled, marked, told

KINDS = {
    "value": {CheckKind.VALUE, CheckKind.METHOD},
    "unit": {CheckKind.UNIT},
    "figures": {CheckKind.FIGURES},
    "places": {CheckKind.PLACES},
    "choice": {CheckKind.CHOICE, CheckKind.NEAREST},
    "scale": {CheckKind.SCALE},
}
OFF_A_LINE = {"slope", "intercept"}
FEWEST_FIRST = 0.75
"""Of planted wrong values, those whose cause is named first, over all samples."""
FEWEST_AMONG = 0.90
"""The same, for causes that are at least among those named."""


NOTHING_SAID = (Reason.NO_ANSWER, Reason.NO_WORDS, Reason.WORDS_EMPTY)


@pytest.mark.parametrize("folder", SCENARIO_FOLDERS)
def test_words_that_earn_nothing_for_sure_are_no_right_answer(folder: str) -> None:
    """What is taken for empty is none of the answers that earn the mark."""
    practical = filled(folder).sample.practical
    right = {
        text for said in sentences()[practical].values() for text in (*said.full, *(what for what, *_ in said.parts))
    }
    empty = {one.finding.entry for one in told(folder) if one.finding.reason == Reason.WORDS_EMPTY}
    assert not empty & right


@pytest.mark.parametrize("folder", FOLDERS)
def test_no_student_is_lost(folder: str) -> None:
    """Every student of the roster has a script, in the order of the roster."""
    with (FOLDER / folder / "roster.csv").open(encoding="utf-8", newline="") as file:
        codes = [line["student"] for line in csv.DictReader(file)]
    assert [script.write_up.student.code for script in marked(folder).scripts] == codes


@pytest.mark.parametrize("folder", SCENARIO_FOLDERS)
def test_those_without_work_have_no_marks(folder: str) -> None:
    """Nobody who handed nothing in is given a zero, and everybody who handed something in is marked."""
    unmarked = {script.write_up.student.code for script in marked(folder).scripts if not script.criteria}
    assert unmarked == {student.code for student in filled(folder).sample.students} - filled(folder).write_ups.keys()


@pytest.mark.parametrize("folder", SCENARIO_FOLDERS)
def test_what_is_right_is_never_withheld(folder: str) -> None:
    """A mark is withheld only where a mistake was planted, or nothing was written."""
    planted = {(one.student, one.item, kind) for one in filled(folder).planted for kind in KINDS[one.lost]}
    withheld = [one for one in told(folder) if one.finding.outcome is Outcome.WITHHELD]
    wrongly = [
        (one.finding.student, one.finding.item, one.finding.row, one.finding.criterion, one.finding.entry)
        for one in withheld
        if one.finding.reason not in NOTHING_SAID and (one.finding.student, one.finding.item, one.kind) not in planted
    ]
    assert wrongly == []


@pytest.mark.parametrize("folder", SCENARIO_FOLDERS)
def test_planted_mistakes_are_found(folder: str) -> None:
    """A planted mistake that a criterion is about never earns that criterion."""
    overlooked = []
    for one in filled(folder).planted:
        found = _told_of(one)
        if found and all(line.finding.outcome is Outcome.AWARDED for line in found) and not _may_stand(one, folder):
            overlooked.append(one)
    assert overlooked == []


def test_causes_are_named() -> None:
    """The planted cause of a wrong value is named first in most cases, and hardly ever left out altogether."""
    lines = [
        (one, line)
        for folder in SCENARIO_FOLDERS
        for one in filled(folder).planted
        if one.lost == "value" and one.cause != Cause.UNEXPLAINED
        for line in _told_of(one)[:1]
        if line.finding.outcome is Outcome.WITHHELD
    ]
    first = [line.finding.cause == one.cause for one, line in lines]
    among = [one.cause in {explanation.cause for explanation in line.finding.explanations} for one, line in lines]
    assert len(lines) > 50
    assert sum(first) / len(first) >= FEWEST_FIRST
    assert sum(among) / len(among) >= FEWEST_AMONG


def _told_of(planted: Planted) -> list[Told]:
    """Return the findings that should see a mistake: where its criterion judges this very answer."""
    folder = next(name for name in SCENARIO_FOLDERS if planted in filled(name).planted)
    return [
        one
        for one in told(folder)
        if (one.finding.student, one.finding.item) == (planted.student, planted.item)
        and one.kind in KINDS[planted.lost] - {CheckKind.METHOD}
        and (planted.row is None or planted.lost == "places" or one.finding.row == planted.row)
    ]


def _may_stand(planted: Planted, folder: str) -> bool:
    """Tell whether a mistake may be let pass: another criterion pays for it, or points off the line leave much room."""
    sample = filled(folder).sample
    if any(planted.detail in one.spares for one in load_catalogue()[sample.practical].criteria):
        return True
    formula = load_catalogue()[sample.practical].items[planted.item].formula
    if formula is None or not any(isinstance(n, Call) and n.function in OFF_A_LINE for n in walk(formula.tree)):
        return False
    others = [one for one in filled(folder).planted if one.student == planted.student and one != planted]
    return planted.student in sample.odd_rows or any(one.lost == "value" and one.row for one in others)

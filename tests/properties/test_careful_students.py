"""A student who works with care never loses a mark: seven practicals, thousands of invented write-ups."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest
from msgspec.structs import replace

from marking.findings import Basis, Finding, MarkedSet, Outcome, Script
from marking.write_up import Weight
from rubrics.model.practical import CheckKind
from tests.apparatus import BENCHES, Key, Quantity, Sheet, careful_sheet
from tests.apparatus.figures import written
from tests.apparatus.sheets import (
    OPTIONAL_ANSWERS,
    Answer,
    Cell,
    choose_units,
    draw_habits,
    fill_in,
    work_through,
)
from tests.properties.class_sets import CLASS_SIZE, kinds_of_check, mark_sheets, told

WRITE_UPS = 250
"""For each practical, from a seed of its own."""
MANY = 2000
"""The same in the campaign, other students."""

PRACTICALS = sorted(BENCHES)


def careful_class(practical: str, seed: str, count: int) -> list[Sheet]:
    """Return the pages of *count* careful students."""
    random = Random(f"{practical} {seed}")
    make = BENCHES[practical]
    return [careful_sheet(make(random), random, f"{number:05d}", f"B{number % 12}") for number in range(count)]


def classes(practical: str, folder: Path, seed: str, count: int) -> Iterator[tuple[list[Sheet], MarkedSet]]:
    """Yield careful classes and how they were marked, until *count* write-ups have been seen."""
    for start in range(0, count, CLASS_SIZE):
        sheets = careful_class(practical, f"{seed}{start}", min(CLASS_SIZE, count - start))
        yield sheets, mark_sheets(folder, sheets)


def kind_without_marks(finding: Finding) -> CheckKind:
    """Return the check behind a finding that no criterion pays for."""
    return CheckKind.FIGURES if finding.reason.startswith("figures") else CheckKind.UNIT


def lost(sheets: list[Sheet], marked: MarkedSet) -> Iterator[Finding]:
    """Yield the findings that take something from a careful student."""
    kinds = kinds_of_check(marked.rubric)
    by_code = {sheet.student: sheet for sheet in sheets}
    for script in marked.scripts:
        sheet = by_code[script.write_up.student.code]
        for finding in script.findings:
            kind = kinds.get(finding.criterion) or kind_without_marks(finding)
            if finding.outcome is not Outcome.WITHHELD:
                continue
            # One line may stand for a whole column.
            answers = [a for a in sheet.answers.values() if a.key.item == finding.item]
            answers = [a for a in answers if finding.row in (None, a.key.row)]
            if kind in (CheckKind.VALUE, CheckKind.UNIT) and not answers:
                continue  # a box that was left empty has no mark to lose
            # The whole display of a calculator is a right value to too many figures.
            if kind is CheckKind.FIGURES and any(a.figures is None for a in answers):
                continue
            if kind in (CheckKind.VALUE, CheckKind.UNIT, CheckKind.FIGURES, CheckKind.CHOICE, CheckKind.METHOD):
                yield finding


@pytest.mark.parametrize("practical", PRACTICALS)
@pytest.mark.parametrize(
    ("seed", "count"), [("", WRITE_UPS), pytest.param("many ", MANY, marks=pytest.mark.campaign)], ids=["some", "many"]
)
def test_careful_student_loses_nothing(practical: str, seed: str, count: int, tmp_path: Path) -> None:
    """No value, unit, choice or sensible number of figures of a careful student is withheld.

    Nobody is lost on the way either, in whatever spelling, and nothing is asked of the teacher.
    """
    found: list[str] = []
    for sheets, marked in classes(practical, tmp_path, seed, count):
        found += [told(finding) for finding in lost(sheets, marked)]
        found += [remark.message for remark in marked.remarks if remark.weight is not Weight.NOTE]
        assert [script.write_up.student.code for script in marked.scripts] == [sheet.student for sheet in sheets]
        assert all(script.criteria for script in marked.scripts)
    assert found[:20] == []


def outcomes(marked: MarkedSet) -> dict[str, list[tuple[str, int | None, str, Outcome]]]:
    """Return what each student's findings came to."""
    return {
        script.write_up.student.code: [(f.item, f.row, f.criterion, f.outcome) for f in script.findings]
        for script in marked.scripts
    }


SMALLER = {
    **dict.fromkeys(("m", "metres", "meters", "metre"), ("mm", 3)),
    **dict.fromkeys(("cm", "Cm", "cms"), ("mm", 1)),
}
"""Spellings of a unit of length to millimetres, and the places that the point moves."""


def in_millimetres(sheet: Sheet) -> Sheet:
    """Return the same page with every length recorded in millimetres."""
    lengths = {reading.key for reading in sheet.bench.readings if reading.unit in ("m", "cm")}

    def changed(cell: Cell) -> Cell:
        if cell.key not in lengths:
            return cell
        number, _, inside = cell.entry.partition(" ")
        unit, power = SMALLER[cell.unit or inside]
        text = format(Decimal(number).scaleb(power), "f")
        return replace(cell, entry=f"{text} {unit}" if inside else text, unit="" if inside else unit)

    return replace(sheet, cells=tuple(changed(cell) for cell in sheet.cells))


@pytest.mark.parametrize("practical", ["density-cuboid", "wire-resistance"])
def test_lengths_in_millimetres_change_nothing(practical: str, tmp_path: Path) -> None:
    """The same lengths, recorded in m, cm or mm, come to the same outcomes."""
    sheets = careful_class(practical, "millimetres", 250)
    as_recorded = outcomes(mark_sheets(tmp_path, sheets))
    assert outcomes(mark_sheets(tmp_path, [in_millimetres(sheet) for sheet in sheets])) == as_recorded


@pytest.mark.parametrize("practical", PRACTICALS)
def test_order_of_students_changes_nothing(practical: str, tmp_path: Path) -> None:
    """Students in another order come out in that order, each with the same findings."""
    sheets = careful_class(practical, "order", 120)
    shuffled = Random(practical).sample(sheets, len(sheets))
    first, second = mark_sheets(tmp_path, sheets), mark_sheets(tmp_path, shuffled)
    assert [script.write_up.student.code for script in second.scripts] == [sheet.student for sheet in shuffled]
    without_places = [
        {s.write_up.student.code: [replace(f, source=None) for f in s.findings] for s in marked.scripts}
        for marked in (first, second)
    ]
    assert without_places[0] == without_places[1]


LATER = {
    "density-cuboid": (Key(item="V"), Key(item="rho")),
    "density-displacement": (Key(item="rho"), Key(item="rho_si")),
    "resistor-combinations": (Key(item="R_1"), Key(item="predicted_series")),
    "specific-heat-block": (Key(item="dT"), Key(item="c")),
    "specific-heat-liquid": (Key(item="dT"), Key(item="c")),
}
"""An answer to spoil, and one that rests on it."""

CLEARLY_OTHER = 0.3
"""Change of the later answer that no rounding can explain, even with readings of two figures."""


def spoiled_sheet(practical: str, random: Random, student: str) -> tuple[Sheet, bool]:
    """Return the page of a student who gets one answer three times too big, and works on from it with care.

    The flag tells whether that makes a clear difference to the later answer.
    """
    bench = BENCHES[practical](random)
    habits = draw_habits(random)
    spoiled, later = LATER[practical]
    units = choose_units(bench, random)

    def spoil(answer: Answer) -> Answer:
        if answer.key != spoiled:
            return answer
        text = written(answer.working.exact() * 3, 3)
        return replace(answer, quantity=Quantity(value=float(text), unit=answer.unit), text=text, figures=3)

    sound = work_through(bench, random, habits, units)
    answers = work_through(bench, random, habits, units, spoil)
    ratio = answers[later].working.exact() / sound[later].working.exact()
    shown = {key: answer for key, answer in answers.items() if key == later or key.item not in OPTIONAL_ANSWERS}
    return fill_in(bench, random, student, "", habits, shown), abs(ratio - 1) > CLEARLY_OTHER


@pytest.mark.parametrize("practical", sorted(LATER))
def test_what_follows_from_a_wrong_answer_is_carried_forward(practical: str, tmp_path: Path) -> None:
    """An answer that follows from an earlier wrong one earns its mark, and the finding says on what basis."""
    random = Random(f"{practical} carried")
    spoiled, later = LATER[practical]
    drawn = [spoiled_sheet(practical, random, f"{number:05d}") for number in range(200)]
    marked = mark_sheets(tmp_path, [sheet for sheet, is_clear in drawn if is_clear])
    lines = [finding for script in marked.scripts for finding in value_lines(script, marked)]
    first = [finding for finding in lines if finding.item == spoiled.item]
    assert [told(finding) for finding in first if finding.outcome is Outcome.AWARDED][:20] == []
    second = [finding for finding in lines if finding.item == later.item]
    wanted = (Outcome.AWARDED, Basis.CARRIED_FORWARD)
    assert [told(finding) for finding in second if (finding.outcome, finding.basis) != wanted][:20] == []
    assert len(first) == len(second) > 100


def value_lines(script: Script, marked: MarkedSet) -> list[Finding]:
    """Return the findings that judge a value."""
    kinds = kinds_of_check(marked.rubric)
    return [finding for finding in script.findings if kinds.get(finding.criterion) is CheckKind.VALUE]

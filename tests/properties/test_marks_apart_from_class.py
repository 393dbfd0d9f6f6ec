"""A guess never reaches a mark: a student has the same marks alone, and in whatever class."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.findings import Outcome, Script
from tests.apparatus import BENCHES, Sheet
from tests.benchmarks.cohorts import cohort
from tests.checking.rows import mark, mark_class
from tests.properties.class_sets import mark_sheets

LOOKED_AT = 8
"""Students of each practical, most of them with a slip."""
CLASSMATES = 50


def decided(script: Script) -> list[tuple[str, Outcome, int | None]]:
    """Return what each criterion came to."""
    return [(one.criterion.code, one.outcome, one.marks) for one in script.criteria]


def classmates(practical: str, seed: str, *, levelled: bool) -> list[Sheet]:
    """Return others of the same practical, whose slips move the shares of causes."""
    pages = cohort(practical, CLASSMATES, seed, levelled=levelled)
    return [replace(page.sheet, student=f"{seed}{page.sheet.student}") for page in pages]


@pytest.mark.parametrize("practical", sorted(BENCHES))
def test_same_marks_alone_and_in_two_classes(practical: str, tmp_path: Path) -> None:
    """Every student of a few is marked alone and beside two sets of classmates, and comes to the same marks."""
    some = [page.sheet for page in cohort(practical, LOOKED_AT, "looked at", levelled=True)]
    alone = {}
    for sheet in some:
        (script,) = mark_sheets(tmp_path, [sheet]).scripts
        alone[sheet.student] = decided(script)
    for seed, levelled in (("A", True), ("B", False)):
        for script in mark_sheets(tmp_path, [*some, *classmates(practical, seed, levelled=levelled)]).scripts:
            code = script.write_up.student.code
            assert code not in alone or decided(script) == alone[code], (seed, code)


PAIR = """
    V_1,,1.0,V
    I_1,,100,mA
    R_1,,100,mA
    V_2,,2.0,V
    I_2,,100,mA
    R_2,,20.0,Ω
"""
"""R₁ holds the current."""


def test_a_current_in_the_place_of_a_resistance(tmp_path: Path) -> None:
    """100 mA for 10 Ω is one slip, among 60 classmates who left mA unconverted as well as alone."""
    del tmp_path
    alone = mark("resistor-combinations", PAIR)
    unconverted = {
        f"M{n:02}": f"V_1,,{1 + n / 50:.2f},V\nI_1,,100,mA\nR_1,,{(1 + n / 50) / 100:.4f},Ω" for n in range(60)
    }
    among = mark_class("resistor-combinations", {"S001": PAIR, **unconverted}).scripts[0]
    assert decided(among) == decided(alone)
    units = [one for one in alone.findings if one.item == "R_1" and one.reason == "unit-of-slip"]
    assert [one.outcome for one in units] == [Outcome.FOR_TEACHER]

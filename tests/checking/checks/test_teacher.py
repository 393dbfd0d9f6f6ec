"""What only a teacher can see waits for the teacher, and nothing else does."""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind
from tests.checking.rows import CUBOID, HEAT, WIRE, found, mark

WRITE_UPS = {"specific-heat-block": HEAT, "density-cuboid": CUBOID, "wire-resistance": WIRE + "\ngradient,,4.29,Ω/m"}


@pytest.mark.parametrize("practical", WRITE_UPS)
def test_a_faultless_write_up_waits_for_nothing_else(practical: str) -> None:
    """In a faultless write-up only the criteria of the teacher are open, and all others have full marks."""
    rubric = load_catalogue()[practical]
    script = mark(practical, WRITE_UPS[practical])
    on_sight = (CheckKind.TEACHER, CheckKind.IDEAS, CheckKind.SCALE, CheckKind.LINE, CheckKind.NEAREST)
    theirs = {criterion.code for criterion in rubric.criteria if criterion.check in on_sight}
    assert {one.criterion.code for one in script.criteria if one.marks is None} == theirs
    assert all(one.marks == one.criterion.marks for one in script.criteria if one.criterion.code not in theirs)
    waiting = [one for one in script.findings if one.outcome is Outcome.FOR_TEACHER]
    assert sorted(one.criterion for one in waiting) == sorted(theirs)
    assert script.pending == len(theirs)


def test_teacher_sees_the_point_and_what_was_written() -> None:
    """The line names what earns the mark and shows the entry that it is about."""
    (finding,) = found("specific-heat-block", HEAT, "R5")
    assert finding.facts["point"] == "The highest temperature after switching off was used"
    assert (finding.item, finding.entry, finding.marks, finding.out_of) == ("when_read", "", None, 1)


def test_teacher_criterion_without_an_item_is_about_none() -> None:
    """A drawing belongs to no item of the sheet."""
    (finding,) = found("wire-resistance", WIRE, "G1")
    assert (finding.item, finding.row, finding.entry, finding.cause) == ("", None, "", "none")

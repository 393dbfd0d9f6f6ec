"""A teacher's tick decides what waits for the teacher; without one the mark waits, and is never zero."""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from tests.checking.rows import CUBOID, HEAT, found, mark, mark_class, marks


@pytest.mark.parametrize(
    ("tick", "given"),
    [
        ("✓", 1),
        ("1", 1),
        ("yes", 1),
        ("1.0", 1),
        ("x", 0),
        ("0", 0),
        ("No", 0),
        ("", None),
        ("-", None),
        ("2", None),
        ("0.5", None),
        ("maybe", None),
        ("-1", None),
    ],
)
def test_a_tick_decides_and_anything_else_waits(tick: str, given: int | None) -> None:
    """A tick gives or withholds the marks; a blank, a mark over the most and half a mark leave it open."""
    script = mark("specific-heat-block", f"{HEAT}\nV1,,{tick},")
    assert marks(script)["V1"] == given
    assert (script.pending, script.out_of) == (1 if given is not None else 2, 12)


def test_a_ticked_criterion_says_who_decided() -> None:
    """The finding says that the teacher decided, and keeps what was proposed."""
    lines = f"{HEAT}\nwhy_off,,heat was lost so c is too high,\nV1,,x,"
    (finding,) = found("specific-heat-block", lines, "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.WITHHELD, "teacher-ticked", 0)
    assert finding.facts["proposal"] == "awarded"


def test_a_proposal_gives_no_mark() -> None:
    """Without a tick the best answer waits, with the proposal, the words it rests on and its group."""
    (finding,) = found("specific-heat-block", f"{HEAT}\nwhy_off,,heat was lost so c is too high,", "V1")
    assert (finding.outcome, finding.reason, finding.marks) == (Outcome.FOR_TEACHER, "proposed-awarded", None)
    assert (finding.facts["idea"], finding.facts["group"]) == ("loss, direction", "loss direction")
    assert finding.facts["highlight"] == "heat … lost … c … high"


def test_what_is_worked_out_is_not_overridden() -> None:
    """A tick against a mark that was worked out is not used, and the teacher is told."""
    marked = mark_class("density-cuboid", {"S001": f"{CUBOID}\ntick F1,,x,", "S002": f"{CUBOID}\ntick F1,,✓,"})
    assert [marks(script)["F1"] for script in marked.scripts] == [1, 1]
    (remark,) = [one for one in marked.remarks if one.item == "F1"]
    assert remark.student == "S001"
    assert "not used" in remark.message

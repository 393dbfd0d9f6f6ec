"""Worked checks: right answers stand, and each usual slip is withheld for a cause that can be named."""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from rubrics.load import load_catalogue
from tests.catalogue.worked import COMPUTED, Slip, finding_of, marked, worked_checks

_SLIPS = [
    pytest.param(one.name, slip, id=f"{one.name}: {slip.name}")
    for one in worked_checks().values()
    for slip in one.slips
]


def test_every_practical_has_a_worked_check() -> None:
    """No practical of the catalogue goes without a worked check."""
    assert {one.practical for one in worked_checks().values()} == set(load_catalogue())


@pytest.mark.parametrize("name", worked_checks())
def test_right_answers_stand(name: str) -> None:
    """A write-up without a fault has every mark that the program decides, and nothing is withheld."""
    script, _ = marked(name)
    computed = [one for one in script.criteria if one.criterion.check in COMPUTED]
    assert {one.criterion.code: one.marks for one in computed} == {
        one.criterion.code: one.criterion.marks for one in computed
    }
    assert not [one for one in script.findings if one.outcome is Outcome.WITHHELD]


@pytest.mark.parametrize("name", worked_checks())
def test_no_answer_is_left_out(name: str) -> None:
    """A worked check has every answer that a criterion of its practical computes."""
    script, _ = marked(name)
    computed = [one.criterion for one in script.criteria if one.criterion.check in COMPUTED]
    assert {item for one in computed for item in one.items} <= {item for item, _ in worked_checks()[name].boxes}


@pytest.mark.parametrize(("name", "slip"), _SLIPS)
def test_slip_is_named(name: str, slip: Slip) -> None:
    """A slip loses the mark and is given one of its causes; what comes out right all the same is awarded."""
    _, scripts = marked(name)
    rubric = worked_checks()[name].rubric
    for row in slip.rows:
        finding = finding_of(scripts[slip.name], rubric, slip.item, row)
        assert finding.outcome is slip.outcome
        assert finding.cause in slip.causes

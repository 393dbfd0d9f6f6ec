"""Short answers that the rubric lets decide: what is sure, what is empty, what was left out."""

from __future__ import annotations

import pytest

from tests.checking.checks.drawn_wire import WIRE
from tests.checking.rows import found


@pytest.mark.parametrize(
    ("lines", "outcome", "reason"),
    [
        pytest.param("improve,,switch off between readings,", "awarded", "answer-sure", id="sure"),
        pytest.param("improve,,be more careful,", "withheld", "words-empty", id="says nothing"),
        pytest.param("improve,,put a cushion below the table,", "for-teacher", "unsure", id="says something else"),
        pytest.param("improve,,,\nwhy_off,,the wire got hot so R is too high,", "withheld", "no-words", id="left out"),
        pytest.param("why_off,,the wire got hot so R is too high,", "for-teacher", "teacher-looks", id="has no cell"),
        pytest.param("improve,,,\nwhy_off,,,", "for-teacher", "teacher-looks", id="no words at all: on paper"),
    ],
)
def test_an_improvement(lines: str, outcome: str, reason: str) -> None:
    """What may stand on paper, or says something, is for the teacher; classmates play no part in it."""
    (finding,) = found("wire-resistance", f"{WIRE}\ngradient,,4.42,Ω/m\n{lines}", "V2")
    assert (finding.outcome, finding.reason) == (outcome, reason)

"""Worked examples of textbooks and guides, each through the main job: the printed answer stands, a slip does not.

Sources and how each value was verified: ``data/worked-examples.toml``.
"""

from __future__ import annotations

from typing import Any

import pytest

from marking.findings import Outcome
from tests.published.main_path import Row, examples, split, value_finding

EXAMPLES = examples("worked-examples.toml")
each = pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one["id"])


def answered(example: dict[str, Any], entry: str) -> list[Row]:
    """Return the rows of an example with *entry* for an answer."""
    return [*split(example["rows"]), (example["answer"], "", entry, example["unit"])]


@each
def test_published_answer_is_awarded(example: dict[str, Any]) -> None:
    """The answer that the book prints for its own numbers earns the mark."""
    finding = value_finding(example["rubric"], answered(example, example["published"]), example["answer"])
    assert finding.outcome is Outcome.AWARDED


@each
def test_planted_slip_is_withheld(example: dict[str, Any]) -> None:
    """What a usual mistake makes of the same numbers does not earn it."""
    finding = value_finding(example["rubric"], answered(example, example["slip"]), example["answer"])
    assert finding.outcome is Outcome.WITHHELD


@each
def test_expected_value_rounds_to_the_published_one(example: dict[str, Any]) -> None:
    """What the finding says the readings lead to is the printed answer, to half a unit of its last digit."""
    finding = value_finding(example["rubric"], answered(example, example["slip"]), example["answer"])
    printed = example["published"]
    mantissa, _, power = printed.partition("e")
    places = len(mantissa.partition(".")[2])
    unit = 10.0 ** (int(power or 0) - places) * (10 if printed in ROUGH else 1)
    assert finding.expected == pytest.approx(float(printed), abs=0.5 * unit * (1 + 1e-9))


ROUGH = {"690"}
"""Printed as good to two figures."""


def test_there_are_enough_of_them() -> None:
    """No example is lost under another's name."""
    assert len({one["id"] for one in EXAMPLES}) == len(EXAMPLES) > 60

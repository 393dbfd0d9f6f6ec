"""The number of figures is told only where what was written has just one."""

from __future__ import annotations

import pytest

from tests.checking.rows import HEAT, changed, found


@pytest.mark.parametrize(
    ("entry", "figures"),
    [("973", "3"), ("970", None), ("9.7e2", "2"), ("970.", "3")],
    ids=["973", "970", "9.7e2", "970."],
)
def test_zeros_at_the_end_of_a_whole_number_are_not_counted_for_sure(entry: str, figures: str | None) -> None:
    """970 may have two figures or three: it is said to suit the readings, and no number is named."""
    (line,) = [
        one for one in found("specific-heat-block", changed(HEAT, c=f"{entry}|J/(kg °C)")) if "figures" in one.reason
    ]
    assert (line.reason, line.facts.get("figures")) == ("figures-right", figures)

"""A digit left out or written twice, of a reading, of an earlier answer, and of the finished answer."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.causes.slips.miscounted_slips import miscounted_slips
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import told, wrong_answers
from tests.checking.rows import found

BOX = "l,,{l},cm\nw,,{w},cm\nh,,{h},cm\nm,,{m},g\nV,,{V},cm³"
SURE = 0.8


def box(volume: str, *, l: str = "12.4", w: str = "3.7", h: str = "20.6", m: str = "812.5") -> str:  # noqa: E741
    """Return the readings of a cuboid with one answer for its volume."""
    return BOX.format(l=l, w=w, h=h, m=m, V=volume)


def ways(name: str, **readings: str) -> set[str]:
    """Return all that a reading of the cuboid may be miscounted as."""
    wrong = wrong_answers("density-cuboid", "V", box("1.000", **readings))
    details = [one.describe(0)[0] for one in miscounted_slips(wrong) if one.share[0] > 0]
    return {one.split(" ")[1] for one in details if one.startswith(f"{name}: ")}


def test_every_digit_once() -> None:
    """Before the point the others move up, behind it they only grow more or fewer; no point alone has moved."""
    assert ways("l") == {"1.4", "2.4", "112.4", "122.4", "12.44"}
    assert ways("h") == {"0.6", "2.6", "220.6", "200.6", "20.66"}
    assert ways("w", w="33.5") == {"3.5", "333.5", "33.55"}
    assert ways("w", w="0.50") == {"0.550"}
    assert ways("m", m="") == set()


def test_shares_are_those_of_one_reading_among_all() -> None:
    """However many digits there are, all ways together weigh the same."""
    wrong = wrong_answers("density-cuboid", "V", box("1.000"), box("1.000", l="124", h="20.613"))
    total = np.sum([one.share for one in miscounted_slips(wrong)], axis=0)
    assert total == pytest.approx([0.09, 0.09])


BLOCK = "m,,0.846,kg\nT_start,,21.5,°C\nT_end,,43.7,°C\nE,,17350,J\ndT,,22.2,°C\nc,,{},J/(kg °C)"
ROW = "V,1,0.84,V\nI,1,0.37,A\nR,1,{},ohm"


@pytest.mark.parametrize(
    ("practical", "lines", "item", "detail"),
    [
        ("density-cuboid", box("8567"), "V", "l: 112.4 for 12.4"),
        ("density-cuboid", box("119.3"), "V", "h: 2.6 for 20.6"),
        ("density-cuboid", box("45.1"), "V", "V: 945.1"),
        ("density-cuboid", box("9945"), "V", "V: 945"),
        ("specific-heat-block", BLOCK.format("9322"), "c", "dT: 2.2 for 22.2"),
        ("specific-heat-block", BLOCK.format("94"), "c", "c: 924"),
        ("specific-heat-block", BLOCK.format("6248"), "c", "E: 117350 for 17350"),
    ],
)
def test_it_is_told(practical: str, lines: str, item: str, detail: str) -> None:
    """The figures of an answer that is far off show which number it was."""
    finding = next(one for one in found(practical, lines) if one.item == item and one.explanations)
    assert (finding.cause, finding.explanations[0].detail) == (Cause.COPYING, detail)
    assert (finding.confidence or 0.0) >= SURE


@pytest.mark.parametrize(
    ("practical", "lines", "item", "cause"),
    [
        # A zero more or less only moves the point.
        ("specific-heat-block", BLOCK.format("9238"), "c", "power-of-ten"),
        # The last decimal was cut off, and not forgotten.
        ("wire-resistance", ROW.format("2.80"), "R", "rounded-early"),
    ],
)
def test_another_cause_is_told(practical: str, lines: str, item: str, cause: str) -> None:
    """What a commoner slip prints as well is called by its name."""
    assert next(iter(told(practical, lines, item))) == cause


def test_nothing_is_told_of_an_answer_that_no_digit_prints() -> None:
    """Nobody can know."""
    chances = told("density-cuboid", box("351.6"), "V")
    assert chances.get(Cause.COPYING, 0.0) < 0.1
    assert chances[Cause.UNEXPLAINED] >= SURE

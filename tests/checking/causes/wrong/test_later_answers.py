"""What the answers worked out next tell of a wrong one."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.causes.wrong import later_answers
from marking.checking.causes.wrong.later_answers import FROM_PAPER, OTHERWISE, PEN_FROM_PAPER, RIGHT_ANYHOW
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import told, wrong_answers

CUBOID = "l,,2.00,cm\nw,,3.00,cm\nh,,5.00,cm\nm,,81.0,g\nV,,{},cm³\nrho,,{},g/cm³"
"""30.0 cm³ and 2.70 g/cm³ are right."""
PAPER = OTHERWISE + (1 - OTHERWISE) * FROM_PAPER
CALCULATOR = OTHERWISE + (1 - OTHERWISE) * (1 - FROM_PAPER)


@pytest.mark.parametrize(
    ("volume", "density", "held", "chance"),
    [
        ("31", "2.61", 31.0, 1.0),  # both lead to it
        ("31", "2.61", 31.4, PAPER),
        ("31", "2.58", 31.4, CALCULATOR),
        ("31", "2.58", 31.0, OTHERWISE),
        ("31", "9.99", 31.4, OTHERWISE),
        ("31", "", 31.4, 1.0),
    ],
    ids=["both", "from paper", "from the calculator", "from neither", "a slip of its own", "no later answer"],
)
def test_what_was_worked_on_with(volume: str, density: str, held: float, chance: float) -> None:
    """The next answer comes from the number on the page, from the one in the calculator, or from elsewhere."""
    wrong = wrong_answers("density-cuboid", "V", CUBOID.format(volume, density))
    later = later_answers(wrong)
    assert later is not None
    assert later.chance(np.array([[held]]))[0, 0] == pytest.approx(chance)


def test_a_slip_of_the_pen_is_followed_from_paper() -> None:
    """Who wrote 13.0 for 30.0 and went on with it read it off the page."""
    later = later_answers(wrong_answers("density-cuboid", "V", CUBOID.format("13.0", "6.23")))
    assert later is not None
    found = later.chance(np.array([30.0]), is_pen=True)
    assert found == pytest.approx(OTHERWISE + (1 - OTHERWISE) * PEN_FROM_PAPER)


def test_any_number_that_prints_it() -> None:
    """More figures of the number than were written are found in a part of what it stands for."""
    coarse = later_answers(wrong_answers("density-cuboid", "V", CUBOID.format("31", "2.58")))
    same = later_answers(wrong_answers("density-cuboid", "V", CUBOID.format("31.4", "2.6")))
    assert coarse is not None
    assert same is not None
    width = 81.0 / 2.575 - 81.0 / 2.585
    assert coarse.chance_of_any() == pytest.approx(OTHERWISE + (1 - OTHERWISE) * (1 - FROM_PAPER) * width, rel=1e-3)
    assert same.chance_of_any() == pytest.approx(1.0)


def test_a_last_answer_has_none() -> None:
    """Nothing is worked out from c."""
    lines = "m,,0.998,kg\nT_start,,20.0,°C\nT_end,,41.0,°C\nE,,20400,J\ndT,,21.0,°C\nc,,1100,J/(kg °C)"
    assert later_answers(wrong_answers("specific-heat-block", "c", lines)) is None


def test_an_error_for_no_reason_may_be_one_of_the_pen() -> None:
    """A density from the right volume beside 31.3 speaks for the pen, and not for one digit that was changed."""
    right, wrong = (
        later_answers(wrong_answers("density-cuboid", "V", CUBOID.format("31.3", rho))) for rho in ("2.70", "9")
    )
    assert right is not None
    assert wrong is not None
    assert right.chance_unexplained() == pytest.approx(RIGHT_ANYHOW)
    assert wrong.chance_unexplained() == pytest.approx(OTHERWISE)
    assert right.chance(np.array([30.0]), is_pen=True)[0] < 3 * RIGHT_ANYHOW


@pytest.mark.parametrize("volume", ["13.0", "3.00"])
def test_the_right_number_went_on(volume: str) -> None:
    """A density that follows from the right volume shows that the volume was only written wrongly."""
    alone = told("density-cuboid", CUBOID.format(volume, ""), "V")
    beside = told("density-cuboid", CUBOID.format(volume, "2.70"), "V")
    assert beside.get(Cause.UNEXPLAINED, 0.0) <= alone.get(Cause.UNEXPLAINED, 0.0)

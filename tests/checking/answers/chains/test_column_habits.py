"""What most rows of a column show of how it was worked out holds for its other rows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers.chains.column_habits import FEWEST_ROWS, far_in_a_plain_column, not_theirs
from marking.checking.answers.written.printed_answers import Printed
from rubrics.load import load_catalogue
from rubrics.model import Item
from tests.checking.answers.test_judging import Judgement, judgement
from tests.checking.rows import in_table

TROLLEY, OSMOSIS = "trolley-force", "osmosis"
RIGHT, NEAR, WRONG = Judgement.RIGHT, Judgement.NEAR, Judgement.WRONG
MASSES = in_table(m_h="0.020 0.040 0.060 0.080 0.100 kg")


def worth(practical: str, text: str, item: str) -> list[Judgement]:
    """Return the judgement of each row of a column."""
    return [judgement(practical, text, item, row) for row in range(1, 6)]


@pytest.mark.parametrize(
    ("forces", "wanted"),
    [
        ("0.196 0.392 0.589 0.785 0.981", [RIGHT] * 5),
        ("0.200 0.400 0.600 0.800 1.00", [RIGHT] * 5),
        ("0.196 0.392 0.600 0.785 0.981", [RIGHT, RIGHT, NEAR, RIGHT, RIGHT]),  # 10 N/kg in one row of 9.81
        ("0.196 0.392 0.598 0.785 0.981", [RIGHT, RIGHT, WRONG, RIGHT, RIGHT]),  # between two values of g
        ("0.196 0.392 0.600 0.800 0.981", [RIGHT, RIGHT, NEAR, NEAR, RIGHT]),
        ("0.196 0.400 0.600 0.800 0.981", [RIGHT] * 5),  # 10 in most rows: 9.81 is the value to print, and stands
    ],
)
def test_g_is_the_same_in_every_row(forces: str, wanted: list[Judgement]) -> None:
    """One value of g down a column: another waits, and what lies between the two is wrong."""
    assert worth(TROLLEY, MASSES + "\n" + in_table(F=f"{forces} N"), "F") == wanted


@pytest.mark.parametrize(
    ("fifth", "wanted"),
    [("-11.5", RIGHT), ("-11.4", RIGHT), ("-11.2", NEAR), ("-10.9", WRONG), ("-12.1", WRONG)],
)
def test_no_hidden_figures_where_the_other_rows_have_none(fifth: str, wanted: Judgement) -> None:
    """Masses typed as means may hide figures; not in one row of six, farther than three in the last place."""
    table = in_table(
        m_1="2.52 2.47 2.55 2.50 2.44 2.58 g",
        m_2="2.74 2.58 2.52 2.33 2.16 2.15 g",
        change=f"+8.73 +4.45 -1.18 -6.80 {fifth} -16.7 %",
    )
    assert worth(OSMOSIS, table, "change")[4] is wanted


def _column(values: list[float]) -> Printed:
    number = np.array([values])
    return Printed(
        number=number,
        factor=np.ones_like(number),
        offset=np.zeros_like(number),
        last=np.full(number.shape, -2),
        finest=np.full(number.shape, -2),
        most_figures=np.full(number.shape, 3),
    )


def _force() -> Item:
    return load_catalogue()[TROLLEY].items["F"]


@settings(deadline=None)
@given(st.integers(0, 6), st.integers(0, 6))
def test_most_rows_decide(first: int, second: int) -> None:
    """Another way is not theirs where at least three and more than half of the rows show the first, and not it."""
    if not first + second:
        return
    one = _column([1.00] * first + [2.00] * second)
    (by_first, by_second) = not_theirs(_force(), one, [[np.array([[1.0]])], [np.array([[2.0]])]])
    assert bool(by_second[0, 0]) == (first >= FEWEST_ROWS and first > second)
    assert bool(by_first[0, 0]) == (second >= FEWEST_ROWS and second > first)


@pytest.mark.parametrize(
    ("plain", "others", "is_far"),
    [(3, 1, True), (4, 2, True), (2, 1, False), (3, 2, False)],
    ids=["three of four", "four of six", "two are no habit", "three of five"],
)
def test_how_many_rows_are_a_plain_column(plain: int, others: int, *, is_far: bool) -> None:
    """At least three rows and two in three; and only what is more than three in the last place away."""
    values = [np.array([[1.0] * (plain + others)])]
    found = far_in_a_plain_column(_force(), _column([1.00] * plain + [1.04] * others), values)
    assert found[0].tolist() == [False] * plain + [is_far] * others
    near = far_in_a_plain_column(_force(), _column([1.00] * plain + [1.03] * others), values)
    assert not near.any()

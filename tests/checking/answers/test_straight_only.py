"""A spring past its limit: the line of the straight part is asked for, with or without an odd point of it."""

from __future__ import annotations

import numpy as np
import pytest

from marking.findings import Outcome
from tests.checking.answers.test_judging import Judgement, judgement
from tests.checking.fits.test_straight_parts import FORCE, past_a_limit
from tests.checking.rows import found, in_table, mark_class

RIGHT, WRONG, NEAR_LINE = Judgement.RIGHT, Judgement.WRONG, Judgement.NEAR_LINE


def spring(extensions: np.ndarray[tuple[int, int], np.dtype[np.float64]], k: str) -> str:
    """Return a write-up of a spring of 0.1 m."""
    columns = in_table(
        M=" ".join(f"{force / 9.81:.3f}" for force in FORCE[0]) + " kg",
        L=" ".join(f"{0.1 + one:.4f}" for one in extensions[0]) + " m",
        F=" ".join(f"{force:.2f}" for force in FORCE[0]) + " N",
        x=" ".join(f"{one:.4f}" for one in extensions[0]) + " m",
    )
    return f"L_0,,0.1000,m\n{columns}\nk,,{k},N/m"


@pytest.mark.parametrize(
    ("straight", "k", "wanted"),
    [
        (6, "25.0", RIGHT),
        (6, "24.2", RIGHT),
        (6, "17.7", WRONG),  # all eight points
        (5, "25.0", RIGHT),
        (5, "12.2", WRONG),  # all eight points
        (8, "25.0", RIGHT),
        (8, "21.0", WRONG),
    ],
)
def test_points_past_the_limit_are_left_out(straight: int, k: str, wanted: Judgement) -> None:
    """The straight part gives 25 N/m; a line through every point is another one."""
    assert judgement("spring-extension", spring(past_a_limit(straight), k), "k") is wanted


def test_both_lines_of_the_straight_part_stand() -> None:
    """With its odd point and without it."""
    x = past_a_limit(7)
    x[0, 3] += 0.012
    with_it, without_it = (
        f"{np.polyfit(one, two, 1)[0]:.1f}"
        for one, two in (
            (x[0, :7], FORCE[0, :7]),
            (np.delete(x[0, :7], 3), np.delete(FORCE[0, :7], 3)),
        )
    )
    assert {judgement("spring-extension", spring(x, k), "k") for k in (with_it, without_it)} == {RIGHT}


def test_rows_past_the_limit_are_marked_like_the_others() -> None:
    """Only the line leaves them out: their extensions are judged, and a wrong one of them is withheld."""
    page = spring(past_a_limit(6), "25.0")
    assert {one.outcome for one in found("spring-extension", page, "P2")} == {Outcome.AWARDED}
    rows = [line.split(",") for line in page.split("\n")]
    spoiled = "\n".join(",".join([*row[:2], "0.9", row[3]] if row[:2] == ["x", "8"] else row) for row in rows)
    told = [one.outcome for one in found("spring-extension", spoiled, "P2") if one.row == 8]
    assert told == [Outcome.WITHHELD]


def test_a_spring_past_its_limit_does_not_touch_its_neighbours() -> None:
    """Alone or beside one that kept to proportion: the same marks."""
    pages = {"A": spring(past_a_limit(5), "12.2"), "B": spring(past_a_limit(8), "25.0")}
    together = {
        script.write_up.student.code: [mark.marks for mark in script.criteria]
        for script in mark_class("spring-extension", pages).scripts
    }
    for code, page in pages.items():
        (alone,) = mark_class("spring-extension", {code: page}).scripts
        assert [mark.marks for mark in alone.criteria] == together[code]

"""A gradient beside the two points that its student read off the line."""

from __future__ import annotations

import pytest

from marking.checking.answers.judged import Judgement
from tests.checking.answers.test_limits_and_zeros import judgement
from tests.checking.rows import in_table

FORCES = in_table(
    M="100 200 300 400 500 600 g",
    L="80 119 157 196 234 273 mm",
    F="0.981 1.96 2.94 3.92 4.91 5.89 N",
    x="40 79 117 156 194 233 mm",
)
"""A spring 40 mm long; its fitted line has 25.4 N/m."""
SHOWN = "line_x1,,50,mm\nline_y1,,1.22,N\nline_x2,,220,mm\nline_y2,,5.55,N"
"""Two points of a line of 25.5 N/m."""


@pytest.mark.parametrize(
    ("k", "shown", "wanted"),
    [
        ("25.4", "", Judgement.RIGHT),
        ("24.4", "", Judgement.RIGHT),
        ("25.4", SHOWN, Judgement.RIGHT),
        ("25.5", SHOWN, Judgement.RIGHT),
        ("25.0", SHOWN, Judgement.RIGHT),
        ("24.4", SHOWN, Judgement.NEAR_LINE),
        ("26.5", SHOWN, Judgement.NEAR_LINE),
        ("23.5", "", Judgement.NEAR_LINE),
        ("23.5", SHOWN, Judgement.WRONG),
        ("24.4", SHOWN.replace("220", "50"), Judgement.RIGHT),
        ("24.4", SHOWN.replace("5.55", ""), Judgement.RIGHT),
    ],
    ids=[
        "the-fitted-line",
        "a-line-that-nobody-has-seen",
        "the-fitted-line-beside-points",
        "the-points-as-they-stand",
        "read-again-elsewhere",
        "off-its-own-points-below",
        "off-its-own-points-above",
        "far-for-a-drawn-line",
        "far-and-off-its-own-points",
        "points-one-above-the-other-show-no-line",
        "three-coordinates-show-no-line",
    ],
)
def test_a_line_that_is_shown_is_the_one_that_counts(k: str, shown: str, wanted: Judgement) -> None:
    """As far as a hand may draw beside the points is asked only where no points of the line are in writing."""
    lines = f"L_0,,40,mm\n{FORCES}\n{shown}\nk,,{k},N/m"
    assert judgement("spring-extension", lines, "k") is wanted


LENS = in_table(
    u="20.0 25.0 30.0 40.0 60.0 cm",
    v="58.7 37.0 31.4 23.9 20.0 cm",
    inv_u="0.0500 0.0400 0.0333 0.0250 0.0167 1/cm",
    inv_v="0.0170 0.0270 0.0318 0.0418 0.0500 1/cm",
    f_row="14.9 14.9 15.3 15.0 15.0 cm",
)


@pytest.mark.parametrize(
    ("rows", "f", "wanted"),
    [
        (LENS, "15.0", Judgement.RIGHT),
        (LENS, "15.3", Judgement.NEAR),
        (LENS.replace("f_row", "unknown"), "15.3", Judgement.RIGHT),
        (f"{LENS}\nline_x1,,0.020,1/cm", "15.3", Judgement.RIGHT),
    ],
    ids=["the-mean", "the-third-row-alone", "no-rows-that-it-may-be-one-of", "a-line-is-shown"],
)
def test_one_row_is_no_mean_though_a_line_may_give_it(rows: str, f: str, wanted: Judgement) -> None:
    """Beside rows in writing, and with no line shown, what one of them prints is asked about."""
    assert judgement("lens-focal-length", f"{rows}\nf,,{f},cm", "f") is wanted

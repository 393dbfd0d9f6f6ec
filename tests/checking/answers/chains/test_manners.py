"""What is seen of a student's habits in the answers that they wrote, and what follows from it."""

from __future__ import annotations

import pytest

from tests.checking.answers.test_judging import Judgement, judgement

RIGHT, NEAR, WRONG = Judgement.RIGHT, Judgement.NEAR, Judgement.WRONG

BALL = "object,,sphere,\nd,1,2.04,cm\nd,2,2.04,cm\nd,3,2.03,cm\nm,,34.9,g\n"
"""A mean of 2.0367 cm, a radius of 1.0183 cm and a volume of 4.423 cm³, or 4.44 from 1.02 cm."""


@pytest.mark.parametrize(
    ("steps", "volume", "wanted"),
    [
        ("r,,1.01,cm\n", "4.37", RIGHT),
        ("r,,1.02,cm\n", "4.37", NEAR),
        ("r,,1.02,cm\n", "4.44", RIGHT),
        ("r,,1.02,cm\n", "4.43", RIGHT),
        ("", "4.36", RIGHT),
        ("d_mean,,2.04,cm\nr,,1.02,cm\n", "4.36", WRONG),
        ("r,,1.01829,cm\n", "4.36", RIGHT),
        ("r,,1.02,cm\n", "4.20", WRONG),
    ],
    ids=[
        "who-cuts",
        "who-rounds",
        "as-written",
        "or-unrounded",
        "not-known",
        "a-mean-rounded-up",
        "a-display-says-nothing",
        "not-near",
    ],
)
def test_who_rounds_does_not_cut(steps: str, volume: str, wanted: Judgement) -> None:
    """1.0183 written as 1.02 was rounded up: 1.33 × 1.05, cut off to 1.39, and × 3.14 is not how they work."""
    assert judgement("density-cylinder-sphere", f"{BALL}{steps}V_ball,,{volume},cm³\n", "V_ball") is wanted

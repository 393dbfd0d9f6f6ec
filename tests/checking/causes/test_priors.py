"""The shares that causes start with, and what a class adds to them."""

from __future__ import annotations

import pytest

from marking.checking.causes.priors import FEWEST_TO_LEARN, kind_of_answer, learn, load_priors, pseudo_answers
from marking.findings import Cause
from rubrics.load import load_catalogue


@pytest.mark.parametrize("kind", sorted(load_priors()))
def test_each_column_is_whole(kind: str) -> None:
    """Shares add up to one, and something is always left unexplained."""
    shares = load_priors()[kind]
    assert sum(shares.values()) == pytest.approx(1.0)
    assert shares[Cause.UNEXPLAINED] >= 0.05


@pytest.mark.parametrize(("count", "is_learned"), [(FEWEST_TO_LEARN - 1, False), (FEWEST_TO_LEARN, True)])
def test_a_class_is_learned_from_thirty_wrong_answers_on(count: int, is_learned: bool) -> None:
    """One answer fewer leaves the shares as they are; other kinds are never touched."""
    starting = load_priors()
    learned = learn(starting, {"chain": {Cause.SIGN: float(count)}})
    assert (learned["chain"] is starting["chain"]) is not is_learned
    assert learned["line"] is starting["line"]


def test_what_is_learned_is_weighed_with_the_start() -> None:
    """Sixty answers of one cause against the pseudo-answers of the start; the shares stay whole."""
    weight = pseudo_answers()
    learned = learn(load_priors(), {"chain": {Cause.SIGN: 60.0}})["chain"]
    assert learned[Cause.SIGN] == pytest.approx((weight * load_priors()["chain"][Cause.SIGN] + 60) / (weight + 60))
    assert sum(learned.values()) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("practical", "item", "kind"),
    [
        ("resistor-combinations", "R_1", "quotient"),
        ("specific-heat-block", "c", "chain"),
        ("density-cuboid", "V", "product"),
        ("specific-heat-block", "dT", "difference"),
        ("resistor-combinations", "predicted_parallel", "combination"),
        ("wire-resistance", "gradient", "line"),
    ],
)
def test_kind_of_an_answer(practical: str, item: str, kind: str) -> None:
    """The formula tells which column of shares an answer belongs to."""
    rubric = load_catalogue()[practical]
    assert kind_of_answer(rubric, rubric.items[item]) == kind

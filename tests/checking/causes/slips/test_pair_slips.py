"""Two slips in one answer: one that only multiplies, another number in a wrong formula, or a slip of the pen."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.causes import load_priors
from marking.checking.causes.slips import chance_of_one_digit, copied_slips, pair_slips
from marking.checking.causes.weighing import weigh_pairs
from marking.checking.causes.wrong import Hypothesis, Slips, WrongAnswers, tried
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import block
from tests.checking.rows import HEAT, changed
from tests.checking.rows import found as findings_of

PRIOR = load_priors()["chain"]


def slip(wrong: WrongAnswers, cause: Cause, factor: float, share: float = 1.0, steps: int = 1) -> Hypothesis:
    """Return a slip that leads to so many times the right answer."""
    return Hypothesis(
        cause=cause,
        share=np.full(len(wrong), share),
        predicted=factor * wrong.right() / wrong.scale,
        describe=lambda _: (str(cause), {"size": f"{factor:g}"}),
        steps=steps,
    )


def paired(slips: Slips) -> Slips:
    """Return the pairs of *slips* with their shares."""
    found = pair_slips(slips, [PRIOR])
    every = np.arange(len(found.slips))
    return found.slips.only(every, found.shares(every, 0))


def scaled(wrong: WrongAnswers, *slips: Hypothesis) -> Slips:
    """Return the pairs of *slips* alone, without other numbers in wrong formulas."""
    found = paired(tried(wrong, slips))
    mine = [at for at in range(len(found)) if "; " in found.words(at, 0)[0] and "size" in found.words(at, 0)[1]]
    return found.only(np.array(mine, np.int64))


def test_a_pair_leads_where_both_slips_lead_together() -> None:
    """A formula turned over and a point moved: both factors, the steps of the first, the first one's cause."""
    wrong = block("3.14", "31.4")
    turned, moved = slip(wrong, Cause.REARRANGEMENT, 0.25, steps=3), slip(wrong, Cause.POWER_OF_TEN, 10.0)
    found = scaled(wrong, turned, moved)
    assert found.causes == (Cause.REARRANGEMENT,)
    assert found.predicted[0] == pytest.approx(2.5 * wrong.right() / wrong.scale)
    assert found.steps.tolist() == [3]
    detail, facts = found.words(0, 1)
    assert detail == "rearrangement; power-of-ten"
    assert (facts["second"], facts["second_size"]) == ("power-of-ten", "10")


@pytest.mark.parametrize(
    ("first", "second"),
    [(Cause.POWER_OF_TEN, Cause.POWER_OF_TEN), (Cause.DIGITS_SWAPPED, Cause.POWER_OF_TEN), (Cause.SIGN, Cause.SIGN)],
    ids=["two-points", "swapped-digits", "nothing-that-multiplies"],
)
def test_what_is_never_a_pair(first: Cause, second: Cause) -> None:
    """No point moved twice, no swapped digits with it, and nothing without a slip that only multiplies."""
    wrong = block("3.14")
    assert len(scaled(wrong, slip(wrong, first, 0.5), slip(wrong, second, 10.0))) == 0


def test_what_is_too_rare_is_not_paired() -> None:
    """Two in a hundred is the least: for the answers alone for which a slip is likely enough."""
    wrong = block("3.14", "31.4")
    rare = slip(wrong, Cause.REARRANGEMENT, 0.25)
    rare.share[:] = [0.02, 0.019]
    found = scaled(wrong, rare, slip(wrong, Cause.POWER_OF_TEN, 10.0))
    assert found.share[0, 0] > 0.0
    assert found.share[0, 1] == 0.0
    assert len(scaled(wrong, slip(wrong, Cause.REARRANGEMENT, 0.25, share=0.019))) == 0


def test_each_answer_is_tried_as_if_it_were_alone() -> None:
    """The pairs of one answer are the same with another beside it."""
    both, one = block("3.14", "31.4"), block("3.14")
    pairs = [
        scaled(wrong, slip(wrong, Cause.REARRANGEMENT, 0.25), slip(wrong, Cause.UNIT_CONVERSION, 1000.0))
        for wrong in (both, one)
    ]
    assert pairs[0].predicted[:, 0].tolist() == pairs[1].predicted[:, 0].tolist()
    assert pairs[0].share[:, 0].tolist() == pairs[1].share[:, 0].tolist()


@pytest.mark.parametrize(
    ("second", "detail", "number"),
    [
        ("digits-swapped", "dT: 12.0 for 21.0", 0.998 * 12.0 / 20400.0),
        ("wrong-quantity", "T_end for dT", 0.998 * 41.5 / 20400.0),
        ("rounded-early", "E rounded to 1 figures", 0.998 * 21.0 / 20000.0),
    ],
)
def test_another_number_goes_into_a_wrong_formula(second: str, detail: str, number: float) -> None:
    """Two digits of a reading swapped, another reading, or too few of its figures: each is told as both slips."""
    wrong = block("3.14")
    found = paired(tried(wrong, []))
    told = [found.words(at, 0) for at in range(len(found))]
    assert {facts["second"] for _, facts in told} == {"digits-swapped", "wrong-quantity", "rounded-early"}
    (at,) = [at for at, (said, _) in enumerate(told) if said == f"m * dT / E; {detail}"]
    assert told[at][1]["second"] == second
    assert found.causes[at] is Cause.REARRANGEMENT
    assert found.predicted[at, 0] == pytest.approx(number)
    assert np.isfinite(found.predicted[found.share > 0]).all()


@pytest.mark.parametrize(
    ("written", "meant", "is_one"),
    [
        ("1942", 1342.0, True),
        ("1942", 1942.0, False),
        ("1942", 1345.0, False),  # two digits
        ("1942", 942.0, False),  # one more, not another
        ("19.42", 13.4204, True),  # to the figures of the answer
        ("942", 342.0, False),  # so many formulas lead to three figures so
        ("1942", float("nan"), False),
    ],
)
def test_one_digit_of_an_answer_taken_for_another(written: str, meant: float, *, is_one: bool) -> None:
    """Only the same figures but for one of them, and four of them at the least."""
    chance = chance_of_one_digit(block(written), np.array([[meant], [-meant]]))
    assert (chance > 0).ravel().tolist() == [is_one, False]


@pytest.mark.parametrize(
    ("answer", "detail"),
    [
        ("0.001827", "m * dT / E; 0.001027 copied"),
        ("487500", "E * m * dT; 427\u202f500 copied"),  # 427 543, to the figures of the answer
    ],
)
def test_a_wrong_formula_then_copied_with_another_digit(answer: str, detail: str) -> None:
    """0.998 x 21.0 / 20400 is 0.001027, and 0.001827 that with one digit taken for another: told as both."""
    lines = findings_of("specific-heat-block", changed(HEAT, c=answer))
    first = next(one for one in lines if one.item == "c" and one.explanations).explanations[0]
    assert (first.cause, first.detail) == (Cause.REARRANGEMENT, detail)
    assert first.facts["second"] == "copying"


def test_pairs_tried_for_several_shares_are_those_of_each() -> None:
    """Beside shares with which another scale is the likeliest, and without one of the causes, a pair has its own."""
    wrong = block("3.14", "31.4")
    slips = tried(
        wrong,
        [
            slip(wrong, Cause.REARRANGEMENT, 0.25),
            slip(wrong, Cause.MISSING_FACTOR, 0.5),
            *(slip(wrong, Cause.UNIT_CONVERSION, 10.0**power, share=0.05 * power) for power in range(1, 10)),
            *(slip(wrong, Cause.POWER_OF_TEN, 10.0**power, share=0.05 * power) for power in range(1, 10)),
        ],
    )
    points = {cause: 0.0 if cause is Cause.UNIT_CONVERSION else share for cause, share in PRIOR.items()}
    units = {cause: 0.0 if cause is Cause.POWER_OF_TEN else share for cause, share in PRIOR.items()}
    priors = [PRIOR, points, units]
    together = weigh_pairs(pair_slips(slips, priors), priors)
    for prior, found in zip(priors, together, strict=True):
        (alone,) = weigh_pairs(pair_slips(slips, [prior]), [prior])
        some = np.flatnonzero((found.prior * found.chance).any(axis=1))
        own = np.flatnonzero((alone.prior * alone.chance).any(axis=1))
        assert [found.words[at](0) for at in some.tolist()] == [alone.words[at](0) for at in own.tolist()]
        assert found.prior[some].tolist() == alone.prior[own].tolist()
        assert found.chance[some].tolist() == alone.chance[own].tolist()


def test_pairs_of_one_cause_have_no_more_than_its_prior() -> None:
    """So many that their shares come to more than one are brought down to it."""
    wrong = block("3.14")
    turned = [slip(wrong, Cause.REARRANGEMENT, 314.0 / (k * wrong.right()[0]), share=1.0) for k in range(1, 60)]
    moved = [slip(wrong, Cause.POWER_OF_TEN, 10.0**power) for power in (-3, -2, -1, 1, 2, 3)]
    pairs = pair_slips(tried(wrong, [*turned, *moved]), [PRIOR])
    assert pairs.may_fill_up(0)
    (found,) = weigh_pairs(pairs, [PRIOR])
    rows = [at for at, cause in enumerate(pairs.slips.causes) if cause is Cause.REARRANGEMENT]
    whole = pairs.shares(np.array(rows), 0).sum(axis=0)
    assert whole[0] > 1.0
    mine = [at for at, cause in enumerate(found.causes) if cause is Cause.REARRANGEMENT]
    assert mine
    assert found.prior[mine].sum() <= PRIOR[Cause.REARRANGEMENT]


def test_only_what_is_worked_out_forwards_may_then_be_copied() -> None:
    """A turned formula may be copied with two digits swapped, a copying slip may not, nor a rare one."""
    wrong = block("3.14")
    slips = [
        slip(wrong, Cause.REARRANGEMENT, 0.25),
        slip(wrong, Cause.COPYING, 0.5),
        slip(wrong, Cause.SIGN, -1.0, share=0.01),
    ]
    assert copied_slips(tried(wrong, slips)).causes == (Cause.REARRANGEMENT,)

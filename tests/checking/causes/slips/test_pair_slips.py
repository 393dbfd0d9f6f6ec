"""Two slips in one answer: a likelier slip times one that only multiplies, or a swapped reading in a wrong formula."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.causes import load_priors
from marking.checking.causes.slips import copied_slips, pair_slips
from marking.checking.causes.wrong import Hypothesis, Slips, WrongAnswers, tried
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import block

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


def scaled(wrong: WrongAnswers, *slips: Hypothesis) -> Slips:
    """Return the pairs of *slips* alone, without swapped readings in wrong formulas."""
    found = pair_slips(tried(wrong, slips), PRIOR)
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


def test_a_reading_with_two_digits_swapped_goes_into_a_wrong_formula() -> None:
    """Every such pair is told as both: the formula, and the reading that was swapped."""
    wrong = block("3.14")
    found = pair_slips(tried(wrong, []), PRIOR)
    assert len(found) > 0
    assert all(found.words(at, 0)[1]["second"] == "digits-swapped" for at in range(len(found)))
    assert np.isfinite(found.predicted[found.share > 0]).all()


def test_only_what_is_worked_out_forwards_may_then_be_copied() -> None:
    """A turned formula may be copied with two digits swapped, a copying slip may not, nor a rare one."""
    wrong = block("3.14")
    slips = [
        slip(wrong, Cause.REARRANGEMENT, 0.25),
        slip(wrong, Cause.COPYING, 0.5),
        slip(wrong, Cause.SIGN, -1.0, share=0.01),
    ]
    assert copied_slips(tried(wrong, slips)).causes == (Cause.REARRANGEMENT,)

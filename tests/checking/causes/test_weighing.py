"""How well a slip explains a printed answer: at the edges of what was rounded, cut off, or rounded on the way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes import load_priors
from marking.checking.causes import weighing as weighing_of
from marking.checking.causes.slips import Match
from marking.checking.causes.weighing import (
    CUT_SHARE,
    ROUNDED_SHARE,
    SPREAD_SHARE,
    STEP_SPREAD,
    UNIT_EVIDENCE,
    Evidence,
    joined,
    unexplained,
    weigh,
    weigh_copied,
)
from marking.checking.causes.wrong import Hypothesis, WrongAnswers
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import block

PRIOR = load_priors()["chain"]


def slip(
    wrong: WrongAnswers, predicted: float, *, steps: int = 1, share: float = 1.0, agrees: bool | None = None
) -> Hypothesis:
    """Return a rearrangement that leads to *predicted*, alike for all of *wrong*."""
    return Hypothesis(
        cause=Cause.REARRANGEMENT,
        share=np.full(len(wrong), share),
        predicted=np.full(len(wrong), predicted),
        describe=lambda _: ("a slip", {}),
        steps=steps,
        dimension_agrees=None if agrees is None else np.full(len(wrong), agrees),
    )


def chance(printed: str, predicted: float, *, steps: int = 1) -> float:
    """Return the chance of *printed* under a slip that leads to *predicted*."""
    wrong = block(printed)
    assert len(wrong) == 1
    return float(weigh(wrong, [slip(wrong, predicted, steps=steps)], [], PRIOR).chance[0, 0])


@pytest.mark.parametrize(
    ("predicted", "wanted"),
    [
        (3.1349, 0.0),
        (3.1351, ROUNDED_SHARE + CUT_SHARE),
        (3.1399, ROUNDED_SHARE + CUT_SHARE),
        (3.1401, ROUNDED_SHARE + CUT_SHARE),
        (3.1449, ROUNDED_SHARE + CUT_SHARE),
        (3.1451, CUT_SHARE),
        (3.1499, CUT_SHARE),
        (3.1501, 0.0),
        (-3.14, 0.0),
        (math.inf, 0.0),
        (math.nan, 0.0),
    ],
)
def test_an_answer_stands_for_what_rounds_or_is_cut_to_it(predicted: float, wanted: float) -> None:
    """3.14 was rounded from 3.135 to 3.145, or shortened from up to 3.15; one step leaves room for nothing else."""
    assert chance("3.14", predicted) == pytest.approx(wanted)


@pytest.mark.parametrize("steps", [1, 2, 3])
@pytest.mark.parametrize("inside", [0.99, 1.01])
def test_each_step_before_the_last_leaves_half_a_per_cent(steps: int, inside: float) -> None:
    """Rounded steps shift an answer by up to half a per cent each; the last step is the answer itself."""
    room = STEP_SPREAD * (steps - 1)
    found = chance("3.14159", 3.14159 * math.exp(room * inside) * (1 + 1e-5), steps=steps)
    if steps == 1 or inside > 1:
        assert found == (0.0 if steps > 1 else pytest.approx(0.0))
    else:
        assert 0.0 < found < SPREAD_SHARE


def test_the_nearer_the_likelier_and_more_figures_the_less() -> None:
    """A shift is the rarer the further it goes, and four figures are hit more rarely than three."""
    near, far = chance("3.14", 3.152, steps=3), chance("3.14", 3.160, steps=3)
    assert near > far > 0
    assert chance("3.140", 3.152, steps=3) == pytest.approx(near / 10, rel=0.02)


def test_steps_before_earlier_answers_count_only_where_they_are_carried_on_unrounded() -> None:
    """As written, an earlier answer holds no step that could still shift the later one."""
    assert block("3.14").steps_before() == 0


@pytest.mark.parametrize(("agrees", "times"), [(None, 1.0), (False, 1.0), (True, UNIT_EVIDENCE)])
def test_a_unit_that_fits_the_wrong_formula_is_evidence(agrees: bool | None, times: float) -> None:
    """Beside a small share, a unit true to the slip makes it so many times likelier."""
    wrong = block("3.14")
    plain = weigh(wrong, [slip(wrong, 3.14, share=0.01)], [], PRIOR).prior[0, 0]
    assert weigh(wrong, [slip(wrong, 3.14, share=0.01, agrees=agrees)], [], PRIOR).prior[0, 0] == pytest.approx(
        plain * times
    )
    assert plain == pytest.approx(0.01 * PRIOR[Cause.REARRANGEMENT])


def test_many_ways_of_one_cause_share_its_prior() -> None:
    """Shares beyond one in all are scaled down; shares below are left as they are."""
    wrong = block("3.14")
    many = weigh(wrong, [slip(wrong, 3.14, share=0.8), slip(wrong, 5.0, share=0.8)], [], PRIOR)
    assert many.prior.sum() == pytest.approx(PRIOR[Cause.REARRANGEMENT])
    few = weigh(wrong, [slip(wrong, 3.14, share=0.2), slip(wrong, 5.0, share=0.3)], [], PRIOR)
    assert few.prior[:, 0] == pytest.approx([0.2 * PRIOR[Cause.REARRANGEMENT], 0.3 * PRIOR[Cause.REARRANGEMENT]])


def test_slips_found_backwards_have_their_whole_prior() -> None:
    """A match carries its share in its mass."""
    wrong = block("3.14")
    match = Match(cause=Cause.COPYING, mass=np.array([0.02]), describe=lambda _: ("", {}))
    found = weigh(wrong, [], [match], PRIOR)
    assert found.causes == (Cause.COPYING,)
    assert (found.prior[0, 0], found.chance[0, 0]) == (pytest.approx(PRIOR[Cause.COPYING]), 0.02)


def off_by(factor: float, figures: int = 4) -> float:
    """Return the chance that an unexplained answer is printed *factor* times the right one."""
    wrong = block(f"{973.3753 * factor:.{figures - 1}e}")
    assert len(wrong) == 1
    return float(unexplained(wrong, PRIOR).chance[0, 0])


def test_what_nothing_explains_lies_mostly_near() -> None:
    """A few per cent off is far likelier than half as much again, and that than a thousandth; both ways alike."""
    near, middle, far, further = off_by(1.03), off_by(1.5), off_by(30.0), off_by(3000.0)
    assert near > 5 * middle
    assert middle > 2 * far
    # Four figures of a number near 1000 and near 3000 are not equally narrow.
    assert far == pytest.approx(further, rel=0.5)
    assert further > 0


def test_fewer_figures_are_hit_more_often() -> None:
    """Each figure less makes the same answer ten times likelier."""
    assert off_by(1.2327, figures=3) == pytest.approx(10 * off_by(1.2327, figures=4), rel=0.05)


@pytest.mark.parametrize(("answer", "changes"), [("0.00", {}), ("0", {}), ("973", {"E": "0"}), ("12", {"E": "0.0"})])
def test_nothing_is_told_from_a_zero(answer: str, changes: dict[str, str]) -> None:
    """A zero, printed or led to, fits whatever one likes: no slip is named on it."""
    wrong = block(answer, **changes)
    assert len(wrong) == 1
    assert unexplained(wrong, PRIOR).chance[0, 0] == 1.0


@given(st.floats(1e-6, 1e6), st.integers(2, 6))
@settings(deadline=None, max_examples=60)
def test_chances_are_chances(value: float, figures: int) -> None:
    """Whatever is printed, each chance lies between 0 and 1, and some chance is left to the unexplained."""
    wrong = block(f"{value:.{figures - 1}e}")
    if not len(wrong):
        return
    slips = [slip(wrong, value), slip(wrong, 10 * value, steps=3), slip(wrong, 0.0), slip(wrong, math.inf)]
    for evidence in (weigh(wrong, slips, [], PRIOR), weigh_copied(wrong, slips, PRIOR), unexplained(wrong, PRIOR)):
        assert ((evidence.chance >= 0) & (evidence.chance <= 1)).all()
        assert (evidence.prior >= 0).all()
    assert unexplained(wrong, PRIOR).chance[0, 0] > 0


def test_a_copied_slip_is_found_by_what_was_meant() -> None:
    """341 is 431 or 314 with two digits swapped: a slip that leads to either may have been copied so."""
    wrong = block("341")
    slips = [slip(wrong, 431.0), slip(wrong, 314.2), slip(wrong, 341.0), slip(wrong, 143.0)]
    found = weigh_copied(wrong, slips, PRIOR)
    told = {found.words[index](0)[0] for index in range(len(found.causes)) if found.chance[index, 0] > 0}
    assert told == {"a slip; 431 copied", "a slip; 314 copied"}
    assert (found.prior * found.chance).max() < (weigh(wrong, slips, [], PRIOR).prior * ROUNDED_SHARE).max()


def test_evidence_is_spread_over_a_batch() -> None:
    """What was found for some answers stands in their places, with its share of the prior, and nowhere else."""
    wrong = block("3.14", "31.4", "314")
    part = wrong.at(np.array([0, 2]), wrong.carried)
    found = weigh(part, [slip(part, 314.0)], [], PRIOR)
    spread = found.spread(np.array([0, 2]), 3, 0.5)
    assert spread.prior[0] == pytest.approx([0.5 * PRIOR[Cause.REARRANGEMENT], 0, 0.5 * PRIOR[Cause.REARRANGEMENT]])
    assert spread.chance[0] == pytest.approx([0, 0, ROUNDED_SHARE + CUT_SHARE])
    assert spread.words[0](2) == ("a slip", {})
    both = joined([spread, unexplained(wrong, PRIOR)])
    assert isinstance(both, Evidence)
    assert both.causes == (Cause.REARRANGEMENT, Cause.UNEXPLAINED)
    assert both.chance.shape == (2, 3)


def test_scatter_adds_up_to_a_share() -> None:
    """The scatters about the right answer leave some of the unexplained to lie anywhere."""
    shares = [share for share, _ in weighing_of.SCATTERS]
    assert 0 < sum(shares) < 1
    assert all(share > 0 for share in shares)

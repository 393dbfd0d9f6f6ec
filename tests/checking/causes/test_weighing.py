"""How well a slip explains a printed answer: at the edges of what was rounded, cut off, or rounded on the way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes import load_priors
from marking.checking.causes import weighing as weighing_of
from marking.checking.causes.evidence_of_slips import Evidence, joined
from marking.checking.causes.slips import Match
from marking.checking.causes.weighing import (
    CUT_SHARE,
    ONE_OFF_SHARE,
    OTHER_SIGN,
    ROUNDED_SHARE,
    SCATTERS,
    SPREAD_IN_FULL,
    SPREAD_SHARE,
    STEP_SPREAD,
    UNIT_EVIDENCE,
    chances,
    fitting,
    unexplained,
    weigh_copied,
    weighed,
)
from marking.checking.causes.wrong import Hypothesis, Slips, WrongAnswers, tried
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import block

PRIOR = load_priors()["chain"]


def weigh(slips: Slips, found: list[Match], prior: dict[Cause, float]) -> Evidence:
    """Return the prior of each slip, and the chance of each printed answer under it."""
    return weighed(fitting(slips, found), prior)


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
    return float(chances(tried(wrong, [slip(wrong, predicted, steps=steps)]), [])[0, 0])


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
    # Half a unit of the last figure is room of its own: 0.0016 of 3.14, 0.00016 of 3.140.
    off = math.log(3.152 / 3.14)
    narrower = (0.01 - off + 0.00016) / (0.01 - off + 0.0016)
    # From four figures on short steps are tried one by one, and little is left for others.
    assert chance("3.140", 3.152, steps=3) == pytest.approx(SPREAD_IN_FULL * near * narrower / 10, rel=0.02)


def test_a_last_figure_has_room_of_its_own_beside_the_steps() -> None:
    """1540 stands for 1535 to 1545: a slip to 1530.7 reaches it with one step rounded, one to 1526 does not."""
    assert chance("1540", 1530.7, steps=2) > 0.0
    assert chance("1540.0", 1530.7, steps=2) == 0.0
    assert chance("1.54e3", 1526.0, steps=2) == 0.0


def test_steps_before_earlier_answers_count_only_where_they_are_carried_on_unrounded() -> None:
    """As written, an earlier answer holds no step that could still shift the later one."""
    assert block("3.14").steps_before() == 0


@pytest.mark.parametrize(("agrees", "times"), [(None, 1.0), (False, 1.0), (True, UNIT_EVIDENCE)])
def test_a_unit_that_fits_the_wrong_formula_is_evidence(agrees: bool | None, times: float) -> None:
    """Beside a small share, a unit true to the slip makes it so many times likelier."""
    wrong = block("3.14")
    plain = weigh(tried(wrong, [slip(wrong, 3.14, share=0.01)]), [], PRIOR).prior[0, 0]
    assert weigh(tried(wrong, [slip(wrong, 3.14, share=0.01, agrees=agrees)]), [], PRIOR).prior[0, 0] == pytest.approx(
        plain * times
    )
    assert plain == pytest.approx(0.01 * PRIOR[Cause.REARRANGEMENT])


def test_many_ways_of_one_cause_share_its_prior() -> None:
    """Shares beyond one in all are scaled down; shares below are left as they are."""
    wrong = block("3.14")
    many = weigh(tried(wrong, [slip(wrong, 3.14, share=0.8), slip(wrong, 3.142, share=0.8)]), [], PRIOR)
    assert many.prior.sum() == pytest.approx(PRIOR[Cause.REARRANGEMENT])
    few = weigh(tried(wrong, [slip(wrong, 3.14, share=0.2), slip(wrong, 3.142, share=0.3)]), [], PRIOR)
    assert few.prior[:, 0] == pytest.approx([0.2 * PRIOR[Cause.REARRANGEMENT], 0.3 * PRIOR[Cause.REARRANGEMENT]])


def test_slips_found_backwards_have_their_whole_prior() -> None:
    """A match carries its share in its mass."""
    wrong = block("3.14")
    match = Match(cause=Cause.COPYING, mass=np.array([0.02]), describe=lambda _: ("", {}))
    found = weigh(tried(wrong, []), [match], PRIOR)
    assert found.causes == (Cause.COPYING,)
    assert (found.prior[0, 0], found.chance[0, 0]) == (pytest.approx(PRIOR[Cause.COPYING]), 0.02)


def test_what_fits_none_of_the_answers_is_let_go() -> None:
    """A slip that leads nowhere near has no row; what was found backwards for nobody neither."""
    wrong = block("3.14", "31.4")
    nothing = Match(cause=Cause.COPYING, mass=np.zeros(2), describe=lambda _: ("", {}))
    found = fitting(tried(wrong, [slip(wrong, 5.0), slip(wrong, 31.4)]), [nothing])
    assert (found.rows.tolist(), list(found.backwards)) == ([1], [])
    assert found.chance.tolist() == [[0.0, found.chance[0, 1]]]


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


def test_what_nothing_explains_keeps_its_sign() -> None:
    """The right number with a lost minus is a slip; the same size with the other sign for no reason hardly happens."""
    same, other = (float(unexplained(block(one), PRIOR).chance[0, 0]) for one in ("990", "-990"))
    assert other == pytest.approx(OTHER_SIGN * same)


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
    for evidence in (
        weigh(tried(wrong, slips), [], PRIOR),
        *weigh_copied(tried(wrong, slips), [PRIOR]),
        unexplained(wrong, PRIOR),
    ):
        assert ((evidence.chance >= 0) & (evidence.chance <= 1)).all()
        assert (evidence.prior >= 0).all()
    assert unexplained(wrong, PRIOR).chance[0, 0] > 0


def test_a_copied_slip_is_found_by_what_was_meant() -> None:
    """341 is 431 or 314 with two digits swapped: a slip that leads to either may have been copied so."""
    wrong = block("341")
    slips = [slip(wrong, 431.0), slip(wrong, 314.2), slip(wrong, 341.0), slip(wrong, 143.0)]
    (found,) = weigh_copied(tried(wrong, slips), [PRIOR])
    told = {found.words[index](0)[0] for index in range(len(found.causes)) if found.chance[index, 0] > 0}
    assert told == {"a slip; 431 copied", "a slip; 314 copied"}
    assert (found.prior * found.chance).max() < (weigh(tried(wrong, slips), [], PRIOR).prior * ROUNDED_SHARE).max()


def test_evidence_is_spread_over_a_batch() -> None:
    """What was found for some answers stands in their places, with its share of the prior, and nowhere else."""
    wrong = block("3.14", "31.4", "314")
    part = wrong.at(np.array([0, 2]), wrong.carried)
    found = weigh(tried(part, [slip(part, 314.0)]), [], PRIOR)
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


@pytest.mark.parametrize(
    ("printed", "predicted", "steps", "wanted"),
    [
        ("3.1416", 3.141592, 1, 0.85),
        ("3.1415", 3.141592, 1, 0.05),
        ("3.1416", 3.1416, 1, 0.85),
        ("-3.1415", -3.141592, 1, 0.05),
        ("-3.1416", -3.141592, 1, 0.85),
        ("3.15", 3.141592, 1, 0.0),
    ],
    ids=["rounded", "cut-off", "exact", "cut-off-below-zero", "rounded-below-zero", "neither"],
)
def test_a_cut_off_answer_is_evidence_too(printed: str, predicted: float, steps: int, wanted: float) -> None:
    """Most round and some cut off: 3.1415 speaks for 3.141592, if less loudly than 3.1416 does."""
    assert chance(printed, predicted, steps=steps) == pytest.approx(wanted, abs=0.02)


def test_a_slip_of_one_step_leaves_room_for_its_last_figure_alone() -> None:
    """Steps on the way move an answer, its own rounding does not: 1, 2 and 3 steps give none, half and one per cent."""
    for steps, room in ((1, 0.0), (2, 0.005), (3, 0.010), (5, 0.020)):
        inside, outside = (chance("3.14159", 3.14159 * math.exp(room + extra), steps=steps) for extra in (-2e-4, 2e-4))
        assert outside == 0.0
        assert (inside > 0.0) is (steps > 1)


def test_what_a_step_on_the_way_is_worth() -> None:
    """Half of the room away from what the slip leads to, half of the share is left, by the width of the last figure."""
    for printed, share in (("3.14", 0.15), ("3.142", 0.15 * 0.3)):  # of four figures on steps are tried one by one
        number = float(printed)
        width = 10.0 ** -(len(printed) - 2) / number
        for steps in (2, 3):
            room = 0.005 * (steps - 1)
            found = chance(printed, number * math.exp(room / 2 + width / 2), steps=steps)
            assert found == pytest.approx(share * 0.5 * width / room, rel=0.01)


def test_each_slip_has_its_own_steps() -> None:
    """A slip of one step beside one of three keeps to its own figures."""
    wrong = block("3.14159")
    slips = [slip(wrong, 3.14159 * 1.004, steps=1), slip(wrong, 3.14159 * 1.004, steps=3)]
    one, three = chances(tried(wrong, slips), [])[:, 0]
    assert one == 0.0
    assert three > 0.0


def test_a_fitting_unit_outweighs_ten_others() -> None:
    """The unit beside an answer is strong evidence, and an answer without one none against the slip."""
    wrong = block("3.14")
    slips = [slip(wrong, 3.14, share=0.01, agrees=agrees) for agrees in (True, False, None)]
    fits, fits_not, unknown = weigh(tried(wrong, slips), [], PRIOR).prior[:, 0]
    assert fits > 10 * fits_not
    assert fits_not == unknown > 0


def test_what_nothing_explains_scatters_near_the_right_answer() -> None:
    """Four figures 3 % off are some tens of times likelier than anywhere; each share has its scale."""
    anywhere = (1 - ONE_OFF_SHARE - sum(share for share, _ in SCATTERS)) / (6 * math.log(10))
    for factor in (0.97, 1.03, 1.5, 3.0):
        distance = abs(math.log(factor))
        about = sum(share * math.exp(-distance / scale) / (2 * scale) for share, scale in SCATTERS)
        number = 973.3753 * factor
        last = 0.1 if number < 1000 else 1.0
        assert off_by(factor) == pytest.approx(last / number * (anywhere + about), rel=0.05)


@pytest.mark.parametrize(
    ("answer", "is_off_by_one"),
    [("983", True), ("963", True), ("873", True), ("1073", True), ("993", False), ("985", False)],
)
def test_a_sum_off_by_one_in_one_place(answer: str, is_off_by_one: bool) -> None:
    """973 and 983, 873 or 1073 differ by one in one place; 993 and 985 do not, and are rarer."""
    wrong = block(answer)
    found = float(unexplained(wrong, PRIOR).chance[0, 0])
    beside = float(unexplained(block(f"{float(answer) + (2 if '.' not in answer else 0.3):g}"), PRIOR).chance[0, 0])
    assert (found > 2 * beside) is is_off_by_one


def test_the_whole_of_the_unexplained_is_its_prior() -> None:
    """'Unexplained' has its prior whole, says nothing, and claims no unit."""
    wrong = block("3.14", "31.4")
    found = unexplained(wrong, PRIOR)
    assert found.causes == (Cause.UNEXPLAINED,)
    assert found.agrees == (None,)
    assert found.words[0](1) == ("", {})
    assert found.prior.tolist() == [[PRIOR[Cause.UNEXPLAINED]] * 2]
    assert found.chance.shape == (1, 2)


def test_all_that_is_known_of_a_slip_is_kept() -> None:
    """Causes, words and units come through in order, of slips first and of what was found backwards behind them."""
    wrong = block("3.14", "31.4")
    fits = slip(wrong, 3.14, agrees=True)
    match = Match(cause=Cause.COPYING, mass=np.array([0.02, np.nan]), describe=lambda at: (f"copied {at}", {}))
    found = weigh(tried(wrong, [fits]), [match], PRIOR)
    assert found.causes == (Cause.REARRANGEMENT, Cause.COPYING)
    assert [words(1)[0] for words in found.words] == ["a slip", "copied 1"]
    assert found.agrees[0] is not None
    assert found.agrees[0].tolist() == [True, True]
    assert found.agrees[1] is None
    assert found.chance[1].tolist() == [0.02, 0.0]
    assert found.prior[1].tolist() == [PRIOR[Cause.COPYING]] * 2
    wide = found.spread(np.array([2, 0]), 3, 0.5)
    assert wide.agrees[0] is not None
    assert wide.agrees[0].tolist() == [True, False, True]
    assert wide.agrees[1] is None
    assert wide.words[1](0) == ("copied 1", {})
    assert wide.chance[0].tolist() == [found.chance[0, 1], 0.0, found.chance[0, 0]]
    assert wide.prior[1].tolist() == [0.5 * PRIOR[Cause.COPYING], 0.0, 0.5 * PRIOR[Cause.COPYING]]
    both = joined([found, unexplained(wrong, PRIOR)])
    assert [words(0)[0] for words in both.words] == ["a slip", "copied 0", ""]
    assert [one is None for one in both.agrees] == [False, True, True]
    assert both.prior.tolist() == [*found.prior.tolist(), [PRIOR[Cause.UNEXPLAINED]] * 2]


def test_a_cause_without_a_prior_weighs_nothing() -> None:
    """Where no prior is known for a cause, neither a slip nor a match of it has any weight."""
    wrong = block("3.14")
    match = Match(cause=Cause.COPYING, mass=np.array([0.02]), describe=lambda _: ("", {}))
    assert weigh(tried(wrong, [slip(wrong, 3.14)]), [match], {}).prior.tolist() == [[0.0], [0.0]]

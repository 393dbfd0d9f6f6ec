"""What was tried on a batch is tried once; only slips that lead near an answer are looked at closely."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes import (
    NEVER_CERTAIN,
    Asked,
    Tried,
    certain_of,
    count_causes,
    explain,
    explain_each,
    load_priors,
)
from marking.checking.causes import weighing as weighing_of
from marking.checking.causes.wrong import Hypothesis, summed, tried
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import block, board_of
from tests.checking.rows import CUBOID, HEAT, changed

ANSWERS = ("0.997", "3.14", "9734", "973400", "917", "20400", "1.03")


def test_what_is_known_changes_nothing() -> None:
    """Explained with other shares, and by the fixed ones again: alike whether it was tried before or not."""
    board, judged = board_of(
        "specific-heat-block", {f"S{number}": changed(HEAT, c=one) for number, one in enumerate(ANSWERS)}
    )
    fixed = load_priors()
    moved = {kind: dict(reversed(list(shares.items()))) for kind, shares in fixed.items()}
    for shares in moved.values():
        shares[Cause.UNIT_CONVERSION] = 0.5 * shares.get(Cause.UNIT_CONVERSION, 0.0)
    known = Tried()
    for priors in (fixed, moved, fixed):
        assert explain(board, judged, priors, known=known) == explain(board, judged, priors)
    asked = [Asked(priors=moved, names=["dT", "c"]), Asked(priors=fixed, names=["c"])]
    for each in (explain_each(board, judged, asked, None), explain_each(board, judged, asked, known)):
        assert each[0] == explain(board, judged, moved)
        assert each[1] == explain(board, judged, fixed, names=["c"])
        assert certain_of(each[1], ["c"]) == certain_of(explain(board, judged, fixed), ["c"])
        assert certain_of(each[1], ["c"])


def test_of_what_is_not_certain_nothing_is_told() -> None:
    """Nothing is lost of what is certain, beside other shares and with pairs of slips tried for both at once."""
    board, judged = board_of(
        "specific-heat-block", {f"S{number}": changed(HEAT, c=one) for number, one in enumerate(ANSWERS)}
    )
    fixed = load_priors()
    learned = {kind: shares | {Cause.POWER_OF_TEN: 0.3} for kind, shares in fixed.items()}
    everything = explain(board, judged, fixed, names=["c"])
    asked = (
        Asked(priors=learned, names=["dT", "c"]),
        Asked(priors=fixed, names=["c"], told_from=NEVER_CERTAIN),
    )
    first, found = explain_each(board, judged, asked, None)
    assert first == explain(board, judged, learned)
    assert found.counts == everything.counts
    assert 0 < len(found.explanations) < len(everything.explanations)
    assert found.explanations.items() <= everything.explanations.items()
    assert certain_of(found, ["c"]) == certain_of(everything, ["c"])


def test_what_is_told_of_one_does_not_depend_on_who_is_beside() -> None:
    """A length left in mm in a wrong formula is as likely beside one who left other lengths so."""
    own = changed(CUBOID, l="40.0|mm", w="30.0|mm", h="2.00|cm", V="120.0")  # the area of a face, one side in mm
    beside = changed(CUBOID, l="4.00|cm", w="30.0|mm", h="20.0|mm", V="60.0")
    alone, together = (
        explain(*board_of("density-cuboid", pages), load_priors()).explanations["V", 0, 0]
        for pages in ({"own": own}, {"own": own, "beside": beside})
    )
    assert [(one.cause, one.detail) for one in together] == [(one.cause, one.detail) for one in alone]
    assert [one.probability for one in together] == pytest.approx([one.probability for one in alone], rel=1e-9)


def test_what_is_only_counted_is_what_is_told() -> None:
    """The same parts of answers for each cause, to the last binary place."""
    board, judged = board_of(
        "specific-heat-block", {f"S{number}": changed(HEAT, c=one) for number, one in enumerate(ANSWERS)}
    )
    counts = count_causes(board, judged, load_priors())
    assert counts == explain(board, judged, load_priors()).counts
    assert sum(counts["chain"].values()) > 1.0


@settings(deadline=None, max_examples=40)
@given(
    factors=st.lists(st.floats(0.9, 1.1) | st.floats(-1e3, 1e3), min_size=1, max_size=8),
    steps=st.integers(1, 6),
    answer=st.sampled_from(ANSWERS),
)
def test_what_is_not_near_has_no_chance(factors: list[float], steps: int, answer: str) -> None:
    """Looked at closely, no slip that was passed over leads to an answer."""
    wrong = block(answer)
    predicted = [factor * wrong.number for factor in factors]
    slips = tried(
        wrong,
        [
            Hypothesis(
                cause=Cause.SIGN,
                share=np.ones(len(wrong)),
                predicted=one,
                describe=lambda _: ("", {}),
                steps=steps,
            )
            for one in predicted
        ],
    )
    half = weighing_of.STEP_SPREAD * np.maximum(slips.steps[:, None] + wrong.steps_before() - 1, 0)
    printed = weighing_of._printed(wrong)
    with np.errstate(all="ignore"):
        shares = weighing_of._spread_shares(wrong)
        closely = weighing_of._chance(slips.predicted, half, wrong.number, printed, shares)
    assert weighing_of.chances(slips, []).tolist() == closely.tolist()


@given(st.lists(st.floats(0, 1), min_size=1, max_size=40))
def test_a_column_is_added_up_alike_beside_others_and_alone(column: list[float]) -> None:
    """To the last binary place."""
    one = np.array(column)[:, None]
    assert summed(one)[0] == summed(np.repeat(one, 3, axis=1))[2]

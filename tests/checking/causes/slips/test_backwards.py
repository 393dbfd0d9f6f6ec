"""Miscopied figures, found backwards: any of nine digits, in any place of any number that was copied."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes.slips.backwards import _misread_between, matches
from marking.checking.causes.wrong import MISREAD, Carried, formula_inputs, used_instead
from marking.findings import Cause
from tests.checking.causes.wrong_answers_of import block, wrong_answers
from tests.checking.rows import HEAT, changed


def details(answer: str, **changes: str) -> list[str]:
    """Return the details of all that may have been miscopied on the way to one wrong value of c, likeliest first."""
    wrong = block(answer, **changes)
    found = sorted(matches(wrong), key=lambda match: -match.mass[0])
    return [match.describe(0)[0] for match in found if match.mass[0] > 0 and match.cause is Cause.COPYING]


@pytest.mark.parametrize(
    ("used", "detail"),
    [
        ({"m": 0.398}, "m: 0.398 for 0.998"),
        ({"m": 0.948}, "m: 0.948 for 0.998"),
        ({"m": 0.908}, "m: 0.908 for 0.998"),
        ({"E": 70400.0}, "E: 70400 for 20400"),
        ({"E": 25400.0}, "E: 25400 for 20400"),
        ({"dT": 91.0}, "dT: 91.0 for 21.0"),
        ({"dT": 26.0}, "dT: 26.0 for 21.0"),
        ({"dT": 21.7}, "dT: 21.7 for 21.0"),
    ],
)
def test_a_digit_of_any_place_of_any_number(used: dict[str, float], detail: str) -> None:
    """Whatever digit was changed, four figures of the answer find it."""
    numbers = {"E": 20400.0, "m": 0.998, "dT": 21.0} | used
    value = numbers["E"] / (numbers["m"] * numbers["dT"])
    assert detail in details(f"{value:.4g}")


@given(st.sampled_from("Em"), st.integers(0, 2), st.integers(0, 9))
@settings(deadline=None, max_examples=40)
def test_every_one_of_nine(name: str, place: int, digit: int) -> None:
    """Any digit in any place is found, where the answer shows it at all."""
    text = {"E": "23700", "m": "0.846"}[name]
    at = place + (2 if name == "m" else 0)
    made = text[:at] + str(digit) + text[at + 1 :]
    if made == text or made.startswith("0") != text.startswith("0"):
        return
    numbers = {"E": "23700", "m": "0.846"} | {name: made}
    value = float(numbers["E"]) / (float(numbers["m"]) * 21.0)
    answer = f"{value:.5g}"
    if len(block(answer, E="23700", m="0.846")):  # a last digit may be within what careful rounding does
        assert f"{name}: {made} for {text}" in details(answer, E="23700", m="0.846")


def test_a_step_that_is_not_there_was_not_copied() -> None:
    """Where the rise was not written down, a digit of a temperature may have changed; where it was, of the rise."""
    value = f"{20400 / (0.998 * 27.0):.4g}"
    assert "dT: 27.0 for 21.0" in details(value)
    assert not any(detail.startswith("T_") for detail in details(value))
    assert "T_end: 47.5 for 41.5" in details(value, dT="")
    assert not any(detail.startswith("dT") for detail in details(value, dT=""))


def test_each_answer_has_its_own_numbers_copied() -> None:
    """With and without the rise on the page, in one class: the chances of the numbers add up to one for each."""
    wrong = wrong_answers("specific-heat-block", "c", changed(HEAT, c="512"), changed(HEAT, c="512", dT=""))
    inputs = formula_inputs(wrong)
    assert np.sum([one.chance for one in inputs], axis=0) == pytest.approx([1.0, 1.0])
    assert [sorted(one.name for one in inputs if one.there[at]) for at in (0, 1)] == [
        ["E", "dT", "m"],
        ["E", "T_end", "T_start", "m"],
    ]


@pytest.mark.parametrize(
    ("low", "high", "digits"),
    [
        (2.6, 3.4, [3]),
        (3.0, 3.0, [3]),
        (2.4, 4.1, [3, 4]),
        (3.1, 3.9, []),
        (-4.0, 0.5, [0]),
        (8.5, 40.0, [9]),
        (11, 30, []),
    ],
)
def test_digits_that_an_answer_leaves_room_for(low: float, high: float, digits: list[int]) -> None:
    """All whole digits from one end to the other, both ends among them; the own one is no change."""
    own = 5
    found = _misread_between(np.array([own]), np.array([low]), np.array([high]))
    assert found[0] == pytest.approx(sum(MISREAD[own, digit] for digit in digits))


def test_an_answer_of_few_figures_leaves_room_for_more() -> None:
    """Two figures are explained by more digits than four."""
    few, many = block("1100"), block("1104")
    assert sum(match.mass[0] for match in matches(few)) > sum(match.mass[0] for match in matches(many))


def test_the_reading_that_must_have_been_used() -> None:
    """Twice the energy, half the mass: the factor is solved for both ends of what was printed."""
    wrong = block("1947")
    formula = wrong.item.formula
    assert formula is not None
    for name, factor in (("E", 1947 / 973.3753), ("m", 973.3753 / 1947)):
        found = used_instead(wrong, formula.tree, name)
        assert found is not None
        low, high = sorted(float(end[0]) for end in found)
        assert low < factor < high
        assert high / low == pytest.approx(1947.5 / 1946.5)


def test_a_digit_of_a_number_that_was_never_written() -> None:
    """1132.56 for 1182.56: the page holds 1.18, and is not said to hold more."""
    lines = "l,,9.1,cm\nw,,3.4,cm\nh,,5.2,cm\nm,,190.26,g\nV,,161,cm³\nrho,,1.18,g/cm³\nrho_si,,{},kg/m³"
    wrong = wrong_answers("density-cuboid", "rho_si", lines.format("1132.56"), lines.format("1130"))
    for carried, says in ((Carried.WRITTEN, ""), (Carried.EXACT, ", before it was rounded")):
        part = wrong.at(np.arange(2), carried)
        told = [one.describe(1) for one in matches(part) if one.mass[1] > 0 and one.describe(1)[0].startswith("rho: ")]
        assert told
        for detail, facts in told:
            assert detail.endswith(f" for 1.18{says}")
            assert ("meant" in facts) is (carried is Carried.WRITTEN)

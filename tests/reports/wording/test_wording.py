"""Words: each message asserted whole, and no sentence that blames, shouts or breaks."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from marking.findings import Basis, Cause, Finding, Outcome
from marking.reasons import Reason
from reports.wording.cause_sentences import explain, message, message_of, told_cause
from reports.wording.sentences import facts_quoted, said
from reports.wording.templates import wording
from tests.reports.invented import (
    GRAMS,
    KILOJOULES,
    a_finding,
    an_explanation,
)

HERE = Path(__file__).parent
MESSAGES: Mapping[str, Any] = tomllib.loads((HERE / "messages.toml").read_text(encoding="utf-8"))
EXPLANATIONS: Mapping[str, Any] = tomllib.loads((HERE / "explanations.toml").read_text(encoding="utf-8"))

MOST_WORDS = 16
"""A slot counts as one word: what a student wrote is read as one thing."""
NEVER_SAID = (
    "careless", "poor", "bad", "silly", "lazy", "stupid", "fail", "well done", "good", "great", "excellent",
    "clever", "wrong again", "try harder", "should have", "obvious", "disappointing", "weak", "smart", "proud",
    "brilliant", "perfect", "impressive", "sloppy", "mistake", "your fault", "better than", "worse than",
    "human error", "cheat", "copied", "honest", "rank", "other students", "classmate",
)  # fmt: skip
FORMULA = {"formula": "R = V ÷ I", "unit": "Ω", "symbol": "R"}


def finding_of(reason: str, facts: Mapping[str, str], **kept: str) -> Finding:
    """Return a finding of *reason*, waiting for the teacher where its case says so."""
    case = MESSAGES[reason]
    awarded = not case.get("for_teacher") and "kind" not in wording("reasons")[reason]
    outcome = Outcome.FOR_TEACHER if case.get("for_teacher") else Outcome.AWARDED if awarded else Outcome.WITHHELD
    return a_finding(reason, outcome, facts=facts, **kept)


@pytest.mark.parametrize("reason", MESSAGES)
def test_each_reason_says_one_whole_message(reason: str) -> None:
    """With its facts, a finding says place, what was written, what follows, and how to mend it."""
    case = MESSAGES[reason]
    finding = finding_of(reason, case["facts"], entry=case.get("entry", ""), unit=case.get("unit", ""))
    assert message(finding) == case["says"]


@pytest.mark.parametrize("reason", [one for one in MESSAGES if facts_quoted(Reason(one)) is not None])
def test_a_sentence_that_is_remembered_depends_on_nothing_else(reason: str) -> None:
    """Another student, entry, unit and place: what quotes facts alone says the same."""
    finding = finding_of(reason, MESSAGES[reason]["facts"])
    other = replace(finding, student="S002", entry="7", unit="kg", expected=2.5, source=None, marks=1)
    assert message(finding) == message(other) == MESSAGES[reason]["says"]
    for one in (replace(finding, facts={}), replace(finding, item="V", row=None, facts={})):
        assert message(one) == message_of(one, said(one))


@pytest.mark.parametrize("reason", MESSAGES)
def test_a_missing_fact_makes_a_message_plainer_and_never_breaks_it(reason: str) -> None:
    """Without a single fact the message is still whole."""
    assert message(finding_of(reason, {}, entry="", unit="")) == MESSAGES[reason]["plain"]


def test_every_reason_has_wording() -> None:
    """A new reason cannot be forgotten: words, and a case that shows them."""
    known = {reason.value for reason in Reason}
    assert set(wording("reasons")) == known
    assert set(MESSAGES) == known


@pytest.mark.parametrize(
    "reason", [name for name, case in wording("reasons").items() if "kind" in case or "says_teacher" in case]
)
def test_what_may_wait_for_the_teacher_has_a_name_for_the_teacher(reason: str) -> None:
    """The class summary lists it in words, not by its code."""
    assert wording("reasons")[reason]["teacher"]


def test_every_cause_has_wording() -> None:
    """A new cause cannot be forgotten: words, and a case that shows them."""
    assert set(wording("causes")) == {cause.value for cause in Cause}
    assert set(EXPLANATIONS) == {cause.value for cause in Cause} - {"none"}


@pytest.mark.parametrize(("level", "chance"), [("sure", 0.9), ("likely", 0.6), ("doubtful", 0.3)])
@pytest.mark.parametrize("cause", EXPLANATIONS)
def test_each_cause_is_told_as_surely_as_it_is_known(cause: str, level: str, chance: float) -> None:
    """From 0.8 the cause is named, from 0.5 it is what the answer looks like, below that only the check is."""
    case = EXPLANATIONS[cause]
    found = an_explanation(Cause(cause), chance, **case["facts"])
    assert explain(a_finding("wrong-value", facts=FORMULA, explanations=(found,))) == case[level]


@pytest.mark.parametrize(
    "second", ["unit-conversion", "power-of-ten", "digits-swapped", "copying", "wrong-quantity", "rounded-early"]
)
def test_a_second_slip_is_told_after_the_first(second: str) -> None:
    """One slip mended would still leave the answer wrong, so the other one is not kept back."""
    found = an_explanation(Cause.REARRANGEMENT, 0.9, used="I ÷ V", right="V ÷ I", second=second)
    alone = an_explanation(Cause.REARRANGEMENT, 0.9, used="I ÷ V", right="V ÷ I")
    both, one = (explain(a_finding("wrong-value", facts=FORMULA, explanations=(each,))) for each in (found, alone))
    assert both == f"{one} {wording('sheet')['second_slip'][second]}"


@pytest.mark.parametrize("cause", EXPLANATIONS)
def test_a_cause_without_facts_is_told_plainly(cause: str) -> None:
    """An explanation without facts still makes a whole sentence."""
    found = an_explanation(Cause(cause), 0.9)
    assert explain(a_finding("wrong-value", entry="", unit="", explanations=(found,))) == EXPLANATIONS[cause]["plain"]


@pytest.mark.parametrize(
    ("chance", "opens"),
    [
        pytest.param(0.80, "You did", id="just sure"),
        pytest.param(0.79, "This looks like", id="just not sure"),
        pytest.param(0.50, "This looks like", id="just likely"),
        pytest.param(0.49, "Check which way", id="just not likely"),
    ],
)
def test_the_edges_of_sureness(chance: float, opens: str) -> None:
    """The sentence changes exactly at 0.8 and at 0.5."""
    found = an_explanation(Cause.REARRANGEMENT, chance, used="I ÷ V", right="V ÷ I")
    assert explain(a_finding("wrong-value", facts=FORMULA, explanations=(found,))).startswith(opens)


UPSIDE_DOWN = ("rearrangement", {"used": "I ÷ V", "right": "V ÷ I"})
POINT = ("power-of-ten", {"size": "100 times too small"})
SWAPPED = ("digits-swapped", {})


@pytest.mark.parametrize(
    ("ranked", "says"),
    [
        pytest.param(
            [(0.40, UPSIDE_DOWN), (0.30, POINT)],
            "Two things could do this: I ÷ V for V ÷ I, or a moved decimal point. Check both.",
            id="second at three quarters of the first",
        ),
        pytest.param(
            [(0.42, UPSIDE_DOWN), (0.31, POINT)],
            "Check which way up the formula goes: R = V ÷ I.",
            id="second just below three quarters",
        ),
        pytest.param(
            [(0.33, UPSIDE_DOWN), (0.32, POINT), (0.31, SWAPPED)],
            "Check which way up the formula goes: R = V ÷ I.",
            id="three of a kind are not two",
        ),
        pytest.param(
            [(0.30, UPSIDE_DOWN), (0.19, POINT)],
            "Check which way up the formula goes: R = V ÷ I.",
            id="two that are unlikely together",
        ),
    ],
)
def test_two_nearly_equal_explanations_are_both_named(
    ranked: list[tuple[float, tuple[str, dict[str, str]]]], says: str
) -> None:
    """Two causes that are nearly as likely are both named, and which checks tell them apart; three are not."""
    found = tuple(an_explanation(Cause(cause), chance, **facts) for chance, (cause, facts) in ranked)
    assert explain(a_finding("wrong-value", facts=FORMULA, explanations=found)) == says


def test_two_conversions_of_one_size_say_what_they_share() -> None:
    """Grams or kilojoules: the size is told once, then both, and the cause they share is the cause."""
    finding = a_finding("wrong-value", explanations=(GRAMS, KILOJOULES))
    assert explain(finding) == (
        "Your answer is 1000 times too small. Two things could do this: mass put in as g, or energy put in as kJ. "
        "Check both."
    )
    assert told_cause(finding) is Cause.UNIT_CONVERSION


END_FOR_CHANGE = {
    "used_quantity": "end temperature",
    "right_quantity": "rise",
    "used_value": "40 °C",
    "right_value": "20 °C",
}


@pytest.mark.parametrize(
    ("ranked", "says"),
    [
        pytest.param(
            [
                (0.43, ("copying", {"meant": "16"})),
                (0.27, ("copying", {"meant": "35"})),
                (0.26, ("copying", {"meant": "19"})),
            ],
            "A figure changed in copying. Compare each with where it came from.",
            id="the cause is known, the figure is not",
        ),
        pytest.param(
            [(0.55, ("wrong-quantity", END_FOR_CHANGE)), (0.45, ("wrong-quantity", {"missing": "T₁"}))],
            "You used 40 °C, the end temperature. The formula needs the rise: 20 °C.",
            id="a second way without facts says nothing beside the first",
        ),
        pytest.param(
            [(0.54, ("wrong-quantity", {"missing": "T₁"})), (0.46, ("wrong-quantity", END_FOR_CHANGE))],
            "You used 40 °C, the end temperature. The formula needs the rise: 20 °C.",
            id="nor before it",
        ),
        pytest.param(
            [(0.60, ("copying", {"meant": "16"})), (0.25, ("copying", {"meant": "35"}))],
            "A figure changed in copying: it is 16.",
            id="one way leads clearly",
        ),
        pytest.param(
            [(0.30, ("copying", {"meant": "16"})), (0.25, ("copying", {"meant": "35"})), (0.2, ("sign", {}))],
            "This looks like a figure that changed in copying: it is 16. If that is not it, ask.",
            id="likely together",
        ),
    ],
)
def test_ways_of_one_cause_count_together(ranked: list[tuple[float, tuple[str, dict[str, str]]]], says: str) -> None:
    """A cause is as sure as all its ways together; which way it was is said only where one way leads."""
    found = tuple(an_explanation(Cause(cause), chance, **facts) for chance, (cause, facts) in ranked)
    assert explain(a_finding("wrong-value", explanations=found)) == says


def test_explanations_that_read_alike_are_told_as_one() -> None:
    """A lost bracket and E × ΔT ÷ m print the same number: one message, as sure as both together."""
    used = {"used": "E ÷ m × ΔT", "right": "E ÷ (m × ΔT)"}
    found = (an_explanation(Cause.OPERATION_ORDER, 0.6, **used), an_explanation(Cause.REARRANGEMENT, 0.3, **used))
    assert explain(a_finding("wrong-value", explanations=found)).startswith("Your calculator did E ÷ m × ΔT.")


def test_a_slip_in_the_answers_own_unit_is_told_about_the_answer() -> None:
    """Where the number fits another unit than the one written, nothing was 'put in'."""
    found = an_explanation(
        Cause.UNIT_CONVERSION,
        0.9,
        input_symbol="R",
        given_unit="kΩ",
        needed_unit="Ω",
        given="0.0075 kΩ",
        needed="7.5 Ω",
    )
    finding = a_finding("wrong-value", facts={"symbol": "R"}, explanations=(found,))
    assert explain(finding) == "Your number fits kΩ. In Ω it is 7.5 Ω."


def test_a_wrong_change_of_unit_is_told_as_a_change() -> None:
    """Where nothing was put in, and only the change of unit went another way, the sentence says so."""
    found = an_explanation(
        Cause.UNIT_CONVERSION, 0.9, input_symbol="ρ in kg/m³", given_unit="g/cm³", needed_unit="kg/m³",
        size="1000 times too small",
    )  # fmt: skip
    finding = a_finding("wrong-value", facts={"symbol": "ρ in kg/m³"}, explanations=(found,))
    assert explain(finding) == "Check the change from g/cm³ to kg/m³: your value is 1000 times too small."


def test_answers_in_exchanged_boxes_are_told_as_that() -> None:
    """An answer of another box was not put into the formula."""
    found = an_explanation(
        Cause.WRONG_QUANTITY, 0.9, used_quantity="resistance in parallel", used_value="7.8 Ω",
        right_quantity="resistance in series", right_value="35 Ω",
    )  # fmt: skip
    finding = a_finding("wrong-value", facts={"quantity": "resistance in series, row 3"}, explanations=(found,))
    assert explain(finding) == ("You gave 7.8 Ω, the resistance in parallel. This box is for the resistance in series.")


@pytest.mark.parametrize(
    ("formula", "named"),
    [
        pytest.param("R = V ÷ I", "R = V ÷ I", id="as it is"),
        pytest.param("gradient = gradient of R against L", "the gradient of R against L", id="a line"),
        pytest.param("ρ in kg/m³ = ρ", "", id="no step"),
    ],
)
def test_a_formula_without_a_step_is_not_quoted(formula: str, named: str) -> None:
    """A formula is quoted where it tells what to do."""
    says = explain(a_finding("wrong-value", facts={"formula": formula}))
    assert (
        says
        == f"Work it out again, one line at a time{f', with {named}' if named else ''}. If it does not come out, ask."
    )


def test_a_quantity_that_is_a_question_takes_no_colon() -> None:
    """After a question mark the sentence starts afresh."""
    facts = {"quantity": "is it proportional?", "choice": "no", "choice_expected": "yes"}
    says = message(a_finding("choice-wrong", facts=facts))
    assert says == "Is it proportional? You wrote “no”. Your points show “yes”."


def test_whole_columns_are_not_called_readings_twice() -> None:
    """An answer from whole columns quotes them in place of readings."""
    facts = {"quantity": "gradient", "wrote": "0.23 Ω/m", "readings": "your columns R and L", "expected": "4.41 Ω/m"}
    says = message(a_finding("wrong-value", facts=facts))
    assert says.startswith("Gradient: you wrote 0.23 Ω/m. Your columns R and L lead to 4.41 Ω/m.")


def test_an_earlier_answer_is_among_the_figures_not_the_readings() -> None:
    """What follows from earlier answers follows from the student's figures."""
    facts = {"wrote": "1 Ω", "readings": "V = 3.0 V", "expected": "7.5 Ω"}
    assert "Your figures, V = 3.0 V, lead" in message(
        a_finding("wrong-value", facts=facts, basis=Basis.CARRIED_FORWARD)
    )


def test_a_pasted_book_and_hidden_characters_stay_out_of_a_sentence() -> None:
    """Quoted text is on one line, short, and without control or direction characters."""
    says = message(a_finding("wrong-value", entry="9\u202e9\x00\n" + "7" * 500, unit=""))
    assert len(says) < 250
    assert not re.search(r"[\x00-\x1f\u202a-\u202e]", says)


NOT_FOR_STUDENTS = (
    "numbers",
    "work",
    "for",
    "kind",
    "task",
    "order",
    "teacher",
    "reteach",
    "reteach_places",
    "name_places",
    "name_both",
    "answer",
)


def sentences_below(node: object) -> Iterator[str]:
    """Yield every sentence of a part of a wording file that may reach a student."""
    if isinstance(node, str):
        yield node
    elif isinstance(node, dict):
        for key, below in node.items():
            if key not in NOT_FOR_STUDENTS:
                yield from sentences_below(below)
    elif isinstance(node, list):
        for below in node:
            yield from sentences_below(below)


def _templates() -> Iterator[str]:
    """Yield every sentence of the wording files that may reach a student."""
    for name in ("reasons", "causes", "sheet", "tasks"):
        yield from sentences_below(wording(name))


@pytest.mark.parametrize("template", sorted(set(_templates())))
def test_sentences_to_students_are_short_and_about_the_task(template: str) -> None:
    """No praise and no blame, no exclamation mark, and sentences that an eleven-year-old can read."""
    plain = re.sub(r"\{\w+\}", "slot", template)
    assert "!" not in plain
    assert not [word for word in NEVER_SAID if re.search(rf"\b{word}\b", plain.lower())]
    assert "  " not in plain
    for sentence in re.split(r"(?<=[.?:;])\s", plain):
        words = [word for word in sentence.split() if re.search(r"\w", word)]
        assert len(words) <= MOST_WORDS, sentence

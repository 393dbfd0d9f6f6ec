"""What is told of wrong answers, from the page to the probability of each cause."""

from __future__ import annotations

import warnings

import pytest

from marking.findings import Cause
from tests.catalogue.worked import worked_checks
from tests.checking.causes.wrong_answers_of import told
from tests.checking.rows import HEAT, changed, found, mark_class

SURE = 0.8
RESISTOR = "V_1,,2.96,V\nI_1,,0.30,A\nR_1,,{},{}"


def of_block(answer: str, **changes: str) -> dict[Cause, float]:
    """Return the causes of one value of c, of which 973.4 would be right."""
    return told("specific-heat-block", changed(HEAT, c=answer, **changes), "c")


@pytest.mark.parametrize(
    ("answer", "changes", "cause"),
    [
        ("429000", {}, Cause.OPERATION_ORDER),
        ("20440", {}, Cause.MISSING_FACTOR),
        ("0.001027", {}, Cause.REARRANGEMENT),
        ("97.34", {}, Cause.POWER_OF_TEN),
        ("0.9734", {"m": "998|g"}, Cause.UNIT_CONVERSION),
        ("0.9734", {"E": "20.4|kJ"}, Cause.UNIT_CONVERSION),
        ("492.6", {}, Cause.WRONG_QUANTITY),
        ("-973", {}, Cause.SIGN),
        ("793", {}, Cause.DIGITS_SWAPPED),
    ],
)
def test_known_slips_are_named_for_sure(answer: str, changes: dict[str, str], cause: Cause) -> None:
    """Each leads to figures that hardly anything else does."""
    chances = of_block(answer, **changes)
    assert next(iter(chances)) is cause
    assert chances[cause] >= SURE


@pytest.mark.parametrize("answer", ["991", "955", "942", "948", "930", "986"])
def test_a_few_per_cent_off_for_no_reason(answer: str) -> None:
    """No cause is known of an answer that is near and reached by nothing, whatever digits happen to fit."""
    chances = of_block(answer)
    assert all(chance < SURE for cause, chance in chances.items() if cause is not Cause.UNEXPLAINED)


@pytest.mark.parametrize(("rise", "answer"), [("22.0", "929"), ("23.0", "889"), ("21.4", "955")])
def test_one_digit_of_a_reading_is_likely_but_not_known(rise: str, answer: str) -> None:
    """A miscopied digit may be any of nine in any place: it is among the causes, and never named for sure."""
    chances = of_block(answer)
    assert 0.05 < chances.get(Cause.COPYING, 0.0) < SURE, rise


@pytest.mark.parametrize(
    ("answer", "cause"),
    [("492000", Cause.OPERATION_ORDER), ("24040", Cause.MISSING_FACTOR), ("0.001072", Cause.REARRANGEMENT)],
)
def test_a_wrong_formula_copied_with_two_digits_swapped(answer: str, cause: Cause) -> None:
    """Both slips are told: the formula as the cause, the swap beside it."""
    (finding,) = found("specific-heat-block", changed(HEAT, c=answer), "F1")
    assert finding.cause is cause
    first = finding.explanations[0]
    assert first.facts["second"] == "digits-swapped"
    assert first.detail.endswith(" copied")


def test_the_unit_beside_an_answer_is_evidence() -> None:
    """0.1 A/V is I ÷ V; 0.1 Ω may be a moved point too."""
    turned = {unit: told("resistor-combinations", RESISTOR.format("0.1", unit), "R_1") for unit in ("A/V", "Ω")}
    assert turned["A/V"][Cause.REARRANGEMENT] > turned["Ω"][Cause.REARRANGEMENT] + 0.05
    assert Cause.POWER_OF_TEN in turned["Ω"]
    assert Cause.POWER_OF_TEN not in turned["A/V"]


@pytest.mark.parametrize(
    ("changes", "answer"),
    [({"m": "998|g"}, "0.9734"), ({"E": "20.4|kJ"}, "0.9734"), ({"E": "20.4|kJ", "m": "998|g"}, "0.0009734")],
)
def test_no_point_has_moved_where_a_unit_on_the_sheet_says_it(changes: dict[str, str], answer: str) -> None:
    """A reading left as it was recorded explains the very same figures."""
    assert Cause.POWER_OF_TEN not in of_block(answer, **changes)


@pytest.mark.parametrize("name", sorted(worked_checks()))
def test_a_zero_for_a_reading_names_nothing_for_certain(name: str) -> None:
    """Nothing divided by zero, and no zero divided, explains an answer; the interpreter has nothing to warn of."""
    worked = worked_checks()[name]
    items = worked.rubric.items
    write_ups = {}
    for number, (box, (_, unit)) in enumerate(worked.boxes.items()):
        if not items[box[0]].is_words:
            boxes = worked.boxes | {box: ("0", unit)}
            lines = (
                f"{item},{'' if row is None else row},{entry},{sign}" for (item, row), (entry, sign) in boxes.items()
            )
            write_ups[f"S{number:03}"] = "\n".join(lines)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        scripts = mark_class(worked.rubric, write_ups).scripts
    by_writing = (Cause.UNEXPLAINED, Cause.UNIT_WRONG, Cause.UNIT_MISSING, Cause.SIGNIFICANT_FIGURES)
    sure = [
        (finding.item, finding.row, finding.entry, finding.cause)
        for script in scripts
        for finding in script.findings
        if finding.explanations and finding.cause not in by_writing and not finding.expected
        if (finding.confidence or 0) >= SURE
    ]
    assert sure == []


@pytest.mark.parametrize("moles", ["0.0263", "0.02625"])
def test_a_unit_that_hides_its_reading_is_no_explanation(moles: str) -> None:
    """Moles of what is left over: litres called millilitres in the other one would print them too, and show nothing."""
    solutions = "V_a,,25.0,cm³\nV_b,,25.0,cm³\nc_a,,1.00,mol/dm³\nc_b,,1.05,mol/dm³"
    chances = told("neutralisation-enthalpy", f"{solutions}\nn,,{moles},mol", "n")
    assert next(iter(chances)) is Cause.WRONG_QUANTITY
    assert chances.get(Cause.UNIT_CONVERSION, 0.0) < 0.1

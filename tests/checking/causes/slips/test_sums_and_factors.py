"""Sums divided by another count, zeros left out, and products in which a factor came in twice, as they are told."""

from __future__ import annotations

import pytest

from marking.findings import Cause, Finding
from reports.wording.cause_sentences import message
from tests.checking.rows import found, in_table

SURE = 0.8
ROWS = in_table(V="1.00 2.00 3.00 4.00 V", I="0.10 0.20 0.31 0.40 A", R="10.0 10.0 9.7 10.0 Ω")
PLANTS = "a,,0.25,m²\nl,,24,m\nw,,18,m\nfield,,432,m²\n" + in_table(plants="4 0 7 3 0 6 5 0 2 8 -")
HEATED = "m,,0.995,kg\nV,,11.8,V\nI,,3.9,A\nt,,310,s\nT_start,,19.5,°C\nT_end,,33.2,°C\ndT,,13.7,°C\n"


def told_of(practical: str, lines: str, item: str) -> Finding:
    """Return what is said of a wrong answer."""
    return next(one for one in found(practical, lines) if one.item == item and one.explanations)


@pytest.mark.parametrize(
    ("mean", "cause", "words"),
    [
        ("3.18", Cause.MISSING_FACTOR, "the sum of 10 values divided by 11"),  # 35 ÷ 11
        ("3.89", Cause.MISSING_FACTOR, "the sum of 10 values divided by 9"),  # 35 ÷ 9
        (
            "27.8",
            Cause.OPERATION_ORDER,
            "Your calculator did 27.0 + 8.00 ÷ 10. Use brackets: (27.0 + 8.00) ÷ 10.",
        ),  # 27 + 8 ÷ 10
        ("5.00", Cause.WRONG_QUANTITY, "the zeros were left out of the mean"),  # 35 ÷ 7
    ],
    ids=["one-more", "one-less", "no-bracket", "no-zeros"],
)
def test_means_of_a_column(mean: str, cause: Cause, words: str) -> None:
    """Ten squares, 35 plants, three squares empty: 3.5."""
    told = told_of("quadrat", f"{PLANTS}\nmean_plants,,{mean},", "mean_plants")
    assert told.cause is cause
    assert (told.confidence or 0.0) >= SURE
    assert words in message(told)


def test_a_mean_with_no_zeros_has_none_to_leave_out() -> None:
    """Beside ten squares all of which hold plants a mean that is off is not told so."""
    lines = PLANTS.replace(",0,", ",1,")
    told = told_of("quadrat", f"{lines}\nmean_plants,,5.00,", "mean_plants")
    assert all("zeros" not in one.detail for one in told.explanations)


@pytest.mark.parametrize(
    ("energy", "detail"),
    [("55600", "V * I**2 * t"), ("7133", "V * I * t / 2"), ("28530", "2 * V * I * t")],
    ids=["squared", "halved", "doubled"],
)
def test_a_factor_that_came_in_twice(energy: str, detail: str) -> None:
    """11.8 V × 3.9 A × 310 s are 14 266 J; that of the current's square, half of it and twice it are each told."""
    told = told_of("specific-heat-block-vit", f"{HEATED}E,,{energy},J", "E")
    assert told.cause is Cause.MISSING_FACTOR
    assert detail.replace(" ", "") in {one.detail.replace(" ", "") for one in told.explanations}


@pytest.mark.parametrize("energy", ["14300", "14266", "1.43e4"])
def test_what_is_right_is_not_explained(energy: str) -> None:
    """However it is written."""
    lines = [one for one in found("specific-heat-block-vit", f"{HEATED}E,,{energy},J") if one.item == "E"]
    assert lines
    assert all(not one.explanations for one in lines if one.criterion == "P2")


def test_a_sum_is_told_beside_the_mean_that_it_was_to_be() -> None:
    """A gradient is right as well; whoever added the resistances up was on the way to their mean."""
    told = told_of("iv-characteristic", f"{ROWS}\ncomponent,,fixed resistor,\nR_component,,39.7,Ω", "R_component")
    assert "You did sum of R. It is mean of R." in message(told)

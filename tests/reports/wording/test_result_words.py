"""How sure a result is, in words: each sentence asserted whole."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from marking.findings import Agrees, Result, ResultUncertainty, UncertaintyForm
from reports.wording.result_words import result_sentences, with_plus_minus
from rubrics.model.practical import AcceptedValue

ACCEPTED = AcceptedValue(name="aluminium", value=897.0, uncertainty=3.0, source="a handbook", edition="1")
SURE = ResultUncertainty(
    plus_minus=31.4,
    form=UncertaintyForm.READINGS,
    as_percentage=False,
    standard=12.0,
    freedom=8.0,
    agrees=Agrees.YES,
)
RESULT = Result(value=913.2, written=913.0, unit="J/(kg °C)", accepted=ACCEPTED, uncertainty=SURE)


def said(**changed: object) -> list[str]:
    """Return the sentences of a result whose uncertainty has some fields changed."""
    return result_sentences(replace(RESULT, uncertainty=replace(SURE, **changed)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("form", "as_percentage", "says"),
    [
        ("readings", False, "Your readings lead to 910 ± 30 J/(kg °C). The ± takes half a division of each reading."),
        ("repeats", False, "Your readings lead to 910 ± 30 J/(kg °C). The ± takes half the range of the repeats."),
        (
            "line",
            False,
            "The line through your points gives 910 ± 30 J/(kg °C). "
            "The ± comes from the steepest and the flattest line that fit your points.",
        ),
        (
            "readings",
            True,
            "Your readings lead to 913 J/(kg °C) ± 3 %. The ± adds the percentage uncertainties of the readings.",
        ),
        (
            "repeats",
            True,
            "Your readings lead to 913 J/(kg °C) ± 3 %. "
            "The ± adds half the range of the repeats and the other readings, in per cent.",
        ),
        (
            "line",
            True,
            "Your readings lead to 913 J/(kg °C) ± 3 %. "
            "The ± comes from the steepest and the flattest line that fit your points.",
        ),
    ],
)
def test_where_the_plus_or_minus_comes_from(form: str, as_percentage: bool, says: str) -> None:
    """In the school's form for the level."""
    assert said(form=UncertaintyForm(form), as_percentage=as_percentage)[0] == says


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({}, "The accepted value is 897 ± 3 J/(kg °C). The two ranges meet, so they agree."),
        (
            {"agrees": Agrees.EDGE},
            "The accepted value is right at the edge of the ±. Better readings would tell.",
        ),
        (
            {"agrees": Agrees.NO, "direction": "high", "usual_cause": "Heat is lost."},
            "It is above the accepted value by more than the ±. Here is a usual reason. Heat is lost.",
        ),
        ({"agrees": Agrees.NO, "direction": "low"}, "It is below the accepted value by more than the ±."),
        (
            {"agrees": Agrees.NO, "direction": "high", "usual_cause": "Heat is lost.", "is_beyond": True},
            "It is above the accepted value by more than the ±. That is too far for the usual reasons. "
            "Look for a slip in a reading first.",
        ),
    ],
)
def test_agreement_in_words(changed: dict[str, object], says: str) -> None:
    """Whether the two agree, which way they differ, and why that is."""
    assert said(**changed)[1:] == [says]


def test_an_exact_accepted_value() -> None:
    """One without a spread of its own lies inside the plus-or-minus."""
    exact = replace(RESULT, accepted=replace(ACCEPTED, uncertainty=0.0))
    assert result_sentences(exact)[1] == ("The accepted value is 897 J/(kg °C). It lies inside the ±, so they agree.")
    assert result_sentences(replace(exact, unit=""))[1] == (
        "The accepted value is 897. It lies inside the ±, so they agree."
    )


def test_a_point_left_out_is_said() -> None:
    """The value is that of the line without the ringed point."""
    first = result_sentences(RESULT, leaves_out=True)[0]
    assert first.startswith("Without the ringed point your readings lead to 910 ± 30 J/(kg °C).")


def test_the_short_form() -> None:
    """A full page says the value and which way, no more."""
    sure = replace(SURE, agrees=Agrees.NO, direction="high", usual_cause="Heat is lost.")
    assert result_sentences(replace(RESULT, uncertainty=sure), is_short=True, with_cause=False) == [
        "Your readings lead to 910 ± 30 J/(kg °C).",
        "It is above the accepted value by more than the ±.",
    ]


def test_nothing_is_said_where_nothing_is_known() -> None:
    """No uncertainty, or one of zero: no sentence. No accepted value: none on agreement."""
    assert result_sentences(replace(RESULT, uncertainty=None)) == []
    assert said(plus_minus=0.0) == []
    assert len(said(agrees=Agrees.UNKNOWN)) == 1


@pytest.mark.parametrize(
    ("value", "plus_minus", "says"),
    [
        (4.2771, 0.0561, "4.28 ± 0.06 m"),
        (9.9961, 0.0149, "9.996 ± 0.015 m"),
        (12.0, 0.36, "12.0 ± 0.4 m"),
        (1006.0, 31.0, "1010 ± 30 m"),
        (1006.0, 131.0, "1010 ± 130 m"),
        (0.97, 0.0096, "0.970 ± 0.010 m"),
        (-3.14159, 0.02, "−3.14 ± 0.02 m"),
        (6.63e-34, 2.1e-35, "(6.6 ± 0.2) × 10⁻³⁴ m"),
        (4.1234e8, 2.1e6, "(4.12 ± 0.02) × 10⁸ m"),
        (0.4, 30.0, "0 ± 30 m"),
    ],
)
def test_value_and_plus_or_minus_end_at_the_same_place(value: float, plus_minus: float, says: str) -> None:
    """JCGM 100, 7.2.6: digits of the result are consistent with its uncertainty."""
    assert with_plus_minus(value, plus_minus, "m") == says

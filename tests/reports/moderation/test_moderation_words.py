"""Every ruling, reason, role and outcome has its words; figures are printed as they are worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pypdf
import pytest

from marking.decided import (
    AppealAnswered,
    AppealAsked,
    SetName,
)
from marking.moderation.comparing import compare
from marking.moderation.decisions import (
    Appeal,
    AppealOutcome,
    Proposal,
    Ruling,
    SigningRole,
    proposals,
)
from marking.moderation.joint import Adjustment
from marking.moderation.sampling import Reason
from reports.moderation import letter_sentences, proposal_sentence, write_appeal_letter
from reports.moderation.agreement_words import agreement_sentences, joint_sentence, places
from reports.moderation.ruling_words import change_words
from reports.wording import wording
from tests.moderation.scripts import round_of
from tests.moderation.statistics.test_published_agreement import FIRST, SECOND

SHARED = {
    "id": "1",
    "who": "Dr Osei",
    "set": SetName(class_name="9A", practical="p"),
    "student": "P1",
    "criterion": "K1",
}


def test_nothing_is_without_words() -> None:
    """A word that is added needs its sentence."""
    words = wording("moderation")
    assert {one.value for one in Ruling} <= words["rulings"].keys()
    assert {one.value for one in Ruling} <= words["proposals"].keys()
    assert {one.value for one in Reason} <= words["reasons"].keys()
    assert {one.value for one in SigningRole} <= words["signatures"].keys()
    assert {one.value for one in AppealOutcome} <= words["letter"].keys()


@pytest.mark.parametrize("ruling", Ruling)
def test_every_proposal_is_a_whole_sentence(ruling: Ruling) -> None:
    """All facts known: no slot is left, and the sentence ends."""
    fitted = Adjustment(marker="Ann", slope=1.0, constant=1.0, out_of=8, pairs=20)
    one = Proposal(ruling=ruling, marker="Ann", criterion="K1", adjustment=fitted, scripts=("BX12",), shift=-1.0)
    said = proposal_sentence(one)
    assert said.startswith("Ann: ")
    assert said.endswith(".")
    assert "{" not in said


@pytest.mark.parametrize(
    ("value", "count", "signed", "shown"),
    [
        (0.5, 2, True, "+0.50"),
        (-0.8208, 2, True, "−0.82"),
        (0.9625, 3, False, "0.963"),
        (0.9624999999999989, 3, False, "0.963"),
        (-0.0001, 2, True, "0.00"),
        (1.0, 0, True, "+1"),
    ],
)
def test_places(value: float, count: int, signed: bool, shown: str) -> None:
    """Halves away from zero, a proper minus, and no signed nought."""
    assert places(value, count, signed=signed) == shown


def test_the_worked_example_in_words() -> None:
    """Severity comes first, kappa and correlation last."""
    from marking.moderation.comparing import GroupAgreement
    from marking.moderation.statistics import agreement

    found = agreement(FIRST, SECOND, 15)
    lines = agreement_sentences(GroupAgreement(name="Ann", drawn=found, looked_at=found.counts))
    assert lines[0] == (
        "Mean difference +0.50 marks (95 % interval +0.07 to +0.93); the first marks are the more generous."
    )
    assert lines[1] == "Of 12 scripts: 12 within 1, 4 the same, 12 a mark apart or less."
    assert lines[2].startswith("95 in 100 differences are expected from −0.82 ")
    assert lines[-2].startswith("Quadratic weighted kappa 0.96 ")
    assert lines[-1].startswith("ICC(2,1) 0.97 ")


def test_change_words() -> None:
    """One mark, two marks, a line."""
    made = [
        Adjustment(marker="A", slope=slope, constant=constant, out_of=8, pairs=20)
        for slope, constant in ((1.0, 1.0), (1.0, -2.0), (1.2, -0.5))
    ]
    assert [change_words(one) for one in made] == ["+1 mark", "−2 marks", "the line 1.20 × mark −0.50"]


def test_what_the_joint_test_says() -> None:
    """Nobody, or more scripts first."""
    shifts = {"Ann": 0, "Ben": 0, "Cy": 0, "Di": 0}
    key, back = round_of(shifts)
    assert "nobody stands out" in joint_sentence(compare([key], back))
    key, back = round_of({**shifts, "Ben": -1})
    found = compare([key], back)
    assert "Ben may be off" in joint_sentence(found).replace("Ben, Cy", "Ben")
    assert any(one.ruling is Ruling.MORE for one in proposals(found))


@pytest.mark.parametrize(
    ("outcome", "marks", "told"),
    [
        ("upheld", 0, "The mark stays as it is: 0 of 1."),
        ("raised", 1, "The mark goes up from 0 to 1 of 1."),
        ("lowered", 0, "You were told beforehand that this can happen."),
        ("scheme-unclear", 0, "Everybody's mark for it is looked at again"),
    ],
)
def test_the_letter(tmp_path: Path, outcome: str, marks: int, told: str) -> None:
    """What was asked, who looked, what came of it, and why."""
    asked = AppealAsked(**SHARED, number=1, when="2026-03-03T09:00:00+00:00", why="I named it")  # type: ignore[arg-type]
    answered = AppealAnswered(
        **SHARED, number=2, when="2026-03-05T09:00:00+00:00", why="It is named in line 2.", outcome=outcome,
        marks=marks, was="1" if outcome == "lowered" else "0",
    )  # type: ignore[arg-type]  # fmt: skip
    appeal = Appeal(asked=asked, answered=answered)
    said = letter_sentences(appeal, "Compared with a named value", 1)
    assert told in " ".join(said)
    assert said[-1] == "The reason: It is named in line 2."
    write_appeal_letter(tmp_path / "letter.pdf", appeal, "Compared with a named value", 1)
    text = " ".join(pypdf.PdfReader(tmp_path / "letter.pdf").pages[0].extract_text().split())
    assert "who did not mark it first" in text
    with pytest.raises(ValueError, match="not answered"):
        letter_sentences(Appeal(asked=asked, answered=None), "x", 1)

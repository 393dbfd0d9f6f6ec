"""Answers by another hand than the rubrics', a quarter of them traps, and answers in parts: how well proposals fit."""

from __future__ import annotations

from functools import cache

import pytest

from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Proposal
from tests.short_answers.marked_hands import (
    FILE,
    FULL,
    NOTHING,
    UNSURE,
    as_written,
    asked,
    kept_apart,
    rows,
    without_own_hand,
)
from tests.short_answers.proposed_rows import HANDS, is_proposed

LEAST_PRECISION = 0.97
LEAST_RECALL = 0.60
LEAST_RECALL_IN_PARTS = 0.85
MOST_TRAPS = 1 / 50
NEW_HANDS = ("sixth_hand.csv", "seventh_hand.csv")
"""Two hands, two thirds of each of which the wordings were widened on; the rest was only measured."""
LEAST_PRECISION_KEPT_APART = 0.96
LEAST_RECALL_KEPT_APART = 0.57
MOST_TRAPS_KEPT_APART = 1 / 20
"""Reached on the third kept apart, by the answers of other hands; 0.60 and 1 in 50 are aimed at."""
MOST_ADVERSARIAL = 1 / 25
"""Of traps that were made of the right words on purpose."""
LEAST_RECALL_OF_NEIGHBOURS = 0.55
"""By the answers of other hands, which say little of traps made on purpose; by all that the program knows, more."""
LEAST_RECALL_OF_TEMPTING = 0.80
MOST_TEMPTING = 1 / 20
"""Of answers that were written to fit single wordings."""
LEAST_PRECISION_OF_EIGHTH = 0.98
LEAST_RECALL_OF_EIGHTH = 0.64
LEAST_PRECISION_OF_TENTH = 0.94
LEAST_RECALL_IN_SECOND_PARTS = 0.78
"""Reached on a hand and on parts that were designed on after they had been read unseen."""


@cache
def free_text() -> tuple[tuple[bool, bool, bool], ...]:
    """Return for each answer: is it proposed, is it fully right, is it a trap."""
    found = []
    for name in HANDS:
        found += [(is_proposed(name, row), row["fair"] == FULL, row["trap"] == "yes") for row in rows(name)]
    return tuple(found)


@cache
def in_parts(name: str = "in_parts.csv") -> tuple[tuple[bool, bool], ...]:
    """Return the first two of these for the answers in parts of the file *name*."""
    return tuple((is_proposed(name, row), row["fair"] == FULL) for row in rows(name))


def test_a_quarter_are_traps_and_every_question_of_the_catalogue_has_some() -> None:
    """The bank is what it says it is."""
    assert len(free_text()) >= 850
    assert sum(trap for _, _, trap in free_text()) / len(free_text()) >= 0.25


def test_what_is_proposed_is_right() -> None:
    """Of the marks proposed for whole sentences at least 97 in 100 are earned, and of those earned 60 in 100 found."""
    proposed = [full for got, full, _ in free_text() if got]
    earned = [got for got, full, _ in free_text() if full]
    assert sum(proposed) / len(proposed) >= LEAST_PRECISION
    assert sum(earned) / len(earned) >= LEAST_RECALL


@cache
def new_hands() -> tuple[tuple[bool, bool, bool, bool], ...]:
    """Return for each answer of the new hands the same three, and whether it is of the third kept apart."""
    found = []
    for name in NEW_HANDS:
        for row, is_apart in zip(rows(name), kept_apart(name), strict=True):
            found.append((is_proposed(name, row), row["fair"] == FULL, row["trap"] == "yes", is_apart))
    return tuple(found)


@pytest.mark.parametrize(
    ("is_apart", "precision", "recall", "most"),
    [
        pytest.param(True, LEAST_PRECISION_KEPT_APART, LEAST_RECALL_KEPT_APART, MOST_TRAPS_KEPT_APART, id="apart"),
        pytest.param(False, LEAST_PRECISION, LEAST_RECALL, MOST_TRAPS, id="designed on"),
    ],
)
def test_two_new_hands_are_read(is_apart: bool, precision: float, recall: float, most: float) -> None:
    """Each third of a question that nothing was fitted to is held to what it reached, the rest to what is asked."""
    here = [(got, full, trap) for got, full, trap, apart in new_hands() if apart is is_apart]
    proposed = [full for got, full, _ in here if got]
    earned = [got for got, full, _ in here if full]
    traps = [got for got, full, trap in here if trap and not full]
    assert sum(proposed) / len(proposed) >= precision
    assert sum(earned) / len(earned) >= recall
    assert sum(traps) / len(traps) <= most


def test_the_eighth_hand_is_read() -> None:
    """Unseen when opened: 0.91 right (97 of 107), 0.65 found, 10 of 100 traps; since then it was designed on."""
    found = [
        (is_proposed("eighth_hand.csv", row), row["fair"] == FULL, row["trap"] == "yes")
        for row in rows("eighth_hand.csv")
    ]
    proposed = [full for got, full, _ in found if got]
    assert sum(proposed) / len(proposed) >= LEAST_PRECISION_OF_EIGHTH
    assert sum(got for got, full, _ in found if full) / sum(full for _, full, _ in found) >= LEAST_RECALL_OF_EIGHTH
    assert sum(got for got, full, trap in found if trap and not full) <= MOST_TRAPS * sum(trap for *_, trap in found)


def test_the_ninth_hand_is_read() -> None:
    """Nothing was designed on it: 71 of 72 right, 71 of 80 found, no trap; 22 of 24 found in parts, all right."""
    found = [(is_proposed("ninth_hand.csv", row), row["fair"] == FULL) for row in rows("ninth_hand.csv")]
    assert sum(got and not full for got, full in found) <= 1
    assert sum(got and full for got, full in found) >= 70
    cut = in_parts("in_parts_third.csv")
    assert [full for got, full in cut if got and not full] == []
    assert sum(got for got, full in cut if full) >= 22


def test_the_eleventh_hand_is_read() -> None:
    """Unseen when opened: 94 of 96 right, 94 of 120 found, 1 of 75 traps; 32 of 35 found in parts, all right.

    Then it was looked at once more, for how much a short answer has to have in its favour: now one more is found, and
    four are proposed on which its marker would not decide. So what it shows now is not wholly unseen.
    """
    found = [(is_proposed("eleventh_hand.csv", row), row["fair"], row["trap"]) for row in rows("eleventh_hand.csv")]
    assert sum(got and fair == FULL for got, fair, _ in found) >= 94
    assert sum(got and fair not in (FULL, UNSURE) for got, fair, _ in found) <= 1
    assert sum(got and trap == "yes" for got, _, trap in found) <= 1
    cut = in_parts("in_parts_fifth.csv")
    assert [full for got, full in cut if got and not full] == []
    assert sum(got for got, full in cut if full) >= 32


def test_the_thirteenth_hand_is_read() -> None:
    """Unseen when opened: 59 of 60 right, 59 of 80 found, 1 of 78 traps; 23 of 30 found in parts, all right.

    Then what was missed in parts was looked at: where several sources or a spoilt improvement share words with one.
    """
    found = [(is_proposed("thirteenth_hand.csv", row), row["fair"], row["trap"]) for row in rows("thirteenth_hand.csv")]
    assert sum(got and fair != FULL for got, fair, _ in found) <= 1
    assert sum(got and fair == FULL for got, fair, _ in found) >= 58
    cut = in_parts("in_parts_seventh.csv")
    assert [full for got, full in cut if got and not full] == []
    assert sum(got for got, full in cut if full) >= 26


def test_the_fourteenth_hand_is_read_in_parts() -> None:
    """Unseen when opened: 42 of 44 right, 42 of 45 found; one of the two that were wrong is mended since."""
    found = in_parts("in_parts_eighth.csv")
    assert sum(got and not full for got, full in found) <= 1
    assert sum(got and full for got, full in found) >= 41


@pytest.mark.parametrize(
    ("name", "parts", "least", "most_wrong", "least_in_parts"),
    [
        pytest.param("fifteenth_hand.csv", "in_parts_ninth.csv", 93, 2, 30, id="fifteenth"),
        pytest.param("sixteenth_hand.csv", "in_parts_tenth.csv", 86, 1, 32, id="sixteenth"),
        pytest.param("seventeenth_hand.csv", "in_parts_eleventh.csv", 106, 2, 28, id="seventeenth"),
        pytest.param("eighteenth_hand.csv", "in_parts_twelfth.csv", 109, 1, 28, id="eighteenth"),
        pytest.param("nineteenth_hand.csv", "in_parts_thirteenth.csv", 97, 2, 34, id="nineteenth"),
        pytest.param("twentieth_hand.csv", "in_parts_fourteenth.csv", 98, 1, 31, id="twentieth"),
    ],
)
def test_later_hands_are_read(name: str, parts: str, least: int, most_wrong: int, least_in_parts: int) -> None:
    """Unseen when opened, the first two: 97 of 102 and 90 of 97 right, 97 of 138 and 90 of 146 found.

    Traps 5 of 127 and 7 of 122; in parts 30 of 30 and 30 of 31 right, 30 of 34 found on both. Then all that was wrong
    was looked at. The next two, opened after that: 108 of 111 and 111 of 112 right, 108 of 143 and 111 of 132 found,
    3 of 129 and 1 of 128 traps; in parts 28 of 28 and 28 of 30 right, of 30 and 32. The last two, opened once at the
    end, by which nothing goes: 98 of 100 and 99 of 100 right, 98 of 141 and 99 of 145 found, 2 of 137 and 1 of 123
    traps; in parts 34 of 36 and 31 of 31 right, of 35 and 32.
    """
    found = [(is_proposed(name, row), row["fair"]) for row in rows(name)]
    assert sum(got and fair == NOTHING for got, fair in found) <= most_wrong
    assert sum(got and fair == FULL for got, fair in found) >= least
    cut = in_parts(parts)
    assert sum(got and not full for got, full in cut) <= 1
    assert sum(got and full for got, full in cut) >= least_in_parts


def test_the_twelfth_hand_is_read() -> None:
    """Unseen when opened: 80 of 87 right, 80 of 130 found, 5 of 133 traps; 31 of 40 found in parts, all right.

    Then it was looked at once for what was proposed and should not have been: three general faults were mended.
    """
    found = [(is_proposed("twelfth_hand.csv", row), row["fair"], row["trap"]) for row in rows("twelfth_hand.csv")]
    assert sum(got and fair in ("half", "none") for got, fair, _ in found) <= 2
    assert sum(got and fair == FULL for got, fair, _ in found) >= 79
    cut = in_parts("in_parts_sixth.csv")
    assert [full for got, full in cut if got and not full] == []
    assert sum(got for got, full in cut if full) >= 31


def test_the_tenth_hand_is_read() -> None:
    """Unseen when opened: 80 of 87 right, 80 of 140 found, 2 of 90 traps; two rows of three were then designed on."""
    found = [(is_proposed("tenth_hand.csv", row), row["fair"] == FULL, row["trap"]) for row in rows("tenth_hand.csv")]
    proposed = [full for got, full, _ in found if got]
    assert sum(proposed) / len(proposed) >= LEAST_PRECISION_OF_TENTH
    assert sum(got for got, full, _ in found if full) / sum(full for _, full, _ in found) >= LEAST_RECALL
    assert sum(got for got, full, trap in found if trap == "yes" and not full) <= 2


def test_the_fourth_parts_are_read() -> None:
    """Unseen when opened: 33 of 37 right, 33 of 45 found; two rows of three were then designed on."""
    found = in_parts("in_parts_fourth.csv")
    assert sum(got and not full for got, full in found) <= 1
    assert sum(got for got, full in found if full) >= 33


def test_the_file_of_marked_answers_is_made_of_these() -> None:
    """What the program goes by is what stands here, less what is kept apart."""
    assert FILE.read_text(encoding="utf-8") == as_written()


def test_the_second_parts_are_read() -> None:
    """Unseen, when they were opened: 43 of 47 right, 43 of 55 found; since then they were designed on."""
    found = in_parts("in_parts_second.csv")
    assert [full for got, full in found if got and not full] == []
    earned = [got for got, full in found if full]
    assert sum(earned) / len(earned) >= LEAST_RECALL_IN_SECOND_PARTS


def test_traps_are_left_to_the_teacher() -> None:
    """Of the traps that earn nothing, or only half, at most one in fifty is proposed as earned."""
    traps = [got for got, full, trap in free_text() if trap and not full]
    assert sum(traps) / len(traps) <= MOST_TRAPS


def test_near_misses_are_told_from_right_answers() -> None:
    """Pairs that differ in a word or two: the right one of each is proposed, the other is not."""
    found = [(is_proposed("near_misses.csv", row), row["fair"] == FULL) for row in rows("near_misses.csv")]
    proposed = [full for got, full in found if got]
    assert sum(proposed) / len(proposed) >= LEAST_PRECISION
    assert sum(got for got, full in found if full) / sum(full for _, full in found) >= LEAST_RECALL


@pytest.mark.parametrize("kind", ["worse", "denied"])
def test_what_makes_it_worse_and_what_is_denied_is_left_to_the_teacher(kind: str) -> None:
    """An improvement that makes the error larger, and a source that the answer itself says was not there."""
    traps = [row for row in rows("worse_or_denied.csv") if row["kind"] == kind]
    got = [row["text"] for row in traps if is_proposed("worse_or_denied.csv", row)]
    assert len(traps) >= 100
    assert len(got) / len(traps) <= MOST_ADVERSARIAL, got


def test_their_right_neighbours_are_found() -> None:
    """Right answers in the same words are still proposed."""
    right = [row for row in rows("worse_or_denied.csv") if row["kind"] == "right"]
    got = [is_proposed("worse_or_denied.csv", row) for row in right]
    assert sum(got) / len(got) >= LEAST_RECALL_OF_NEIGHBOURS


def test_tempting_answers_are_told_from_plain_ones() -> None:
    """Answers written against the wordings themselves: of the wrong ones few pass, of the right ones most."""
    found = [
        (
            read_answer(asked(row), row["text"], marked=without_own_hand("tempting.csv", row)).proposal,
            row["fair"] == FULL,
        )
        for row in rows("tempting.csv")
    ]
    wrong = [proposal is Proposal.AWARDED for proposal, full in found if not full]
    right = [proposal for proposal, full in found if full]
    assert len(wrong) >= 200
    assert sum(wrong) / len(wrong) <= MOST_TEMPTING
    assert right.count(Proposal.AWARDED) / len(right) >= LEAST_RECALL_OF_TEMPTING
    assert Proposal.WITHHELD not in right


def test_in_parts_most_is_decided() -> None:
    """In parts nothing wrong is proposed, and of what is earned at least 85 in 100 is found."""
    assert [full for got, full in in_parts() if got and not full] == []
    earned = [got for got, full in in_parts() if full]
    assert len(in_parts()) >= 60
    assert sum(earned) / len(earned) >= LEAST_RECALL_IN_PARTS

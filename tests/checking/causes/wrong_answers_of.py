"""Wrong answers of a few lines of CSV, as those who explain them get them."""

from __future__ import annotations

from collections.abc import Mapping

from marking.checking.answers import Board, Judged, judge, lay_out
from marking.checking.causes.wrong import WrongAnswers, gather
from marking.findings import Cause, Explanation
from tests.checking.rows import HEAT, changed, found, read_class


def board_of(practical: str, write_ups: Mapping[str, str]) -> tuple[Board, Mapping[str, Judged]]:
    """Return a class laid out and judged."""
    rubric, class_set = read_class(practical, write_ups)
    board = lay_out(rubric, class_set.write_ups)
    return board, judge(board)


def wrong_answers(practical: str, item: str, *write_ups: str) -> WrongAnswers:
    """Return the wrong answers to *item*, one student a write-up."""
    board, judged = board_of(practical, {f"S{number:03}": text for number, text in enumerate(write_ups)})
    return gather(board, judged, board.rubric.items[item])


def block(*answers: str, **changes: str) -> WrongAnswers:
    """Return wrong answers to c from the readings of ``HEAT``, of which 973.4 J/(kg °C) would be right."""
    return wrong_answers("specific-heat-block", "c", *(changed(HEAT, c=one, **changes) for one in answers))


def told(practical: str, lines: str, item: str) -> dict[Cause, float]:
    """Return the probability of each cause of the value of *item*, the likeliest first."""
    finding = next(one for one in found(practical, lines) if one.item == item and one.explanations)
    return totals(finding.explanations)


def totals(explanations: tuple[Explanation, ...]) -> dict[Cause, float]:
    """Return the probability of each cause."""
    chances: dict[Cause, float] = {}
    for one in explanations:
        chances[one.cause] = chances.get(one.cause, 0.0) + one.probability
    return chances

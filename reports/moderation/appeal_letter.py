"""The answer to a student who asked for a review of a mark, in writing, with the reason."""

from __future__ import annotations

from pathlib import Path

from marking.moderation.decisions import Appeal
from reports.page import BODY, Block, text
from reports.teacher import write_staff_pages
from reports.wording import fill, wording


def letter_sentences(appeal: Appeal, point: str, out_of: int) -> list[str]:
    """Return the letter, a sentence or two at a time.

    Args:
        appeal: A question that was answered.
        point: What earns the mark, in the words of the scheme.
        out_of: Marks of the criterion.
    """
    words = wording("moderation")["letter"]
    answered = appeal.answered
    if answered is None:
        raise ValueError("this question is not answered yet")
    slots = {
        "day": appeal.asked.when[:10],
        "criterion": appeal.asked.criterion,
        "point": point,
        "who": answered.who,
        "was": answered.was,
        "marks": str(answered.marks),
        "out_of": str(out_of),
        "why": answered.why,
    }
    return [fill([words[name]], slots) for name in ("asked", "who", answered.outcome, "why")]


def write_appeal_letter(path: Path, appeal: Appeal, point: str, out_of: int) -> None:
    """Write the letter as a page."""
    words = wording("moderation")["letter"]
    blocks = [Block(parts=(text(BODY, said),), gap=8) for said in letter_sentences(appeal, point, out_of)]
    write_staff_pages(path, words["document"], words["title"], blocks)

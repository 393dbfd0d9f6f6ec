"""Which labelled answers the program goes by, and the file that it finds them in.

``python -m tests.short_answers.marked_hands`` writes that file anew, and the counts of its words beside it. Rows that
are kept apart, and hands that nothing is designed on, stay out of it: what is measured on them is measured unseen. What
is measured on the others goes by all hands but their own.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from pathlib import Path

import rtoml

from marking.checking.short_answers.marked_before import Marked, answers, kept_counts
from rubrics.load import load_catalogue
from rubrics.model import Question
from tests.short_answers.labelled import half

FOLDER = Path(__file__).parent
FILE = Path(answers.__file__).parent / "answers.toml"
COUNTS = FILE.with_name(kept_counts.FILE)
FULL = "full"
NOTHING = "none"
"""Half an answer is no example of either: all its words stand in right ones."""
UNSURE = "unsure"
"""An answer that two markers may mark otherwise is no example of either."""
EVERY_ROW = (
    "other_hand.csv",
    "third_hand.csv",
    "fourth_hand.csv",
    "fifth_hand.csv",
    "eighth_hand.csv",
    "ninth_hand.csv",
    "eleventh_hand.csv",
    "twelfth_hand.csv",
    "thirteenth_hand.csv",
    "fifteenth_hand.csv",
    "sixteenth_hand.csv",
    "seventeenth_hand.csv",
    "eighteenth_hand.csv",
    "plain.csv",
    "near_misses.csv",
    "tempting.csv",
    "worse_or_denied.csv",
)
A_THIRD_APART = ("sixth_hand.csv", "seventh_hand.csv", "tenth_hand.csv")
"""Of these the last of each three rows of a question is kept apart."""


def rows(name: str) -> list[Mapping[str, str]]:
    """Return the lines of a file of labelled answers."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def asked(row: Mapping[str, str]) -> Question:
    """Return the question that a line answers."""
    question = load_catalogue()[row["practical"]].items[row["question"]].question
    assert question is not None
    return question


def kept_apart(name: str) -> list[bool]:
    """Return for each line of a file whether it is the last of three of its question."""
    counts: Counter[tuple[str, str]] = Counter()
    found = []
    for row in rows(name):
        counts[row["practical"], row["question"]] += 1
        found.append(counts[row["practical"], row["question"]] % 3 == THIRD[name])
    return found


THIRD = {"sixth_hand.csv": 2, "seventh_hand.csv": 2, "tenth_hand.csv": 0, "in_parts_fourth.csv": 0}
"""Which of each three rows it is, counted from one."""


@cache
def marked(without: str = "") -> Mapping[str, Marked]:
    """Return by question the answers that the program goes by, less those of the file *without*."""
    found: dict[str, tuple[list[str], list[str]]] = {}
    for row in _rows(without):
        if row["fair"] in (FULL, NOTHING):
            sides = found.setdefault(answers.asks_for(asked(row)), ([], []))
            sides[row["fair"] != FULL].append(row["text"])
    every = answers.every_question()
    return {
        name: Marked(_once(earned), _once(not_earned), every[name].said if name in every else ())
        for name, (earned, not_earned) in found.items()
    }


def without_own_hand(name: str, row: Mapping[str, str]) -> Marked | None:
    """Return the answers to go by for a line of the file *name*: those of the other hands."""
    return marked(name).get(answers.asks_for(asked(row)))


def _rows(without: str) -> Iterator[Mapping[str, str]]:
    yield from _plain_sentences()
    yield from _older_half()
    for name in EVERY_ROW:
        yield from rows(name) if name != without else ()
    for name in A_THIRD_APART:
        if name != without:
            yield from (row for row, apart in zip(rows(name), kept_apart(name), strict=True) if not apart)


def _plain_sentences() -> Iterator[Mapping[str, str]]:
    # Those of the catalogue's own test: '+' earns the mark, '-' does not; single ideas are no whole answers.
    for row in rows("../catalogue/answers.csv"):
        if row["says"] in ("+", "-"):
            yield {**row, "text": row["answer"], "fair": FULL if row["says"] == "+" else "none"}


def _older_half() -> Iterator[Mapping[str, str]]:
    """Yield the half of the oldest labelled answers that wordings were tuned on."""
    for one in half(for_report=False):
        if one.kind != "off topic":
            fair = FULL if one.is_earned else "none"
            yield {"practical": one.practical, "question": one.question, "text": one.answer, "fair": fair}


def _once(texts: Collection[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))


def as_written() -> str:
    """Return the file as it is to be."""
    questions = {answers.asks_for(asked(row)): asked(row) for row in _rows("")}
    tables = [
        {
            "prompt": question.prompt,
            "takes": answers.takes(question),
            "earned": list(marked()[name].earned),
            "not_earned": list(marked()[name].not_earned),
        }
        for name, question in questions.items()
    ]
    head = "# Invented answers to the questions of the catalogue, as marked, from tests/short_answers: made by\n"
    return head + "# python -m tests.short_answers.marked_hands\n\n" + rtoml.dumps({"questions": tables}, pretty=True)


if __name__ == "__main__":
    FILE.write_text(as_written(), encoding="utf-8")
    answers.every_question.cache_clear()  # what was just written is what is counted
    COUNTS.write_text(kept_counts.kept_text(), encoding="utf-8", newline="\n")

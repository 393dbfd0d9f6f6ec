"""How often each word stands in the answers that were marked before, counted beforehand and kept beside them.

To count them anew takes longer than to read a class's own. So the counts of every question are kept in a line of
``counts.txt``, under a stamp of all that they come from; where the stamp is another, they are counted as any other.

    python -m tests.short_answers.marked_hands

makes them anew after a change to those answers or to how words are read; a test says when that is due.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from importlib import resources

from marking.checking.short_answers.marked_before.answers import asks_for, every_question
from marking.checking.short_answers.marked_before.counts import Counts, SignCounts, counts_of
from rubrics.model import Question

FILE = "counts.txt"
_HERE = "marking.checking.short_answers.marked_before"
_WORDS = "marking.checking.short_answers.words"
_FROM = (
    (_HERE, "answers.toml"),
    (_HERE, "phrases.toml"),
    (_HERE, "counts.py"),
    (_WORDS, "reading_words.py"),
    (_WORDS, "words.toml"),
)
"""What the counts come from."""
_BETWEEN = "|"
"""Between two signs; no word holds it."""


def marked_before(question: Question) -> Counts | None:
    """Return the counts of the answers to *question* that were marked before; None where there are none."""
    return _counts(asks_for(question))


@lru_cache(maxsize=512)
def _counts(asked: str) -> Counts | None:
    kept = _kept()
    if kept is None:
        marked = every_question().get(asked)
        return counts_of(marked) if marked is not None else None
    line = kept.get(asked)
    if line is None:
        return None
    earned, not_earned, said = json.loads(line)
    return Counts(
        earned=_read(earned), not_earned=_read(not_earned), said={name: _read(one) for name, one in said.items()}
    )


@cache
def _kept() -> Mapping[str, str] | None:
    """Return the lines as they are kept, by question; None where they are out of date."""
    file = resources.files(_HERE) / FILE
    if not file.is_file():
        return None
    stamp, _, lines = file.read_text(encoding="utf-8").partition("\n")
    if stamp != stamp_now():
        return None
    parts = (line.partition("\t") for line in lines.splitlines())
    return {asked: counts for asked, _, counts in parts}


def stamp_now() -> str:
    """Return what tells whether kept counts are up to date: a hash of all that they come from."""
    data = hashlib.sha256()
    for room, name in _FROM:
        file = resources.files(room) / name
        data.update(file.read_bytes() if file.is_file() else b"")
    return data.hexdigest()


def kept_text() -> str:
    """Return what is kept of all questions."""
    return "".join(f"{line}\n" for line in (stamp_now(), *_lines()))


def _lines() -> Iterator[str]:
    for asked, marked in every_question().items():
        counts = counts_of(marked)
        said = {name: _written(one) for name, one in counts.said.items()}
        kept = [_written(counts.earned), _written(counts.not_earned), said]
        yield f"{asked}\t{json.dumps(kept, ensure_ascii=False)}"


def _written(counts: SignCounts) -> list[object]:
    """Return the number of answers, and the signs that stand in one of them, in two, and so on."""
    most = max(counts.signs.values(), default=0)
    return [
        counts.answers,
        *(
            _BETWEEN.join(sorted(sign for sign, count in counts.signs.items() if count == each))
            for each in range(1, most + 1)
        ),
    ]


def _read(kept: Iterable[object]) -> SignCounts:
    answers, *signs = kept
    counted: dict[str, int] = {}
    for each, joined in enumerate(signs, 1):
        counted |= dict.fromkeys(str(joined).split(_BETWEEN), each) if joined else {}
    return SignCounts(answers=int(str(answers)), signs=counted)

"""Words: what one sheet says, sentence by sentence, to be mended for one student or for all who were given it."""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from collections.abc import Sequence

from msgspec import Struct

from marking.decided import (
    SentenceMended,
    sentence_of,
)
from marking.desk.pages.decide_page import Past, past
from marking.desk.shelf import HeldSet
from reports.student import Spoken, spoken

_FIGURE = re.compile(r"\d[\d., ]*(?:×\s*10\S*)?")


class SentenceRow(Struct, frozen=True, kw_only=True):
    """One sentence of the sheet."""

    key: str
    """Names the sentence in a form."""
    part: str
    """Part of the sheet in which it stands."""
    text: str
    """As it is printed now."""
    others: tuple[str, ...]
    """Codes of the other students who were given it, figures apart."""
    is_mended: bool
    history: tuple[Past, ...]


class WordsRefused(Struct, frozen=True, kw_only=True):
    """What was sent and not taken, to be shown with what stands now."""

    kind: str
    """'changed', or 'none' where no words were given."""
    text: str


class WordsPage(Struct, frozen=True, kw_only=True):
    """What one sheet says."""

    at: int
    student: str
    name: str
    sentences: tuple[SentenceRow, ...]
    before: int | None
    after: int | None
    button: str
    refused: WordsRefused | None


def words_page(held: HeldSet, at: int, button: str, *, refused: WordsRefused | None = None) -> WordsPage | None:
    """Return the page; None where the set has no such script."""
    scripts = held.marked.scripts
    if not 0 <= at < len(scripts):
        return None
    student, shapes = scripts[at].write_up.student, _by_shape(held)
    return WordsPage(
        at=at,
        student=student.code,
        name=student.name,
        sentences=tuple(
            _row(held, at, one, [other for other, _ in shapes[_shape(one)]]) for one in spoken_at(held, at)
        ),
        before=at - 1 if at > 0 else None,
        after=at + 1 if at + 1 < len(scripts) else None,
        button=button,
        refused=refused,
    )


def _row(held: HeldSet, at: int, one: Spoken, given_at: Sequence[int]) -> SentenceRow:
    code = held.marked.scripts[at].write_up.student.code
    others = [held.marked.scripts[other].write_up.student.code for other in given_at if other != at]
    history = [
        said
        for criterion, cell in cells_of(one)
        for said in held.about(SentenceMended.about, student=code, criterion=criterion, cell=cell)
    ]
    return SentenceRow(
        key=key_of(one),
        part=one.part,
        text=one.text,
        others=tuple(others),
        is_mended=one.is_mended,
        history=tuple(past(said) for said in history),
    )


def spoken_at(held: HeldSet, at: int) -> tuple[Spoken, ...]:
    """Return the sentences of one sheet; worked out once for a script as it stands."""
    script = held.marked.scripts[at]
    known = held.spoken.get(at)
    if known is None or known[0] is not script:
        known = held.spoken[at] = (script, spoken(script, held.rubric))
    return known[1]


def cells_of(one: Spoken) -> tuple[tuple[str, str], ...]:
    """Return criterion and cell of each decision by which a sentence is mended."""
    return tuple(dict.fromkeys((finding.criterion, sentence_of(finding)) for finding in one.findings))


def key_of(one: Spoken) -> str:
    """Return how a form names a sentence: the same words about other things, or another student's, are another."""
    said = repr((one.findings[0].student, one.part, cells_of(one), one.text))
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def given(held: HeldSet, one: Spoken, words: str = "") -> tuple[tuple[int, Spoken], ...]:
    """Return where a sentence was given, and as what: to all whose own figures make the only difference.

    Args:
        held: The set.
        one: The sentence as one student was given it.
        words: What is to stand there. Words with figures in them may be true of these figures only, so they are for
            those who were given the very same sentence.
    """
    found = _by_shape(held)[_shape(one)]
    return tuple((at, other) for at, other in found if other.text == one.text or not _FIGURE.search(words))


Shape = tuple[tuple[tuple[str, str], ...], str]


def _shape(one: Spoken) -> Shape:
    return cells_of(one), _FIGURE.sub("#", one.text)


def _by_shape(held: HeldSet) -> dict[Shape, list[tuple[int, Spoken]]]:
    found: defaultdict[Shape, list[tuple[int, Spoken]]] = defaultdict(list)
    for at in range(len(held.marked.scripts)):
        for one in spoken_at(held, at):
            found[_shape(one)].append((at, one))
    return found

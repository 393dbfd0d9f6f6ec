"""A first map from a form's questions to the items of a practical, for a teacher to correct and confirm; never used."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence

from msgspec import Struct

from marking.intake.grids.item_names import MAX_HEADING, Vocabulary, fold
from marking.intake.grids.people_words import WEAK, WHO, person_called, rank_of
from rubrics.model import Item
from rubrics.patterns import late_pattern
from rubrics.units import Verdict

_LEAST_ALIKE = 0.4
"""Of the words of a question and of an item's name, the share that they have in common, as in Dice (1945)."""
_SYMBOL_ALIKE = 0.75
"""A lone letter of the item in a question says as much as most of its words."""
_EMPTY_WORDS = frozenset(
    re.findall(
        "[a-z]+",
        "a an and answer at did does enter for from give have how in is it its measure measured many much of on "
        "please reading record recorded the this to type unit units value was what write you your",
    )
)
_CODE_WORDS = frozenset({"code", "student", "pupil", "candidate", "learner"})
_NAME_WORDS = frozenset({"name", "surname", "forename"})
_UNIT = late_pattern(r"(?:\bin|/|\(|\[)\s*(?P<unit>[^()\[\]]{1,40}?)\s*[)\]]?\s*[?:.*]*\s*$", re.IGNORECASE)
_NUMBER = late_pattern(r"(?<![\d.,])([1-9]\d?)(?![\d.,])")


class _Match(Struct, frozen=True, kw_only=True):
    alike: float
    column: int
    says: str
    """What stands in the map: 'V row 3 / V'."""
    slot: tuple[str, int]


def proposed_map(headings: Sequence[str], vocabulary: Vocabulary, items: Sequence[Item]) -> str:
    """Return lines of TOML, one a heading; those that are like no item are comments. Empty where none is like one.

    Args:
        headings: The questions, as the form has them.
        vocabulary: The names of the practical's items.
        items: Those that may be meant.
    """
    texts = [" ".join(text.split()) for text in headings]
    # A map goes by the words of a heading: of two that are alike it cannot tell which is meant.
    once = {column for column, text in enumerate(texts) if texts.count(text) == 1}
    said = {column: says for column, says in _people(texts) if column in once}
    open_still = [column for column in sorted(once) if column not in said]
    found = [match for column in open_still for match in _items(column, texts[column], items)]
    taken: set[tuple[str, int]] = set()
    owners: dict[int, str] = {}
    for match in sorted(found, key=lambda one: (-one.alike, one.column)):
        if match.column not in said and match.slot not in taken:
            taken.add(match.slot)
            owners[match.column] = match.says
            said[match.column] = match.says + _unit_of(texts[match.column], match.slot[0], vocabulary)
    if not owners:
        return ""
    said |= {column: says for column, says in _units(texts, said, owners).items() if column in once}
    lines = [_line(text, said.get(column, "")) for column, text in enumerate(texts) if text]
    return "\n".join((*lines, "# lines that begin with this sign are not used"))


def _people(texts: Sequence[str]) -> Iterator[tuple[int, str]]:
    called = {column: person_called(fold(text)) for column, text in enumerate(texts)}
    known = {column: meaning for column, meaning in called.items() if meaning is not None}
    plain = [column for column in known if rank_of(fold(texts[column])) < WEAK]
    others = any(_CODE_WORDS & _words(text) for text in texts) or any(known[column] in WHO for column in plain)
    for column, meaning in known.items():
        # An address says whose the answers are only where no question does.
        yield column, meaning.value if column in plain or not others else ""
    for word, wanted in (("student", _CODE_WORDS), ("name", _NAME_WORDS), ("bench", frozenset({"bench"}))):
        if word not in known.values():
            first = next((at for at, text in enumerate(texts) if at not in known and wanted & _words(text)), None)
            if first is not None:
                yield first, word


def _items(column: int, text: str, items: Sequence[Item]) -> Iterator[_Match]:
    if re.search(r"\bunits?\b", text, re.IGNORECASE) and not _UNIT.search(text):
        return
    asked = _words(text)
    letters = set(re.findall(r"[^\W\d]+", text[:MAX_HEADING]))
    number = _NUMBER.search(text)
    for item in items:
        names = (item.quantity, *item.headings, item.name)
        alike = max(_alike(asked, _words(name)) for name in names)
        if {item.symbol, item.name} & letters:
            alike = max(alike, _SYMBOL_ALIKE)
        if alike < _LEAST_ALIKE:
            continue
        row = int(number[1]) if number and item.table is not None else 0
        says = f"{item.name} row {row}" if row else item.name
        yield _Match(alike=alike, column=column, says=says, slot=(item.name, row))


def _units(texts: Sequence[str], said: dict[int, str], owners: dict[int, str]) -> dict[int, str]:
    # 'Its unit' belongs to the question in front of it.
    return {
        column: f"{owners[column - 1]} unit"
        for column, text in enumerate(texts)
        if column not in said and column - 1 in owners and re.search(r"\bunits?\b", text, re.IGNORECASE)
    }


def _unit_of(text: str, name: str, vocabulary: Vocabulary) -> str:
    match = _UNIT.search(text[-MAX_HEADING:])
    if match is None:
        return ""
    reading = vocabulary.unit_of(match["unit"], vocabulary.rubric.items[name])
    is_unit = reading.verdict in (Verdict.ACCEPT, Verdict.NOTE) and reading.unit is not None and reading.unit.symbol
    return f" / {match['unit']}" if is_unit else ""


def _words(text: str) -> set[str]:
    found = re.findall(r"[^\W\d_]{2,}", fold(text[:MAX_HEADING]))
    return {word.removesuffix("s") for word in found} - _EMPTY_WORDS


def _alike(one: set[str], other: set[str]) -> float:
    return 2 * len(one & other) / (len(one) + len(other)) if one and other else 0.0


def _line(heading: str, says: str) -> str:
    quoted = json.dumps(heading, ensure_ascii=False).replace("\x7f", "\\u007f")
    return f"{quoted} = {json.dumps(says, ensure_ascii=False)}" if says else f"# {quoted} is not used"

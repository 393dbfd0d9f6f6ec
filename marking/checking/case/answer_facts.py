"""What a sentence may quote of one answer with a formula, each fact made when it is asked for.

A department's year has a million findings, and most of their sentences are never read; of those that are, most quote
two or three facts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from marking.checking.answers import unit_used
from marking.checking.case.formula_words import FormulaWords
from marking.checking.case.wording_facts import number_text, place_name, unshortened_text, with_unit, written
from marking.write_up import Entry, WriteUp
from rubrics.model import Item

Earlier = Callable[[Item, int], Mapping[str, float]]
"""Item and row to the earlier answers that its value does not follow from, as they should be, in their own units."""


class AnswerFacts(Mapping[str, str]):
    """A read-only mapping of facts; one that cannot be told is not there."""

    __slots__ = ("_earlier", "_entry", "_expected", "_item", "_more", "_row", "_words", "_write_up")

    def __init__(
        self,
        words: FormulaWords,
        write_up: WriteUp,
        about: tuple[Item, int | None, Entry | None],
        expected: float | None,
        earlier: Earlier | None,
        more: Mapping[str, str],
    ) -> None:
        """Take what the facts are made of.

        Args:
            words: Of the formula.
            write_up: The student's.
            about: The answer: item, row (None for a single item) and what was written.
            expected: What the figures lead to, in the unit that was written.
            earlier: None where the value follows from all earlier answers as they were given.
            more: Facts that are there already.
        """
        self._words, self._write_up = words, write_up
        self._item, self._row, self._entry = about
        self._expected, self._earlier, self._more = expected, earlier, more

    def quantity(self) -> str:
        """Return what was asked for, with its row."""
        return place_name(self._item, self._row)

    def symbol(self) -> str:
        """Return its symbol."""
        return self._item.symbol

    def unit(self) -> str:
        """Return the unit that is asked for."""
        return self._item.unit.symbol

    def wrote(self) -> str:
        """Return what was written."""
        return "" if self._entry is None or not self._entry.raw.strip() else written(self._item, self._entry)

    def formula(self) -> str:
        """Return the formula as it is printed."""
        return self._words.equation

    def expected(self) -> str:
        """Return what the figures lead to."""
        if self._expected is None or self._item.formula is None:
            return ""
        unit = self._item.unit if self._entry is None else unit_used(self._item, self._entry)
        if self._words.is_whole:
            number = f"{self._expected:g}"
        else:
            # 24.40 less 0.05 is 24.35, and no 24.3.
            number = unshortened_text(self._expected) if self._words.is_sum else number_text(self._expected)
        return with_unit(number, unit.symbol)

    def readings(self) -> str:
        """Return what goes into the formula."""
        return self._words.readings(self._write_up, self._row, self._worked_out())

    def working(self) -> str:
        """Return the formula with the student's numbers in it."""
        return self._words.working(self._write_up, self._row, self._worked_out())

    def _worked_out(self) -> Mapping[str, float]:
        return {} if self._earlier is None else self._earlier(self._item, self._row or 1)

    def __getitem__(self, key: str) -> str:
        found: str | None = self.get(key)
        if found is None:
            raise KeyError(key)
        return found

    def get(self, key: str, default: Any = None) -> Any:  # noqa: ANN401 (as a mapping has it)
        """Return one fact, *default* where it is not there."""
        if self._more and key in self._more:
            return self._more[key]
        make = _FACTS.get(key)
        return default if make is None else make(self) or _EMPTY.get(key, default)

    def __iter__(self) -> Iterator[str]:
        return (key for key in {**_FACTS, **self._more} if self.get(key) is not None)

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def __repr__(self) -> str:
        return f"AnswerFacts({dict(self)!r})"

    def __reduce__(self) -> tuple[type[dict[str, str]], tuple[dict[str, str]]]:
        # What goes to another process goes as it will be read; every fact is made once, as dict(self) would not.
        made = ((key, self.get(key)) for key in {**_FACTS, **self._more})
        return dict, ({key: found for key, found in made if found is not None},)


_FACTS: Mapping[str, Callable[[AnswerFacts], str]] = {
    "quantity": AnswerFacts.quantity,
    "symbol": AnswerFacts.symbol,
    "unit": AnswerFacts.unit,
    "wrote": AnswerFacts.wrote,
    "formula": AnswerFacts.formula,
    "expected": AnswerFacts.expected,
    "readings": AnswerFacts.readings,
    "working": AnswerFacts.working,
}
_EMPTY: Mapping[str, str] = {"quantity": "", "symbol": "", "unit": ""}
"""Facts that are there even where they are empty: a pure number has no unit."""

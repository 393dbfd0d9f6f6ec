"""One student's write-up, with all that a check may ask about it; and the line that a check yields."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from msgspec import Struct, field

from marking.checking.answers import Board, Judged, Judgement, entries_of, unit_used, unplaced_of
from marking.checking.case.answer_facts import AnswerFacts
from marking.checking.case.class_batch import Batch
from marking.checking.case.wording_facts import basic_facts
from marking.findings import Basis, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State, WriteUp
from rubrics.model import Blank, Criterion, Item, Rubric

_NO_ROWS: Mapping[int, Entry] = {}


class Line(Struct, frozen=True, kw_only=True):
    """What a check found about one thing: a finding before its marks are counted."""

    item: str
    row: int | None
    outcome: Outcome
    reason: Reason
    entry: Entry | None = None
    expected: float | None = None
    basis: Basis = Basis.NONE
    explanations: tuple[Explanation, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)


class Case(Struct, frozen=True, kw_only=True):
    """One student of a batch."""

    batch: Batch
    student: int
    """Position in the batch."""
    rubric: Rubric
    write_up: WriteUp
    """What the student handed in."""
    shapes: Mapping[tuple[str, str], str | None]
    """(x, y) columns to the shape of this student's points, None where it cannot be told."""
    selected: str | None
    """The rubric's word for what was tested, where the practical has a selector."""
    _entries: dict[str, list[tuple[int, Entry]]] = field(default_factory=dict)
    _unplaced: dict[str, list[tuple[int, Entry]]] = field(default_factory=dict)

    @property
    def board(self) -> Board:
        """Return what the batch wrote."""
        return self.batch.board

    @property
    def judged(self) -> Mapping[str, Judged]:
        """Return every answer of the batch, judged."""
        return self.batch.judged

    def item(self, name: str) -> Item:
        """Return an item of the rubric."""
        return self.rubric.items[name]

    def entries(self, item: Item) -> list[tuple[int, Entry]]:
        """Return the entries of *item* with their rows (1 for a single item)."""
        found = self._entries.get(item.name)
        if found is None:
            found = self._entries[item.name] = entries_of(item, self.write_up)
        return found

    def unplaced(self, item: Item) -> list[tuple[int, Entry]]:
        """Return the same without their places, which take longer to make than most entries to look at."""
        found = self._unplaced.get(item.name)
        if found is None:
            found = self._unplaced[item.name] = unplaced_of(item, self.write_up)
        return found

    def readings(self, item: Item) -> list[Item]:
        """Return what was read for *item*: its repeats where any was taken down, else itself."""
        if not item.repeats:
            return [item]
        repeats = [self.item(name) for name in item.repeats]
        taken = [one for one in repeats if any(e.state is not State.BLANK for _, e in self.unplaced(one))]
        return taken or [item]

    @property
    def has_answers(self) -> bool:
        """Tell whether any answer at all was given."""
        return any(entry.state is not State.BLANK for item in self.rubric.answers for _, entry in self.unplaced(item))

    def gives_any(self, criterion: Criterion) -> bool:
        """Tell whether any answer of *criterion* was given."""
        return any(
            entry.state is not State.BLANK for name in criterion.items for _, entry in self.unplaced(self.item(name))
        )

    def rows_expected(self, item: Item) -> list[int]:
        """Return the rows in which *item* should stand: every row in which its table holds a reading."""
        if item.table is None:
            return [1]
        return self.batch.rows[item.name][self.student]

    def blank_line(self, item: Item, row: int | None, entry: Entry | None) -> Line:
        """Return the line for an answer that was not given."""
        to_teacher = item.blank is Blank.TEACHER or not self.has_answers
        return Line(
            item=item.name,
            row=row,
            outcome=Outcome.FOR_TEACHER if to_teacher else Outcome.WITHHELD,
            reason=Reason.NO_ANSWER,
            entry=entry,
            facts=basic_facts(item, row, entry),
        )

    def judgement(self, item: Item, row: int) -> Judgement:
        """Return what an answer is worth."""
        return self.batch.judgements[item.name][self.student][row - 1]

    def number(self, table: Mapping[str, list[list[float]]], name: str, row: int = 1) -> float:
        """Return one number of a table of the batch, NaN where there is none."""
        return table[name][self.student][row - 1]

    def expected(self, item: Item, row: int, entry: Entry | None, *, followed: bool) -> float | None:
        """Return what the student's figures lead to, in the unit the student wrote; None where it cannot be told."""
        value = (self.batch.followed if followed else self.batch.own)[item.name][self.student][row - 1]
        if not isfinite(value):
            return None
        unit = item.unit if entry is None else unit_used(item, entry)
        return unit.from_si(value)

    def full_facts(
        self,
        item: Item,
        row: int | None,
        entry: Entry | None,
        expected: float | None,
        *,
        followed: bool = False,
        **more: str,
    ) -> Mapping[str, str]:
        """Return all facts about an answer with a formula, and *more* of them.

        Where the value expected does not follow from earlier answers as they were given, those are quoted
        as they should be, so that the working printed always leads to the value beside it.
        """
        earlier = None if followed or not self.batch.earlier[item.name] else self.worked_out
        words = self.batch.words[item.name]
        return AnswerFacts(words, self.write_up, (item, row, entry), expected, earlier, more)

    def worked_out(self, item: Item, row: int) -> Mapping[str, float]:
        """Return the earlier answers behind *item* that do not stand, as they should be, in their own units."""
        found = {}
        for earlier in self.batch.earlier[item.name]:
            at = row if earlier.table is not None else 1
            if earlier.table is not None and item.table is None:
                continue
            value = self.number(self.batch.own, earlier.name, at)
            if self.judgement(earlier, at) is not Judgement.RIGHT and isfinite(value):
                found[earlier.name] = earlier.unit.from_si(value)
        return found

    def departs(self, item: Item, row: int) -> bool:
        """Tell whether an earlier answer behind *item* was given and does not follow from the readings."""
        for earlier in self.batch.earlier[item.name]:
            rows = [row] if earlier.table == item.table else [r for r, _ in self.unplaced(earlier)]
            if any(self.judgement(earlier, r) in (Judgement.WRONG, Judgement.FOLLOWS) for r in rows):
                return True
        return False

    def table_row(self, item: Item, row: int) -> int | None:
        """Return *row* for a column and None for a single item."""
        return row if item.table is not None else None

    def entry(self, item: Item, row: int) -> Entry | None:
        """Return the entry of *item* in *row*, or None where the input has none."""
        if item.table is None:
            return self.write_up.singles.get(item.name)
        return self.write_up.columns.get(item.name, _NO_ROWS).get(row)

    def answer_entries(self, item: Item) -> list[tuple[int, Entry | None]]:
        """Return each row in which *item* should stand, with its entry."""
        if item.table is None:
            return [(1, self.write_up.singles.get(item.name))]
        column = self.write_up.columns.get(item.name, _NO_ROWS)
        return [(row, column.get(row)) for row in self.rows_expected(item)]

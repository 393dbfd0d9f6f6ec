"""One student's write-up, with all that a check may ask about it; and the line that a check yields."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from msgspec import Struct, field

from marking.checking.answers import Board, Judged, Judgement, entries_of, entry_at, unit_used
from marking.checking.case.lazy_facts import Facts
from marking.checking.case.wording_facts import WORKED_FACTS, basic_facts, equation_fact, formula_fact, formula_facts
from marking.findings import Basis, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State, WriteUp
from rubrics.model import Blank, Criterion, Item, Role, Rubric


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


ExplanationTable = Mapping[tuple[str, int, int], tuple[Explanation, ...]]
"""(item, student, row from 0) to what may have happened, likeliest first."""


class Case(Struct, frozen=True, kw_only=True):
    """One student of a batch."""

    board: Board
    student: int
    """Position in the batch."""
    judged: Mapping[str, Judged]
    explanations: ExplanationTable
    certain: ExplanationTable
    """Those of answers whose cause arithmetic alone makes certain, whatever the class has shown."""
    shapes: Mapping[tuple[str, str], str | None]
    """(x, y) columns to the shape of this student's points, None where it cannot be told."""
    selected: str | None
    """The rubric's word for what was tested, where the practical has a selector."""

    @property
    def rubric(self) -> Rubric:
        """Return the practical."""
        return self.board.rubric

    @property
    def write_up(self) -> WriteUp:
        """Return what the student handed in."""
        return self.board.write_ups[self.student]

    def item(self, name: str) -> Item:
        """Return an item of the rubric."""
        return self.rubric.items[name]

    def entries(self, item: Item) -> list[tuple[int, Entry]]:
        """Return the entries of *item* with their rows (1 for a single item)."""
        return entries_of(item, self.write_up)

    def readings(self, item: Item) -> list[Item]:
        """Return what was read for *item*: its repeats where any was taken down, else itself."""
        repeats = [self.item(name) for name in item.repeats]
        taken = [one for one in repeats if any(e.state is not State.BLANK for _, e in self.entries(one))]
        return taken or [item]

    @property
    def has_answers(self) -> bool:
        """Tell whether any answer at all was given."""
        return any(entry.state is not State.BLANK for item in self.rubric.answers for _, entry in self.entries(item))

    def gives_any(self, criterion: Criterion) -> bool:
        """Tell whether any answer of *criterion* was given."""
        return any(
            entry.state is not State.BLANK for name in criterion.items for _, entry in self.entries(self.item(name))
        )

    def rows_expected(self, item: Item) -> list[int]:
        """Return the rows in which *item* should stand: every row in which its table holds a reading."""
        if item.table is None:
            return [1]
        rows: set[int] = set()
        for other in self.rubric.columns:
            if other.table == item.table and (other.role is Role.READING or other.name == item.name):
                rows |= {row for row, entry in self.entries(other) if entry.state is not State.BLANK}
        return sorted(rows)

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
        return Judgement(int(self.judged[item.name].judgement[self.student, row - 1]))

    def expected(self, item: Item, row: int, entry: Entry | None, *, followed: bool) -> float | None:
        """Return what the student's figures lead to, in the unit the student wrote; None where it cannot be told."""
        judged = self.judged[item.name]
        value = (judged.followed if followed else judged.own)[self.student, row - 1]
        if not np.isfinite(value):
            return None
        unit = item.unit if entry is None else unit_used(item, entry)
        return unit.from_si(float(value))

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

        def unit() -> str:
            return (item.unit if entry is None else unit_used(item, entry)).symbol

        def worked_out() -> Mapping[str, float]:
            return {} if followed else self._worked_out(item, row or 1)

        def make() -> Mapping[str, str]:
            found = formula_facts(self.rubric, self.write_up, item, row, expected, unit(), worked_out())
            return basic_facts(item, row, entry) | found | more

        def one(name: str) -> str:
            return formula_fact(name, self.rubric, self.write_up, item, row, expected, unit(), worked_out())

        def few() -> Mapping[str, str]:
            return basic_facts(item, row, entry) | equation_fact(self.rubric, item) | more

        return Facts(make, few, WORKED_FACTS - more.keys(), one)

    def _worked_out(self, item: Item, row: int) -> Mapping[str, float]:
        """Return the earlier answers behind *item* that do not stand, as they should be, in their own units."""
        found = {}
        for name in item.formula.names if item.formula else ():
            if name not in self.judged:
                continue
            earlier = self.item(name)
            at = row if earlier.table is not None else 1
            if earlier.table is not None and item.table is None:
                continue
            value = self.judged[name].own[self.student, at - 1]
            if self.judgement(earlier, at) is not Judgement.RIGHT and np.isfinite(value):
                found[name] = earlier.unit.from_si(float(value))
        return found

    def departs(self, item: Item, row: int) -> bool:
        """Tell whether an earlier answer behind *item* was given and does not follow from the readings."""
        for name in item.formula.names if item.formula else ():
            if name in self.judged:
                earlier = self.item(name)
                rows = [row] if earlier.table == item.table else [r for r, _ in self.entries(earlier)]
                if any(self.judgement(earlier, r) in (Judgement.WRONG, Judgement.FOLLOWS) for r in rows):
                    return True
        return False

    def table_row(self, item: Item, row: int) -> int | None:
        """Return *row* for a column and None for a single item."""
        return row if item.table is not None else None

    def entry(self, item: Item, row: int) -> Entry | None:
        """Return the entry of *item* in *row*, or None where the input has none."""
        return entry_at(item, self.write_up, row)

    def answer_entries(self, item: Item) -> Iterator[tuple[int, Entry | None]]:
        """Yield each row in which *item* should stand, with its entry."""
        for row in self.rows_expected(item):
            yield row, self.entry(item, row)

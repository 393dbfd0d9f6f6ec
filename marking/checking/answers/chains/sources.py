"""What may go into a chain of steps, of which answers, and by which ways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.chains.kept_steps import HABITS, Ways
from marking.checking.answers.chains.manners import Manner
from marking.checking.answers.written import Places, Printed
from marking.checking.fits import Room, line_rooms
from rubrics.formulas import Formula
from rubrics.model import Item

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]
_T = TypeVar("_T", bound=np.generic)

MOST_DRAWN = 4096
"""Answers whose lines are fitted at a time; bounds the memory."""


Lines = dict[tuple[str, float, bytes], list[Room] | None]
"""What may be read off lines, by function, share and the bytes of the columns; None for a function that is no line."""


class Source(Struct, frozen=True, kw_only=True):
    """What may go into a formula under one name; arrays of shape (students, rows) or (1, 1)."""

    item: Item | None
    """None for a constant."""
    values: tuple[Values, ...]
    """Alternatives, each one for the whole class: readings have one."""
    figures: Places
    span: tuple[Values, Values] | None = None
    """What a wrong earlier answer may have been before it was rounded; NaN elsewhere."""
    ways: tuple[Formula, ...] = ()
    """How an earlier answer is worked out where it was not written down."""
    unwritten: Mask | None = None
    printed: Printed | None = None
    """An earlier answer as it was written."""
    rough: tuple[Values, Values] | None = None
    """What an earlier answer may have been before it was rounded, or cut off where it does not stand, NaN elsewhere:
    too wide with two figures to award by, and enough not to withhold."""
    is_whole: Mask | None = None
    """Where the value behind an earlier answer is known to all its figures: it was worked out from readings in a single
    step, so that nothing before it can have been kept shortly."""
    typed: Mask | None = None
    """Where an answer stands alone, none of its readings beside it: all that rounds to what was typed lies near."""
    converted: Mask | None = None
    """Where a number is turned into the unit that is usual for it, which is a step like any other."""
    scaled: Mask | None = None
    """Where it is turned into coherent SI units, should the answer need that."""

    @property
    def is_column(self) -> bool:
        """Tell whether it stands once a row."""
        return self.item is not None and self.item.table is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The answers that are looked at."""

    sources: Mapping[str, Source]
    count: int
    """Students of the batch."""
    students: NDArray[np.int64]
    """Shape (answers,)."""
    rows: NDArray[np.int64]
    """Rows from 0, shape (answers,); all 0 for a single item."""
    share: float
    """How much steeper or flatter than the fitted one a line may be drawn."""
    is_scaled: Mask = field(default_factory=lambda: np.zeros((1, 1), np.bool_))
    """Whose numbers, as they were written, do not give the answer in its unit; shape (answers, 1)."""
    manner: Manner
    """How these students are known to write numbers."""
    is_rough: bool = False
    """Earlier answers are taken as roughly as they were printed."""
    is_mixed: bool = False
    """Each step before, too, may be kept in a way of its own."""
    known: dict[tuple[str, bool, int | None], Ways] = field(default_factory=dict, init=False, compare=False)
    """Earlier answers that were worked out before: name, whole column or not, habit."""
    lines: Lines = field(default_factory=dict, compare=False)
    """Lines drawn before: most habits of rounding leave a column that stands in writing as it is, and its line too."""
    _each: list[Chosen] = field(default_factory=list, init=False, compare=False)

    def for_each_habit(self) -> Chosen:
        """Return the same answers, each once for every habit, one habit after another."""
        if not self._each:
            times = len(HABITS)
            is_scaled = self.is_scaled if self.is_scaled.shape[0] == 1 else np.tile(self.is_scaled, (times, 1))
            students, rows = np.tile(self.students, times), np.tile(self.rows, times)
            manner = Manner(np.tile(self.manner.rounds, (times, 1)), np.tile(self.manner.keeps_three, (times, 1)))
            self._each.append(replace(self, students=students, rows=rows, is_scaled=is_scaled, manner=manner))
        return self._each[0]

    @property
    def works_back(self) -> bool:
        """Tell whether any earlier answer was worked out again for these so far."""
        return bool(self.known) or any(one.known for one in self._each)

    def pick(self, values: NDArray[_T], item: Item | None, *, whole: bool) -> NDArray[_T]:
        """Return the part of *values* that belongs to the answers, shape (answers, 1) or (answers, rows)."""
        if item is None:
            return values if values.shape[0] == 1 else values[self.students]
        if values.shape[0] != self.count:
            values = np.broadcast_to(values, (self.count, values.shape[1]))
        if item.table is None or values.shape[1] == 1:
            return values[self.students, :1]
        return values[self.students] if whole else values[self.students, self.rows][:, None]

    def drawn(self, function: str, several: Sequence[Sequence[Values]]) -> list[list[Room] | None]:
        """Return for each of *several* sets of columns what may be read off each line that may be drawn through them.

        None for a function that takes nothing off a line.
        """
        keys = [self._key(function, columns) for columns in several]
        new = {key: columns for key, columns in zip(keys, several, strict=True) if key not in self.lines}
        names, columns = list(new), list(new.values())
        lot = max(1, MOST_DRAWN // max((len(one[0]) for one in columns), default=1))
        for at in range(0, len(names), lot):
            rooms = line_rooms(function, columns[at : at + lot], self.share)
            self.lines.update(zip(names[at : at + lot], rooms, strict=True))
        return [self.lines[key] for key in keys]

    def _key(self, function: str, columns: Sequence[Values]) -> tuple[str, float, bytes]:
        shapes = repr([one.shape for one in columns]).encode()
        return function, self.share, b"".join((shapes, *(one.tobytes() for one in columns)))


class Route(Struct, frozen=True, kw_only=True):
    """One way to an answer, and who would not go it."""

    way: Formula
    passes_by: Mask
    """Students, (students, 1), who wrote a step down that this way passes by: they go on from what stands there."""
    is_other_line: Mask
    """Students, (students, 1), for whom it takes a line off a graph that none of the steps passed by rest on, and who
    wrote that line's columns down: they may have drawn it beside those steps, and then drew it well."""
    is_worked_out: bool = False
    """Nothing of it is taken off a graph, so that its chains print a handful of answers."""

"""Ways to an answer that pass by a step of the usual one, or take another line off the graph than the usual one.

Whoever wrote a step down goes by it; and a line counts as drawn only where its columns are in writing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.chains.sources import Route, Source
from marking.checking.answers.worked import is_drawn
from marking.checking.answers.written import Board
from rubrics.formulas import Call, Formula, Name, walk
from rubrics.model import Item

Mask = NDArray[np.bool_]

_Read = tuple[Call | str, frozenset[str]]
"""What is taken off a graph: a line or one reading of a curve, and the columns that it is drawn from."""

_LINE = "line"


class OtherLines(Struct, frozen=True):
    """Looks at the ways to the answers of one batch."""

    board: Board
    own: Mapping[str, Source]
    """What may go into a formula, by name, for one who goes by the readings."""

    def route(self, item: Item, way: Formula) -> Route:
        """Return *way* with the students who wrote a step of the usual way down that it passes by."""
        passed = np.zeros((len(self.board.write_ups), 1), np.bool_)
        steps = self._passed_by(item, way)
        for name in steps:
            passed |= self._wrote(name)
        behind = [other for name in self._behind(way) for other in self.own[name].ways]
        return Route(
            way=way,
            passes_by=passed,
            is_other_line=self._draws_another(way, self._taken(item, steps)),
            is_worked_out=not any(_taken_off(one) for one in (way, *behind)),
        )

    def _passed_by(self, item: Item, way: Formula) -> list[str]:
        """Return the steps of the usual way to *item* that *way* does without."""
        usual, behind = item.formula, self._behind(way)
        assert usual is not None  # only answers with a formula come here
        return [name for name in usual.names if name not in behind and self.own[name].ways]

    def _taken(self, item: Item, steps: Sequence[str]) -> set[_Read]:
        """Return what the usual way to *item* and its *steps* take off a graph."""
        usual = [item.formula] if item.formula is not None else []
        ways = [*usual, *(way for name in steps for way in self.own[name].ways)]
        return {one for way in ways for one in _taken_off(way)}

    def off_another_line(self, item: Item, ways: Sequence[Formula]) -> list[tuple[Formula, Mask]]:
        """Return those of *ways* that take off a graph what the usual way to *item* does not, and who may have done so.

        Each with the students, (students, 1), who did not write down what was taken off.
        """
        found = [(way, self._takes_another(way, self._taken(item, self._passed_by(item, way)))) for way in ways]
        return [(way, who) for way, who in found if who.any()]

    def _takes_another(self, way: Formula, taken: set[_Read]) -> Mask:
        every = np.ones((len(self.board.write_ups), 1), np.bool_)
        found = every & bool(_taken_off(way) - taken)
        for name in way.names:
            for one in self.own[name].ways:
                found |= ~self._wrote(name) & self._takes_another(one, taken)
        return found

    def _draws_another(self, way: Formula, taken: set[_Read]) -> Mask:
        """Tell who may have drawn a line for *way* that is not among what is *taken*: its columns are in writing."""
        found = np.zeros((len(self.board.write_ups), 1), np.bool_)
        for kind, columns in _taken_off(way) - taken:
            found |= (kind == _LINE) & np.logical_and.reduce([self._wrote(name) for name in columns])
        return found

    def _wrote(self, name: str) -> Mask:
        """Tell who wrote a reading or an answer down, at least in some rows, (students, 1)."""
        return np.asarray(np.isfinite(self.board.cells[name].si).any(axis=1, keepdims=True))

    def _behind(self, way: Formula) -> set[str]:
        """Return everything that *way* rests on."""
        found = set(way.names)
        for name in way.names:
            for one in self.own[name].ways:
                found |= self._behind(one)
        return found


def _taken_off(way: Formula) -> set[_Read]:
    """Return what a formula takes off a graph; gradients of one line, whichever way round, are one."""
    calls = [part for part in walk(way.tree) if isinstance(part, Call) and is_drawn(Formula("", part))]
    found = set()
    for call in calls:
        names = frozenset(name.name for column in call.columns for name in walk(column) if isinstance(name, Name))
        found.add((call if call.function == "at" else _LINE, names))
    return found

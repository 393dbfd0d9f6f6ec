"""Whether a chain of steps that a student would do prints an answer, asked of those that lie near.

An interval is the fast first filter. Inside it an answer stands if it is the direct value (from three figures on, one
unit of the last place either way also stands), or if a chain's value, rounded or cut off to the printed figures, is
it. What lies between two chains is reached by none: near, and for the teacher, unless a slip that the rubric names
prints it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers.chains.column_habits import constants_not_theirs
from marking.checking.answers.chains.kept_steps import HABITS, Ways
from marking.checking.answers.chains.manners import Manner, seen_in, steps_of
from marking.checking.answers.chains.named_slips import fits_together
from marking.checking.answers.chains.other_lines import OtherLines
from marking.checking.answers.chains.sources import Chosen, Lines, Route, Source
from marking.checking.answers.chains.student_chains import Found, chains, unkept
from marking.checking.answers.worked import is_drawn
from marking.checking.answers.written import (
    FIGURES_WITH_A_UNIT_EITHER_WAY,
    NO_LIMIT,
    Board,
    Cells,
    Places,
    Printed,
    printed,
)
from marking.checking.fits import DRAWN_SHARE
from rubrics.formulas import Formula
from rubrics.model import Item
from rubrics.units import NO_DIMENSION, TEMPERATURE

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]

_Places = tuple[NDArray[np.int64], NDArray[np.int64]]
"""Students and rows, from 0."""

NEAR_SHARE = 0.002
"""How far beyond every chain an answer is still near: a habit of rounding that is not known here."""
CHUNK = 128
"""Answers whose chains are worked out together; bounds the memory."""


class Reached(Struct, kw_only=True):
    """What chains lead to; arrays of the board's shape."""

    own: Mask
    """From the readings."""
    follows: Mask
    """From earlier answers as they were written."""
    near: Mask
    """Between two chains, or hardly beyond them."""
    roughly: Mask
    """The same of chains that take earlier answers as roughly as they were printed."""


@dataclass(slots=True)
class Chains:
    """What may go into a formula of one batch, by name, as far as it has been judged."""

    board: Board
    own: dict[str, Source] = field(default_factory=dict)
    """For one who goes by the readings."""
    every: dict[str, Source] = field(default_factory=dict)
    """And for one who goes by what stands written."""
    manner: Manner = field(init=False)
    """How each student is known to write numbers, (students, 1)."""

    def __post_init__(self) -> None:
        nobody = np.zeros((len(self.board.write_ups), 1), np.bool_)
        self.manner = Manner(nobody, nobody)

    def start(self, figures: Mapping[str, tuple[Places, Places]], values: Mapping[str, Values]) -> None:
        """Take in constants and readings."""
        unlimited = np.full((1, 1), NO_LIMIT, np.int64)
        for name, constant in self.board.rubric.constants.items():
            each = tuple(np.full((1, 1), constant.unit.to_si(value)) for value in constant.values)
            self.own[name] = self.every[name] = Source(item=None, values=each, figures=unlimited)
        for name, pair in figures.items():
            item, cells = self.board.rubric.items[name], self.board.cells[name]
            figures_of = np.where(_is_count(item, cells), NO_LIMIT, surest(pair))
            source = Source(item=item, values=(values[name],), figures=figures_of)
            self.own[name] = self.every[name] = _turned(source, item, cells)

    def remember(
        self,
        item: Item,
        ways: Sequence[Formula],
        pair: tuple[Places, Places],
        exact: Values,
        stated: Values,
        stands: Mask,
        slips: Sequence[Values],
        alone: Mask,
    ) -> None:
        """Take in an answer that was judged: *exact* from the readings, *stated* as what stands written leads to it.

        Where it was written and *stands*, the number on paper is one more way to go on. Of one that does not, so are
        the unrounded values of the named *slips* that print it, NaN elsewhere. What stands *alone* is like a reading,
        but for the figures that it may have had on the calculator.
        """
        cells = self.board.cells[item.name]
        seen = seen_in(cells, ways, (exact, stated), stands, self._least_figures(item))
        self.manner = self.manner.with_seen(seen)
        there = np.isfinite(cells.si)
        figures = surest(pair) if item.repeats else np.where(alone, surest(pair), self._least_figures(item))
        shape = cells.si.shape
        low, high = self._before_rounding(item, ways, there & ~stands)
        exact, stated = np.broadcast_to(exact, shape), np.broadcast_to(stated, shape)
        own = (exact, np.where(there & stands, cells.si, exact))
        along = np.where(np.isfinite(stated), stated, exact)
        first = np.where(there, cells.si, along)
        # The calculator goes on with what stands on paper, rounded: another value than that was never on it.
        unrounded = np.where(there & stands & ~printed(cells).is_printed_by(along, along), first, along)
        written = (first, unrounded, *(np.where(there & ~stands & np.isfinite(slip), slip, first) for slip in slips))
        source = Source(
            item=item,
            values=_different(own),
            figures=figures,
            ways=tuple(ways),
            unwritten=~there,
            printed=printed(cells),
            typed=np.broadcast_to(alone, shape),
        )
        source = _turned(source, item, cells)
        is_line = any(is_drawn(way) for way in ways)
        self.own[item.name] = replace(source, span=_only(stands, low, high)) if is_line else source
        # One that stands was rounded, for all that is known: a step before it may have been kept more shortly.
        is_whole = there & stands & ~alone & self._is_whole(item, ways, exact)
        rough = _only(
            there & ~is_whole,
            *(np.where(stands, *ends) for ends in zip(cells.rounded_si(), cells.printed_si(), strict=False)),
        )
        source = replace(source, is_whole=is_whole)
        self.every[item.name] = replace(source, values=_different((*written, *own)), span=(low, high), rough=rough)

    def learn(self, item: Item, known: Sequence[Mapping[str, Values]]) -> Mask:
        """Take in which value of a constant the rows of a column show: it is the same in every row, and later.

        Returns:
            What only a value prints that is not the one of the other rows.
        """
        found, others = constants_not_theirs(self.board.rubric, item, self._printed(item), known)
        for (name, at), mask in found.items():
            if mask.any():
                for sources in (self.own, self.every):
                    source = sources[name]
                    values = [np.where(mask & (one == at), np.nan, value) for one, value in enumerate(source.values)]
                    sources[name] = replace(source, values=tuple(values))
        return others

    def _printed(self, item: Item) -> Printed:
        return printed(self.board.cells[item.name])

    def reached(
        self, item: Item, ways: Sequence[Formula], open_ones: Mask, not_theirs: Sequence[Mask] | None = None
    ) -> Reached:
        """Return which of the answers to *item* a chain leads to, looked for where *open_ones* says so.

        Of each way, *not_theirs* tells who does not go it, (students, 1).
        """
        cells = self.board.cells[item.name]
        shape = cells.number.shape
        scaled = self._scaled(item)
        own, follows, near, roughly = (np.zeros(shape, np.bool_) for _ in range(4))
        found = Reached(own=own, follows=follows, near=near, roughly=roughly)
        lines = OtherLines(self.board, self.own)
        routes = [lines.route(item, way) for way in ways]
        for position, mask in enumerate(not_theirs or ()):
            routes[position] = replace(routes[position], passes_by=routes[position].passes_by | mask)
        is_open = np.broadcast_to(open_ones & np.isfinite(cells.number), shape)
        for at in _some_of(is_open, CHUNK * len(HABITS)):
            # Whom the plainest chain leads there needs no other: what else is near says nothing of a right answer.
            chosen = self._chosen(self.own, at, scaled, {})
            own[at] = _hit(printed(cells).at(*at), unkept(routes, chosen), chosen.manner)
        for at in _some_of(is_open & ~own, CHUNK):
            self._look(found, routes, cells, at, scaled)
        return found

    def _chosen(self, sources: Mapping[str, Source], at: _Places, scaled: Mask, lines: Lines) -> Chosen:
        return Chosen(
            sources=sources,
            count=len(self.board.write_ups),
            students=at[0],
            rows=at[1],
            share=DRAWN_SHARE,
            manner=self.manner.of(at[0]),
            is_scaled=scaled[at][:, None],
            lines=lines,
        )

    def _look(
        self,
        found: Reached,
        routes: Sequence[Route],
        cells: Cells,
        at: _Places,
        scaled: Mask,
    ) -> None:
        """Look for chains to some answers, the plainest first; the next only for those that are still open."""
        lines: Lines = {}
        for sources, hits in ((self.own, found.own), (self.every, found.follows)):
            for one_habit in (True, False):
                one = printed(cells).at(*at)
                chosen = self._chosen(sources, at, scaled, lines)
                hit, near, roughly = _found(one, chains(routes, chosen, one_habit=one_habit), chosen.manner)
                hits[at] |= hit
                found.near[at] |= near
                found.roughly[at] |= roughly
                at = (at[0][~hit], at[1][~hit])
                if not at[0].size:
                    return

    def _scaled(self, item: Item) -> Mask:
        """Tell where the numbers as they were written do not give the answer in its unit, shape of the board.

        163 g over 59 cm³ is a density in g/cm³; for kg/m³ both are turned into other units first.
        """
        rubric, cells = self.board.rubric, self.board.cells[item.name]
        formula = item.formula
        assert formula is not None  # only answers with a formula come here
        si = {name: self.every[name].values[0] for name in formula.names}
        units = {n: rubric.constants[n].unit if n in rubric.constants else self.board.cells[n] for n in formula.names}
        number = {name: units[name].from_si(value) for name, value in si.items()}
        return np.broadcast_to(~fits_together(item, formula, (number, si), cells), cells.number.shape)

    def _before_rounding(self, item: Item, ways: Sequence[Formula], astray: Mask) -> tuple[Values, Values]:
        """Return what a number may have been before it was rounded, where its figures cannot be worked out again.

        That is so of a wrong one and of what was taken off a drawn line; two figures of either say too little.
        """
        cells = self.board.cells[item.name]
        off_a_line = any(is_drawn(way) for way in ways)
        unknown = (astray | off_a_line) & (cells.most_figures >= FIGURES_WITH_A_UNIT_EITHER_WAY)
        return _only(unknown, *(cells.printed_si() if off_a_line else cells.rounded_si()))

    def _is_whole(self, item: Item, ways: Sequence[Formula], exact: Values) -> Mask:
        """Tell where an answer is one step from what is known to all its figures, and is just that; (students, rows).

        What a column comes to is that of every row.
        """
        found = self._printed(item).is_printed_by(exact, exact)
        if len(ways) != 1 or steps_of(ways[0]) > 1:
            return np.zeros_like(found)
        for source in (self.every[name] for name in ways[0].names):
            if source.item is None:
                found = found & (len(source.values) == 1)
            elif source.is_whole is not None:
                column = item.table is None and source.is_column
                found = found & (source.is_whole.all(axis=1, keepdims=True) if column else source.is_whole)
        return found

    def _least_figures(self, item: Item) -> Places:
        """Return the figures of the least precise reading behind an answer; a count limits nothing."""
        known = [self.own[name] for name in (item.formula.names if item.formula else ()) if name in self.own]
        figures = [
            one.figures if item.table is not None or one.item is None else one.figures.min(axis=1, keepdims=True)
            for one in known
        ]
        least = np.minimum.reduce(np.broadcast_arrays(np.full((1, 1), NO_LIMIT, np.int64), *figures))
        return np.broadcast_to(least, (len(self.board.write_ups), least.shape[1]))

    def off_another_line(self, item: Item, ways: Sequence[Formula]) -> list[tuple[Formula, Mask]]:
        """Return those of *ways* that take off a graph what the usual way to *item* does not; see ``OtherLines``."""
        return OtherLines(self.board, self.own).off_another_line(item, ways)

    def past_written(self, item: Item, ways: Sequence[Formula]) -> list[Mask]:
        """Return for each of *ways* the students, (students, 1), who wrote a step down that it passes by."""
        lines = OtherLines(self.board, self.own)
        routes = [lines.route(item, way) for way in ways]
        return [route.passes_by & ~route.is_other_line for route in routes]


def surest(pair: tuple[Places, Places]) -> Places:
    """Return the figures that a reading surely has: where a spreadsheet dropped zeros, those that are left."""
    fewest, most = pair
    return np.where(most < NO_LIMIT, most, fewest)


def _turned(source: Source, item: Item, cells: Cells) -> Source:
    """Return *source* with what is known of the unit that it was written in."""
    other = np.isfinite(cells.number) & ~np.isclose(cells.factor, item.unit.factor, rtol=1e-9, atol=0.0)
    # Joules too are turned, into kJ, where the answer is in kJ/(kg °C); degrees are not.
    may_be_turned = item.unit.dimension not in (NO_DIMENSION, TEMPERATURE)
    scaled = np.full(cells.factor.shape, may_be_turned) | ~np.isclose(cells.factor, 1.0, rtol=1e-9, atol=0.0)
    scaled &= item.unit.dimension != NO_DIMENSION
    return replace(source, converted=other, scaled=scaled)


def _only(where: Mask, low: Values, high: Values) -> tuple[Values, Values]:
    return np.where(where, low, np.nan), np.where(where, high, np.nan)


def _is_count(item: Item, cells: Cells) -> Mask:
    """Tell which numbers are counts: whole, and of nothing that has a unit."""
    if item.unit.dimension != NO_DIMENSION or item.unit.factor != 1.0:
        return np.zeros((1, 1), np.bool_)
    return np.asarray(cells.finest >= 0)


def _different(values: tuple[Values, ...]) -> tuple[Values, ...]:
    found: list[Values] = []
    for one in values:
        if not any(np.array_equal(one, other, equal_nan=True) for other in found):
            found.append(one)
    return tuple(found)


def _found(one: Printed, found: Found, manner: Manner) -> tuple[Mask, Mask, Mask]:
    """Return which answers an alternative prints, and which lie among the near or the rough ones of one route."""
    with np.errstate(all="ignore"):
        near = _is_among(one, found.near)
        for ways in found.aside:
            near |= _hit(one, ways, manner)
        return _hit(one, found.every, manner), near, _is_among(one, found.rough)


def _hit(one: Printed, ways: Ways, manner: Manner) -> Mask:
    """Return which answers an alternative prints."""
    with np.errstate(all="ignore"):
        hit = one.is_reached_by(ways.low[..., 0], ways.high[..., 0], manner.rounds[:, 0])
        return np.asarray(hit.any(axis=0))


def _some_of(mask: Mask, count: int) -> Iterator[_Places]:
    """Yield where *mask* holds, so many places at a time."""
    students, rows = np.nonzero(mask)
    for start in range(0, students.size, count):
        yield students[start : start + count], rows[start : start + count]


def _is_among(one: Printed, routes: Sequence[Ways]) -> Mask:
    found = np.zeros(one.number.shape, np.bool_)
    for ways in routes:
        least, most = np.fmin.reduce(ways.low[..., 0], axis=0), np.fmax.reduce(ways.high[..., 0], axis=0)
        room = NEAR_SHARE * np.maximum(np.abs(least), np.abs(most))
        found |= one.is_printed_by(least - room, most + room, distance=False)
    return found

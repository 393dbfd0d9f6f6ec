"""Every value that a student's own chain of steps leads to, for the few answers where it matters.

A step that was not written down is kept exact, rounded to three figures or more (two where a reading that goes into
it has two), or cut off at three or more. An earlier answer goes on as it was written, or as the unrounded value that
it stands for; a reading is never rounded. Whatever is turned into another unit may be kept like any step, though.
Down a column there is one habit.
Whole numbers are exact, constants have the values of the rubric, and pi those of school.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import reduce
from typing import TypeVar

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.chains.kept_steps import (
    EACH,
    EXACT,
    HABITS,
    Ways,
    as_kept,
    by_habit,
    combined,
    either,
    fewer,
    kept_each,
    mapped,
    one_way,
    sharp,
    without,
)
from marking.checking.answers.chains.sources import Chosen, Route, Source
from marking.checking.answers.worked import POINT_FUNCTIONS, ZERO_CELSIUS_CUT, column_value, row_value
from marking.checking.answers.written import NO_LIMIT, Printed
from marking.checking.fits import concordant_runs, mean_of, means_of
from rubrics.formulas import PI, Call, Formula, Minus, Name, Node, Number, Operation, Power, factors, terms, walk

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]
_T = TypeVar("_T", bound=np.generic)

PI_VALUES = (math.pi, 3.14, 3.142, 22 / 7)
"""Pi in school use; common practice, no source."""
MOST_OF_A_COLUMN = 12
"""Alternatives kept of a whole column, which share one habit each."""
WELL_DRAWN_SHARE = 0.02
"""Where other steps to the answer stand in writing, a line this far off the fitted one stands; common practice, no
source."""
MOST_CHAINS = 4096
"""Chains tried for one answer."""
LONGEST_CHAIN = 5
"""Orders of more factors than this are not all tried; no school formula has them."""
_LINES = ("slope", "intercept")


class Found(Struct, frozen=True, kw_only=True):
    """What the chains of one search come to, an alternative a chain."""

    every: Ways
    """What a student of the manner that shows may come to."""
    near: tuple[Ways, ...]
    """And one of another manner; each route alone, for what lies between two is near neither."""
    rough: tuple[Ways, ...]
    """And one who carried earlier answers on with any figures behind those that were printed."""
    aside: tuple[Ways, ...] = ()
    """And one who passed by a step that stands in writing: what such a chain prints lies near, and nothing between."""


def chains(routes: Sequence[Route], chosen: Chosen, *, one_habit: bool) -> Found:
    """Return what the *routes* may come to.

    With *one_habit* every step of a chain is kept alike, and all such chains are there. Without, every step may be
    kept in a way of its own, and of too many evenly spread ones are tried.
    """
    found: list[Ways] = []
    near: list[Ways] = []
    rough: list[Ways] = []
    aside: list[Ways] = []
    with np.errstate(all="ignore"):
        for route in routes:
            begun, loose, taken = len(found), list[Ways](), list[Ways]()
            passed = route.passes_by[chosen.students]
            each = _walked_each(route, chosen) if one_habit else [_walked(route, chosen, None)]
            walked = [without(one, passed) for one in each]
            if one_habit:
                # What is done in another manner than theirs lies near, and is not known to be theirs.
                loose += walked
                walked = [without(one, chosen.manner.bars(*habit)) for one, habit in zip(walked, HABITS, strict=True)]
            else:
                # Habits of the steps before make no difference where none of these is worked out again.
                is_apart = chosen.works_back
                mixed = _walked(route, replace(chosen, is_mixed=True), None) if is_apart else each[0]
                loose.append(without(mixed, passed))
            found += walked
            drawn = passed & route.is_other_line[chosen.students]
            if one_habit and route.is_worked_out and passed.any():
                aside.append(either(*[without(one, ~passed) for one in each], most=MOST_CHAINS))
            if one_habit and drawn.any():
                found.append(without(_walked(route, replace(chosen, share=WELL_DRAWN_SHARE), 0), ~drawn))
            if not one_habit and _are_rough(chosen):
                taken = [without(one, passed) for one in _walked_each(route, replace(chosen, is_rough=True))]
            own = found[begun:]
            near.append(either(*own, *loose, most=MOST_CHAINS))
            rough.append(either(*own, *taken, most=MOST_CHAINS))
        every = either(*found, most=MOST_CHAINS)
        return Found(every=every, near=tuple(near), rough=tuple(rough), aside=tuple(aside))


def unkept(routes: Sequence[Route], chosen: Chosen) -> Ways:
    """Return what the *routes* come to where no step is kept short, which is some of what ``chains`` finds."""
    with np.errstate(all="ignore"):
        each = [without(_walked(one, chosen, EXACT), one.passes_by[chosen.students]) for one in routes]
        return either(*each, most=MOST_CHAINS)


def _are_rough(chosen: Chosen) -> bool:
    """Tell whether some of these students wrote an earlier answer."""
    rough = [source.rough[0] for source in chosen.sources.values() if source.rough is not None]
    return any(bool(np.isfinite(one[chosen.students]).any()) for one in rough)


def _walked(route: Route, chosen: Chosen, habit: int | None) -> Ways:
    return _Walk(chosen, route.way, whole=False, habit=habit).value(route.way.tree)


def _walked_each(route: Route, chosen: Chosen) -> list[Ways]:
    """Return the same for every habit: walked at once, since on a few hundred answers a step costs by the call."""
    return by_habit(_walked(route, chosen.for_each_habit(), EACH))


class _Walk:
    """One formula, for the chosen answers; *whole* where whole columns are worked out."""

    def __init__(self, chosen: Chosen, way: Formula, *, whole: bool, habit: int | None) -> None:
        self.chosen = chosen
        self.way = way
        self.whole = whole
        self.habit = habit
        calls = {part.function for part in walk(way.tree) if isinstance(part, Call)}
        # A line that gives gradient and intercept turns about the middle of its points: the allowance is given once.
        self.has_both = calls.issuperset(_LINES)
        tree = way.tree.term if isinstance(way.tree, Minus) else way.tree
        # A line drawn a twentieth too steep is as far off whichever way round its gradient is taken.
        self.turned = {factor for factor, side in factors(tree) if side < 0 and isinstance(factor, Call)}

    def value(self, node: Node) -> Ways:
        match node:
            case Number(value, _):
                return _exactly(value)
            case Name(name):
                return self._named(name)
            case Minus(term):
                return mapped(self.value(term), np.negative)
            case Operation(sign, _, _) if sign in "*/":
                return self._chain(node)
            case Operation():
                return self._sum(node)
            case Power(base, exponent):
                return mapped(self._factor(base), lambda values: values ** float(exponent))
            case Call():
                return self._call(node)

    def _named(self, name: str) -> Ways:
        if name == PI:
            return sharp(np.array(PI_VALUES)[:, None, None], np.full((1, 1), NO_LIMIT, np.int64))
        source = self.chosen.sources[name]
        figures = self._pick(source.figures, source)
        found = sharp(np.stack([self._pick(one, source) for one in source.values]), figures)
        for span in (source.span, source.rough if self.chosen.is_rough else None):
            if span is None or not np.isfinite(self._pick(span[0], source)).any():
                continue
            # In a column the rows that stand go on as they are written.
            first = found.low[:1]
            ends = [np.where(np.isfinite(end), end, first) for end in (self._pick(end, source) for end in span)]
            if not self.chosen.is_rough and source.typed is not None:
                ends = [np.where(self._pick(source.typed, source), first, end) for end in ends]
            # What follows from either end may be cut off like what follows from any value.
            low, high = (np.concatenate([end, *ends]) for end in ends)
            found = either(found, Ways(low, high, figures))
        if source.unwritten is None or not source.ways:
            return found
        missing = self._pick(source.unwritten, source)
        if self.whole and not missing.any():
            return found
        inner = self._inner(source)
        if not self.whole and source.printed is not None and inner.is_sharp:
            found = either(found, self._behind(source, source.printed, inner))
        if not missing.any():
            return found
        inner = self._noted(source, inner)
        # What stands written in some rows of a column stays.
        first = found.low[:1]
        low = np.where(missing, inner.low, first)
        high = low if inner.is_sharp else np.where(missing, inner.high, first)
        return either(found, Ways(low, high, figures))

    def _inner(self, source: Source) -> Ways:
        """Return what an earlier answer comes to, worked out again."""
        if self.habit is not None or self.chosen.is_mixed:
            return self._inner_by(source, self.habit)
        # Whatever is kept of this step, one habit runs through an earlier one.
        bars = self.chosen.manner.bars
        walk_each = _Walk(self.chosen.for_each_habit(), self.way, whole=self.whole, habit=EACH)
        each = by_habit(walk_each._inner_by(source, EACH))
        return either(*(without(one, bars(*habit)) for one, habit in zip(each, HABITS, strict=True)))

    def _inner_by(self, source: Source, habit: int | None) -> Ways:
        assert source.item is not None  # only earlier answers have ways
        key = (source.item.name, self.whole, habit)
        if key not in self.chosen.known:
            ways = [_Walk(self.chosen, way, whole=self.whole, habit=habit).value(way.tree) for way in source.ways]
            self.chosen.known[key] = either(*ways)
        return self.chosen.known[key]

    def _behind(self, source: Source, printed: Printed, inner: Ways) -> Ways:
        """Return the values that a written answer may stand for: those of its chains that print it."""
        one = printed.at(self.chosen.students, self.chosen.rows if source.is_column else 0 * self.chosen.rows)
        ends = inner.low[..., 0], inner.high[..., 0]
        is_it = one.is_printed_by(*ends)
        if not self.chosen.is_mixed:
            # Nor was this one cut off by a student who rounds; of one figure that says nothing.
            is_it &= one.is_reached_by(*ends, self.chosen.manner.rounds[:, 0]) | one.is_one_figure
        return without(inner, ~is_it[..., None])

    def _noted(self, source: Source, inner: Ways) -> Ways:
        """Return a step that was not written down as it goes on, kept as the number in its own unit."""
        unit = source.item.unit if source.item is not None else None
        if unit is None:
            return inner
        # 41.8 °, and not so many radians.
        found = mapped(self._kept(mapped(inner, unit.from_si)), unit.to_si)
        return fewer(found, MOST_OF_A_COLUMN) if self.whole else found

    def _pick(self, values: NDArray[_T], source: Source) -> NDArray[_T]:
        return self.chosen.pick(values, source.item, whole=self.whole)

    def _step(self, node: Node) -> Ways:
        # Gradient and intercept of one line together are where it meets the other axis: read off, not worked out.
        inner = node.term if isinstance(node, Minus) else node
        is_read_off = self.has_both and isinstance(inner, Call) and inner.function in _LINES
        return self.value(node) if is_read_off or isinstance(node, Name | Number) else self._kept(self.value(node))

    def _factor(self, node: Node) -> Ways:
        found = self._step(node)
        source = self.chosen.sources.get(node.name) if isinstance(node, Name) else None
        if source is None or source.converted is None or source.scaled is None:
            return found
        turned = self._pick(source.converted, source) | (self._pick(source.scaled, source) & self.chosen.is_scaled)
        return either(found, without(self._kept(found), ~turned)) if turned.any() else found

    def _sum(self, node: Node) -> Ways:
        total: Ways | None = None
        for position, (term, sign) in enumerate(terms(node)):
            step = self._step(term)
            step = step if sign > 0 else mapped(step, np.negative)
            if total is not None and position > 1:
                total = self._kept(total)
            total = step if total is None else combined(total, step, np.add)
        assert total is not None  # a sum has terms
        return total

    def _chain(self, node: Node) -> Ways:
        """Return every order in which a chain of factors may be worked, each product on the way kept."""
        parts = [one for one in factors(node) if not _is_one(one[0])]
        if not parts:
            return _exactly(1.0)
        single = [self._factor(factor) for factor, _ in parts]
        above = [side > 0 for _, side in parts]
        known: dict[frozenset[int], Ways] = {}
        for size in range(1, min(len(single), LONGEST_CHAIN) + 1):
            for members in itertools.combinations(range(min(len(single), LONGEST_CHAIN)), size):
                known[frozenset(members)] = self._group(members, single, above, known)
        found = known[frozenset(range(min(len(single), LONGEST_CHAIN)))]
        if not any(above[:LONGEST_CHAIN]):
            found = mapped(found, np.reciprocal)
        for position in range(LONGEST_CHAIN, len(single)):
            found = combined(self._kept(found), single[position], np.multiply if above[position] else np.divide)
        return found

    def _group(
        self, members: tuple[int, ...], single: list[Ways], above: list[bool], known: Mapping[frozenset[int], Ways]
    ) -> Ways:
        """Return the product of some factors; a group wholly below the line is kept as its own product."""
        if len(members) == 1:
            return single[members[0]]
        first, rest = members[0], members[1:]
        found = []
        for size in range(len(rest)):
            for others in itertools.combinations(rest, size):
                left = frozenset((first, *others))
                found.append(self._joined(left, frozenset(members) - left, above, known))
        return either(*found)

    def _joined(
        self, left: frozenset[int], right: frozenset[int], above: list[bool], known: Mapping[frozenset[int], Ways]
    ) -> Ways:
        left_above, right_above = any(above[i] for i in left), any(above[i] for i in right)
        a = known[left] if len(left) == 1 else self._kept(known[left])
        b = known[right] if len(right) == 1 else self._kept(known[right])
        if left_above == right_above:
            return combined(a, b, np.multiply)
        return combined(a, b, np.divide) if left_above else combined(b, a, np.divide)

    def _kept(self, ways: Ways) -> Ways:
        if self.habit == EACH:
            return kept_each(ways, self.chosen.students.size // len(HABITS))
        return as_kept(ways, self.habit, self.chosen.manner)

    def _call(self, call: Call) -> Ways:
        function, arguments = call.function, call.arguments
        if function == "kelvin":
            # 273 is added as often as 273.15.
            inside = self.value(arguments[0])
            return either(inside, mapped(inside, lambda values: values - ZERO_CELSIUS_CUT))
        if function in POINT_FUNCTIONS:
            return mapped(self._step(arguments[0]), POINT_FUNCTIONS[function])
        if call.is_along_row:
            return _along_row(function, [self.value(argument) for argument in arguments])
        width = len(call.columns)
        columns = [
            _Walk(self.chosen, Formula("", one), whole=True, habit=self.habit).value(one) for one in arguments[:width]
        ]
        behind = [self._step(argument) for argument in arguments[width:]]
        return self._column(call, [fewer(column, MOST_OF_A_COLUMN) for column in columns], behind)

    def _column(self, call: Call, columns: list[Ways], behind: list[Ways]) -> Ways:
        figures = reduce(np.minimum, [column.figures.min(axis=1, keepdims=True) for column in columns])
        several: list[list[Values]] = []
        for picked in itertools.product(*(range(one.low.shape[0]) for one in (*columns, *behind))):
            for share in (0.0, 1.0) if self.chosen.is_rough else (0.5,):
                arrays = [
                    (1 - share) * one.low[at] + share * one.high[at]
                    for one, at in zip((*columns, *behind), picked, strict=True)
                ]
                several.append(list(np.broadcast_arrays(*arrays[: len(columns)])) + arrays[len(columns) :])
        return either(*(Ways(low, high, figures) for low, high in self._of_columns(call, several)))

    def _of_columns(self, call: Call, several: list[list[Values]]) -> list[tuple[Values, Values]]:
        """Return what a function of *several* sets of columns may come to: low and high, of shape (1, answers, 1)."""
        function = call.function
        if function == "mean":
            return [(one[None],) * 2 for column, *_ in several for one in (mean_of(column), *means_of(column))]
        if function == "concordant":
            return [(one[None],) * 2 for column, within in several for one in concordant_runs(column, within)]
        rooms = self.chosen.drawn(function, several)
        found = []
        for arrays, room in zip(several, rooms, strict=True):
            if room is None:
                value = column_value(function, arrays)[None]
                found.append((value, value))
            elif self.has_both and function == "slope":
                found += [(value[None], value[None]) for value, _, _ in room]
            elif call in self.turned:
                found += [((value * value / high)[None], (value * value / low)[None]) for value, low, high in room]
            else:
                found += [(low[None], high[None]) for _, low, high in room]
        return found


def _exactly(value: float) -> Ways:
    return one_way(np.full((1, 1), value), np.full((1, 1), NO_LIMIT, np.int64))


def _is_one(node: Node) -> bool:
    return isinstance(node, Number) and node.value == 1.0


def _along_row(function: str, values: list[Ways]) -> Ways:
    figures = reduce(np.minimum, [one.figures for one in values])
    first = [one.low[0] for one in values]
    if function != "mean":
        return one_way(row_value(function, first), figures)
    stacked = np.stack(np.broadcast_arrays(*first), axis=-1)
    return sharp(np.stack([one[..., 0] for one in (mean_of(stacked), *means_of(stacked))]), figures)

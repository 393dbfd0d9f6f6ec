"""Whether each answer of a class follows from the student's own figures.

An answer is compared with what the student's readings lead to, and with what their own earlier answers
lead to; either earns the mark. All students of a batch are judged at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers.answer_order import in_order, lacks_reading
from marking.checking.answers.chains import Chains, named_slips_behind, not_theirs, used_once_on_means
from marking.checking.answers.counted import is_counted
from marking.checking.answers.judged import CAREFUL_FIGURES, Judged, Judgement
from marking.checking.answers.known_so_far import Known, chosen, ways_of
from marking.checking.answers.other_labels import right_under_another
from marking.checking.answers.own_line import OwnLine
from marking.checking.answers.read_off_curves import is_of_one_row, passed_from_left_to_right
from marking.checking.answers.straight_only import joined, left_out, rows_past
from marking.checking.answers.verdicts import Evidence, verdicts
from marking.checking.answers.worked import Care, evaluate, hull, is_drawn
from marking.checking.answers.written import NO_LIMIT, Board, Printed, any_of, lies_inside, printed
from marking.checking.fits import UNSURE_SHARE
from rubrics.formulas import Call, Name
from rubrics.model import CheckKind, Item

OTHER_LINE_SHARE = 0.035
"""How far off the fitted line an answer still waits where other steps lead to it too; common practice, no source."""

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]


def judge(board: Board, asked: Mask | None = None) -> Mapping[str, Judged]:
    """Return every numeric answer of the rubric, judged, in an order in which each follows from those before.

    Args:
        board: The class, or a part of it.
        asked: Whose judgements are asked for, (students, 1); everybody's where it is None. For the others chains are
            not looked for, which takes most of the time: what their readings lead to is told, their judgement is not.
    """
    every = _judged(board, asked)
    past = rows_past(board.rubric, every, board)
    return joined(every, _judged(left_out(board, past), asked), past) if past.any() else every


def _judged(board: Board, asked: Mask | None) -> dict[str, Judged]:
    work = _Work(board, asked)
    return {item.name: work.judged(item) for item in in_order(board.rubric) if item.formula is not None}


class _Direct(Struct, frozen=True, kw_only=True):
    """What the answers to one item come to with nothing rounded, by the ways that their students go."""

    own: list[Values]
    """From the readings, the item's own formula first."""
    along: list[Values]
    """By what stands written."""
    not_theirs: list[Mask]
    """For each way the students whose other rows show that they do not go it, (students, 1)."""
    is_other: Mask
    """What only such a way prints."""

    @classmethod
    def of(
        cls,
        item: Item,
        one: Printed,
        exact: tuple[Values, Values],
        by_way: Sequence[tuple[Values, list[Values]]],
        past_written: Sequence[Mask],
    ) -> _Direct:
        """Return it for answers as they were printed.

        Args:
            item: The answer.
            one: As it was printed.
            exact: What the item's formula comes to, from readings and carried on.
            by_way: The same by each way, with every mixture of earlier answers.
            past_written: For each way the students, (students, 1), who wrote a step down that it passes by: from
                earlier answers they go on through that step.
        """
        barred = not_theirs(item, one, [[own, *along] for own, along in by_way])
        own, along = [exact[0]], [exact[1]]
        is_other = np.zeros(one.number.shape, np.bool_)
        for mask, past, (by_readings, written) in zip(barred, past_written, by_way, strict=True):
            own.append(np.where(mask, np.nan, by_readings))
            along += [np.where(mask | past, np.nan, value) for value in written]
            if past.any() and written:
                is_other |= past & any_of([one.is_printed_by(value, value) for value in written])
            if mask.any():
                is_other |= mask & any_of([one.is_printed_by(value, value) for value in (by_readings, *written)])
        return cls(own=own, along=along, not_theirs=barred, is_other=is_other)


class _Work:
    """One batch, answer by answer."""

    def __init__(self, board: Board, asked: Mask | None) -> None:
        self.board = board
        self.asked = np.ones((1, 1), np.bool_) if asked is None else asked
        self.known = Known(board)
        self.chains = Chains(board)
        self.chains.start(self.known.figures, self.known.exact)

    def judged(self, item: Item) -> Judged:
        known, formula = self.known, item.formula
        assert formula is not None  # only answers with a formula come here
        cells = self.board.cells[item.name]
        one = printed(cells)
        fewest, most = known.least_figures(item, formula)
        # Zeros of a whole number may count: a joulemeter's 20000 J is no reason to keep steps to two figures.
        # Where a spreadsheet dropped zeros, only the figures that are left are sure.
        sure = np.where(most < NO_LIMIT, most, fewest)
        care = Care(figures=np.clip(sure, *CAREFUL_FIGURES))
        each_way = known.each_way(item, care)
        own = hull(*each_way)
        exact = evaluate(formula.tree, known.exact)
        unrounded = carried = evaluate(formula.tree, known.carried)
        through = evaluate(formula.tree, known.passing)
        if item.repeats:
            lost = known.unusable(item)
            own = chosen(lost, (np.full((1, 1), np.nan),) * 2, own)
            exact, carried, through = (np.where(lost, np.nan, value) for value in (exact, unrounded, through))
        along = known.along(item, formula, care)
        ways = ways_of(item, known.own)
        past = self.chains.past_written(item, ways)
        direct = _Direct.of(item, one, (exact, carried), [known.direct(item, way) for way in ways], past)
        both = (known.exact, known.exact | known.stated_exact)
        of_another_constant = self.chains.learn(item, both)
        # A slip is made with the steps on the page: of a wrong one nobody goes on with what it should have been.
        as_written = (known.passing, both[1])
        evidence = Evidence(
            item=item,
            formula=formula,
            cells=cells,
            one=one,
            intervals=[*([own] if item.repeats else each_way), *known.followed(item, care)],
            own=direct.own,
            along=direct.along,
            by_other_way=direct.is_other | of_another_constant | one.is_printed_by(through, through),
            may_leave_out=self._may_leave_out(item),
            slips=[
                *named_slips_behind(self.board.rubric, item, one, as_written),
                *used_once_on_means(self.board.rubric, item, one, as_written),
            ],
            under_another=right_under_another(self.board, item, one, known.exact, [*direct.own, *direct.along]),
            near_line=self._near_line(item, care),
            off_own_line=OwnLine.of(self.board, item).is_off,
            of_one_row=self._of_one_row(item),
            all_there=self._all_there(item),
            is_counted=is_counted(self.board.rubric, item),
            unit_pays=self._unit_pays(item),
        )
        is_open = evidence.is_open() & self.asked
        judgement = verdicts(evidence, self.chains.reached(item, ways, is_open, direct.not_theirs))
        shape = cells.number.shape
        lacking = lacks_reading(item, known.lacking)
        judgement = np.where(lacking & (judgement == int(Judgement.WRONG)), int(Judgement.NOT_RECALCULABLE), judgement)
        # One who wrote this step down goes on with what stands there.
        known.lacking[item.name] = np.asarray(lacking & ~np.isfinite(cells.si))
        stands = judgement == int(Judgement.RIGHT)
        known.remember(item, (own, exact), along, (fewest, most), care, stands)
        alone = known.taken_down[item.name]
        self.chains.remember(
            item, ways, known.figures[item.name], known.exact[item.name], along[1], stands, evidence.slips, alone
        )
        kept = (judgement == int(Judgement.WRONG)) | ((bool(item.repeats) | alone) & np.isnan(exact))
        known.passing[item.name] = np.where(kept & np.isfinite(cells.si), cells.si, through)
        # What stands written, and rightly so, is not carried on as a value that it was never rounded from.
        kept = kept | (stands & ~one.is_printed_by(unrounded, unrounded))
        known.carried[item.name] = np.where(kept & np.isfinite(cells.si), cells.si, unrounded)
        return Judged(
            item=item,
            judgement=judgement,
            own=np.broadcast_to(np.where(np.isfinite(exact), exact, np.nan), shape),
            followed=np.broadcast_to(along[1], shape),
            meant_interval=along[0],
            unrounded=np.broadcast_to(unrounded, shape),
            own_interval=own,
            figures=(np.broadcast_to(fewest, shape), np.broadcast_to(most, shape)),
        )

    def _near_line(self, item: Item, care: Care) -> Mask:
        """Tell where an answer taken off a drawn line lies between the shares that decide."""
        known, cells = self.known, self.board.cells[item.name]
        if item.formula is not None and is_drawn(item.formula):
            wide = Care(figures=care.figures, drawn_share=UNSURE_SHARE)
            through = [known.through_wrong_points(way, UNSURE_SHARE) for way in ways_of(item, known.own)]
            near = lies_inside(cells, [*known.about_the_line(item, wide), *through])
            points = (known.exact, known.exact | known.stated_exact)
            passed = lies_inside(cells, passed_from_left_to_right(item, points))
            return np.asarray(near & ~is_of_one_row(item, points, printed(cells)) | passed)
        fair = Care(figures=care.figures, drawn_share=OTHER_LINE_SHARE, turns_about_middle=True)
        others = self.chains.off_another_line(item, ways_of(item, known.own))
        between = [who & lies_inside(cells, [known.by_way(way, fair)]) for way, who in others]
        return any_of([np.zeros((1, 1), np.bool_), *between])

    def _of_one_row(self, item: Item) -> Mask:
        """Tell where a mean may as well be taken off a line, no line is shown, and one row prints the answer."""
        graph, tree = self.board.rubric.graph, item.formula.tree if item.formula is not None else None
        nowhere = np.zeros((1, 1), np.bool_)
        if graph is None or not graph.read_off or not any(is_drawn(way) for way in item.also):
            return nowhere
        if not isinstance(tree, Call) or tree.function != "mean" or not isinstance(tree.arguments[0], Name):
            return nowhere
        unseen = np.asarray(~any_of([self.board.cells[name].given for name in graph.read_off]))
        one, rows = printed(self.board.cells[item.name]), self.board.cells[tree.arguments[0].name].si
        return unseen & any_of([one.is_printed_by(rows[:, [row]], rows[:, [row]]) for row in range(rows.shape[1])])

    def _may_leave_out(self, item: Item) -> Mask:
        """Tell where a mean is asked for, or was not written down before, that may leave out a repeat."""
        names = [name for name in (item.formula.names if item.formula else ()) if name in self.board.cells]
        blank = [np.isnan(self.board.cells[name].si) for name in names if self.board.rubric.items[name].repeats]
        behind: list[Mask] = [
            one if item.table is not None else np.asarray(one.any(axis=1, keepdims=True)) for one in blank
        ]
        return any_of([np.full((1, 1), bool(item.repeats)), *behind])

    def _unit_pays(self, item: Item) -> bool:
        return any(c.check is CheckKind.UNIT and item.name in c.items for c in self.board.rubric.criteria)

    def _all_there(self, item: Item) -> Mask:
        """Tell where every input is there, so that a missing value means that there is none."""
        names = [name for name in (item.formula.names if item.formula else ()) if name in self.board.cells]
        if item.table is None and any(self.board.rubric.items[name].table is not None for name in names):
            # Too few rows for a line or a mean: something is missing, whatever stands in the others.
            return np.zeros((1, 1), np.bool_)
        there = [np.isfinite(self.known.exact[name]) for name in names]
        return np.asarray(np.logical_and.reduce(np.broadcast_arrays(*there))) if there else np.ones((1, 1), np.bool_)

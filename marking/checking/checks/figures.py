"""Whether an answer has a sensible number of significant figures.

As many as the least precise reading behind it, or one more; two are always enough (common practice in
schools, no source). Where a spreadsheet has dropped trailing zeros nothing is lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from msgspec import Struct

from marking.checking.answers import Judgement
from marking.checking.case import Case, Line, basic_facts
from marking.findings import Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.model import Criterion, Item

MOST_TOLD = 12
"""More figures than a calculator shows: the entry is a fraction, such as 1/24, which is exact."""


def check_figures(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each answer of the criterion, one a row for a column."""
    for name in criterion.items:
        item = case.item(name)
        if item.table is None and case.entry(item, 1) is None:
            if not case.gives_any(criterion):
                yield case.blank_line(item, None, None)
            continue
        figures = _Figures.of(case, item)
        for row, entry in case.entries(item):
            if entry.state is State.BLANK:
                # What is missing loses its own mark; the figures of the others are there to be judged.
                if item.table is None and not case.gives_any(criterion):
                    yield case.blank_line(item, None, entry)
                continue
            judgement = figures.worth[row - 1] if figures.worth else None
            if judgement is Judgement.NO_VALUE:
                continue
            if judgement is Judgement.ROUGH and item.figures[0] > 1:
                # 1000 for 986: as one figure it is the right value, as more it is not. Not both marks.
                yield _rough_line(item, row, entry)
                continue
            yield _figures_line(item, row, entry, figures)


class _Figures(Struct, frozen=True, kw_only=True):
    """Figures of one student's answers to one item, by row from 0."""

    fewest: list[int]
    most: list[int]
    wanted: tuple[list[int], list[int]]
    """How many should be there, at the least and at the most."""
    worth: list[Judgement] | None
    """None for an item that is not judged."""

    @classmethod
    def of(cls, case: Case, item: Item) -> _Figures:
        """Return those of a student."""
        batch, student = case.batch, case.student
        fewest, most = batch.figures[item.name]
        least, greatest = batch.figures_wanted[item.name]
        return cls(
            fewest=fewest[student],
            most=most[student],
            wanted=(least[student], greatest[student]),
            worth=batch.judgements[item.name][student] if item.name in case.judged else None,
        )


def _rough_line(item: Item, row: int, entry: Entry) -> Line:
    at = None if item.table is None else row
    facts = basic_facts(item, at, entry)
    return Line(
        item=item.name, row=at, outcome=Outcome.FOR_TEACHER, reason=Reason.ROUGH_FIGURE, entry=entry, facts=facts
    )


def _figures_line(item: Item, row: int, entry: Entry, figures: _Figures) -> Line:
    at = None if item.table is None else row
    facts = basic_facts(item, at, entry)
    if entry.state is not State.NUMBER:
        return Line(
            item=item.name, row=at, outcome=Outcome.FOR_TEACHER, reason=Reason.UNREADABLE, entry=entry, facts=facts
        )
    at_row, (least, greatest) = row - 1, figures.wanted
    window = least[at_row], greatest[at_row]
    outcome, reason, told, found = _verdict(figures.fewest[at_row], figures.most[at_row], window, entry.zeros_unknown)
    facts |= told
    return Line(item=item.name, row=at, outcome=outcome, reason=reason, entry=entry, explanations=found, facts=facts)


@lru_cache(maxsize=1024)  # of so many figures where so many are wanted, a class has a handful of cases
def _verdict(
    fewest: int, most: int, window: tuple[int, int], is_unknown: bool
) -> tuple[Outcome, Reason, dict[str, str], tuple[Explanation, ...]]:
    """Return what so many figures are worth, with facts and causes.

    Args:
        fewest: Figures of the number, trailing zeros of a whole number not counted.
        most: The same with them.
        window: Fewest and most that are wanted.
        is_unknown: Whether a spreadsheet dropped trailing zeros.
    """
    low, high = window
    facts = {"figures": str(fewest if fewest > high else most), "figures_wanted": _window_text(low, high)}
    if is_unknown:
        reason = Reason.FIGURES_UNKNOWN if not low <= fewest <= high else Reason.FIGURES_RIGHT
        outcome = Outcome.AWARDED
        if high < fewest <= MOST_TOLD:  # dropped zeros only ever hide figures; a fraction has none to count
            outcome, reason = Outcome.WITHHELD, Reason.FIGURES_TOO_MANY
    elif fewest > high:
        outcome, reason = Outcome.WITHHELD, Reason.FIGURES_TOO_MANY
    elif most < low:
        outcome, reason = Outcome.WITHHELD, Reason.FIGURES_TOO_FEW
    else:
        outcome, reason = Outcome.AWARDED, Reason.FIGURES_RIGHT
    found: tuple[Explanation, ...] = ()
    if outcome is Outcome.WITHHELD:
        detail = f"{facts['figures']} figures, {facts['figures_wanted']} wanted"
        found = (Explanation(cause=Cause.SIGNIFICANT_FIGURES, detail=detail, probability=1.0),)
    if reason is Reason.FIGURES_RIGHT and fewest != most:
        del facts["figures"]  # 2700 has two, three or four, and nobody can say which
    return outcome, reason, facts, found


def _window_text(low: int, high: int) -> str:
    return str(low) if low == high else f"{low} to {high}" if high > low + 1 else f"{low} or {high}"

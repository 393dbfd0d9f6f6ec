"""Readings that may have been worked back from book values.

A resistor sold as 10 Ω is a little off, and so are meters: an honest p.d. is near 10 Ω times the current, but
seldom that very product to the last digit. Where nearly every reading of a write-up is, and what the parts
make together fits to the last digit too, it may have been the other way round.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import evaluate, lay_out
from marking.cohort.evidence import Partners, at_least
from marking.cohort.leads.direct_answers import DirectAnswer, direct_answers
from marking.cohort.leads.sold_values import nearest_sold, sold_in_series
from marking.distributions import median
from rubrics.model import Item, Rubric

Values = NDArray[np.float64]

FEWEST = 4
"""Answers that a write-up must have before a fit of nearly all of them says anything."""
MOST_MISSED = 1
"""Of them, so many may miss: a figure was changed, or copied wrongly."""
NEARBY = 3.0
"""Book values within this many standard deviations of an answer could have been hit as well."""


class WorkedBack(Struct, frozen=True, kw_only=True):
    """A group whose readings fit book values to the last digit."""

    group: int
    items: tuple[str, ...]
    """Answers that fit."""
    fits: int
    of: int
    chance: float
    """How often an honest write-up would fit in as many."""


class _Fit(Struct, frozen=True, kw_only=True):
    """One figure beside a book value."""

    item: str
    hits: bool
    chance: float
    """How often an honest figure would hit one of the book values near it."""


def worked_back(rubric: Rubric, partners: Sequence[Partners], limit: float) -> tuple[WorkedBack, ...]:
    """Return the groups whose fit honest work would bring up no more often than *limit*, the least likely first."""
    if not partners:
        return ()
    board = lay_out(rubric, [one.write_up for one in partners])
    benches = [one.bench for one in partners]
    as_set, as_read = (direct_answers(board, benches, set_by_hand=by_hand) for by_hand in (True, False))
    found = [
        one
        for instrument, answers in as_read.items()
        for group in range(len(partners))
        for one in _tests(rubric, answers, as_set[instrument], group, len(as_read))
    ]
    best: dict[int, WorkedBack] = {}
    for one in sorted(found, key=lambda one: (one.chance, one.group)):
        if one.chance <= limit:
            best.setdefault(one.group, one)
    return tuple(best.values())


def _tests(
    rubric: Rubric, read: Sequence[DirectAnswer], as_set: Sequence[DirectAnswer], group: int, instruments: int
) -> Iterator[WorkedBack]:
    """Yield each test of one group; any of the instruments may have been the one whose readings were made.

    Round readings were set by hand, or read off and round by luck; how often groups of the class set them decides
    what each way counts.
    """
    for (fits, tried), (fits_if_set, _) in zip(_looks(rubric, read, group), _looks(rubric, as_set, group), strict=True):
        hits = [fit for fit in fits if fit.hits]
        if len(fits) < FEWEST or len(hits) < len(fits) - MOST_MISSED:
            continue
        habit = float(read[0].habit[group])
        luck = habit * _luck(fits_if_set) + (1.0 - habit) * _luck(fits)
        yield WorkedBack(
            group=group,
            items=tuple(dict.fromkeys(fit.item for fit in hits)),
            fits=len(hits),
            of=len(fits),
            chance=min(1.0, tried * instruments * luck),
        )


def _looks(rubric: Rubric, answers: Sequence[DirectAnswer], group: int) -> Iterator[tuple[Sequence[_Fit], int]]:
    """Yield the figures of one group beside book values, single ones and each column; and how many could be tried."""
    yield _single_fits(rubric, [one for one in answers if one.item.table is None], group), 1
    for answer in answers:
        if answer.item.table is not None:
            for books, tried in _column_books(rubric, answer, group):
                yield _column_fits(answer, group, books), tried


def _luck(fits: Sequence[_Fit]) -> float:
    """Return how often honest work hits as many of the figures."""
    return at_least(sum(fit.hits for fit in fits), [fit.chance for fit in fits])


def _single_fits(rubric: Rubric, answers: Sequence[DirectAnswer], group: int) -> list[_Fit]:
    """Return the fits of the single answers: parts to the values they are sold in, the rest to what these make."""
    books: dict[str, float] = {}
    for answer in answers:
        value = float(np.exp(answer.logs[group, 0]))
        book = nearest_sold(answer.item, value)
        if np.isfinite(book) and abs(np.log(value / book)) <= answer.half[group, 0]:
            books[answer.item.name] = book
    made = _made_of(rubric, books)
    used = {name for item, _ in made if item.formula is not None for name in item.formula.names}
    # What the parts make together is known once they are; the parts themselves are not.
    fits = [_single_fit(answer, group, books, [] if answer.item.name in used else made) for answer in answers]
    return [fit for fit in fits if fit is not None]


def _single_fit(
    answer: DirectAnswer, group: int, books: Mapping[str, float], made: Sequence[tuple[Item, float]]
) -> _Fit | None:
    log, half, noise = (float(values[group, 0]) for values in (answer.logs, answer.half, answer.noise))
    if not np.isfinite(log) or not np.isfinite(half):
        return None
    combined = [value for item, value in made if item.unit.dimension == answer.item.unit.dimension]
    sold = [nearest_sold(answer.item, float(np.exp(log)))] if sold_in_series(answer.item) else []
    known = {float(f"{value:.9g}") for value in (*combined, *sold)}
    if not known:
        return None
    near = sum(abs(log - np.log(value)) <= NEARBY * noise + half for value in known)
    hits = answer.item.name in books or any(abs(log - np.log(value)) <= half for value in combined)
    luck = answer.hit_by_luck(group, 0, part=not combined)
    return _Fit(item=answer.item.name, hits=hits, chance=min(1.0, max(near, 1) * luck))


def _made_of(rubric: Rubric, books: Mapping[str, float]) -> list[tuple[Item, float]]:
    """Return what other answers come to with book values in place of what they are worked out from."""
    values = {name: np.full((1, 1), book) for name, book in books.items()}
    found = []
    for item in rubric.answers:
        if item.formula is not None and item.formula.names and all(name in books for name in item.formula.names):
            value = float(evaluate(item.formula.tree, values)[0, 0])
            if np.isfinite(value) and value > 0:
                found.append((item, value))
    return found


def _column_books(rubric: Rubric, answer: DirectAnswer, group: int) -> Iterator[tuple[Values, int]]:
    """Yield the logarithms of book values for the rows of a column, and how many could have been tried."""
    result = rubric.result
    if answer.x is not None and result is not None:
        for accepted in result.accepted:
            slope = rubric.items[result.answer].unit.change_to_si(accepted.value)
            with np.errstate(all="ignore"):
                yield np.log(slope * answer.x[group]), len(result.accepted)
    elif sold_in_series(answer.item):
        known = answer.logs[group][np.isfinite(answer.logs[group])]
        if known.size:
            book = nearest_sold(answer.item, float(np.exp(median(known))))
            yield np.full(answer.logs.shape[1], np.log(book)), 1


def _column_fits(answer: DirectAnswer, group: int, books: Values) -> list[_Fit]:
    fits = []
    seen: set[tuple[float, float]] = set()
    for row, book in enumerate(books):
        apart = abs(float(answer.logs[group, row] - book))
        half = float(answer.half[group, row])
        # A current that was kept beside p.d.s in even steps says the same in every row.
        same = (round(apart, 9), round(float(answer.behind[group, row]), 9))
        if np.isfinite(apart) and np.isfinite(half) and same not in seen:
            seen.add(same)
            fits.append(_Fit(item=answer.item.name, hits=apart <= half, chance=answer.hit_by_luck(group, row)))
    return fits

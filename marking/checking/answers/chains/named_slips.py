"""What the slips that a rubric names come to, by arithmetic alone: a class's shares never reach a mark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers.worked import evaluate
from marking.checking.answers.written import Cells, Printed
from marking.checking.fits import mean_of
from rubrics.formulas import Call, Formula, Name
from rubrics.model import Item, Rubric
from rubrics.units import NO_DIMENSION, Unit

Values = NDArray[np.float64]
Mask = NDArray[np.bool_]
Numbers = Mapping[str, Values]
TOLD_APART = 0.01
"""Of the mean of a column, how far a formula used once has to lead from it to be told from its roundings; judged."""


def named_slips_behind(rubric: Rubric, item: Item, one: Printed, known: Sequence[Numbers]) -> list[Values]:
    """Return what each slip that the rubric names comes to on any set of values in *known*, where it prints the answer.

    In SI units, NaN elsewhere, each of shape (students, rows). Where the units that the page asks for fit together, a
    slip is worked out in those: lengths that are added for a volume are so many centimetres.
    """
    found = []
    for slip in rubric.slips:
        if slip.answer != item.name:
            continue
        for si in known:
            if not all(name in si for name in slip.formula.names):
                continue
            value = _value(rubric, item, slip.formula, si)
            with np.errstate(all="ignore"):
                prints = one.is_printed_by(value, value) & ~one.is_one_figure
            found.append(np.where(prints, value, np.nan))
    return found


def used_once_on_means(rubric: Rubric, item: Item, one: Printed, known: Sequence[Numbers]) -> list[Values]:
    """Return what the formula of a column comes to on the means of its inputs, where that prints the column's mean.

    A mean of products is not the product of means. Where the two are nearly one nobody can tell, and nothing is said.

    Args:
        rubric: The practical.
        item: The answer; of one that is not the mean of a column there is nothing to tell.
        one: The answers as they were printed.
        known: Sets of values in SI units, (students, rows).

    Returns:
        In SI units, NaN elsewhere, each of shape (students, rows).
    """
    tree = item.formula.tree if item.formula is not None else None
    if not isinstance(tree, Call) or tree.function != "mean" or tree.is_along_row:
        return []
    column = rubric.items.get(tree.arguments[0].name) if isinstance(tree.arguments[0], Name) else None
    if column is None or column.formula is None or column.table is None:
        return []
    found = []
    for si in known:
        if not all(name in si for name in (column.name, *column.formula.names)):
            continue
        means = {name: mean_of(si[name]) for name in column.formula.names}
        with np.errstate(all="ignore"):
            value, mean = evaluate(column.formula.tree, means), mean_of(si[column.name])
            tells = np.abs(value - mean) > TOLD_APART * np.abs(mean)
            found.append(np.where(tells & one.is_printed_by(value, value) & ~one.is_one_figure, value, np.nan))
    return found


def _value(rubric: Rubric, item: Item, slip: Formula, si: Numbers) -> Values:
    formula = item.formula
    assert formula is not None  # only answers with a formula come here
    names = {name for name in (*formula.names, *slip.names) if name in si}
    units = {n: rubric.constants[n].unit if n in rubric.constants else rubric.items[n].unit for n in names}
    number = {name: units[name].from_si(si[name]) for name in names}
    in_si = evaluate(slip.tree, si)
    fits = fits_together(item, formula, (number, si), item.unit)
    return np.where(fits, item.unit.to_si(evaluate(slip.tree, number)), in_si)


def fits_together(item: Item, formula: Formula, pair: tuple[Numbers, Numbers], unit: Unit | Cells) -> Mask:
    """Tell where *formula* gives an answer in *unit* without anything being turned into another unit.

    Args:
        item: The answer.
        formula: The way to it.
        pair: The numbers as they stand, and the same in coherent SI units.
        unit: What the answer is asked or written in; a share stays a number, whether in per cent or not.
    """
    number, si = pair
    found, wanted = evaluate(formula.tree, number), evaluate(formula.tree, si)
    if item.unit.dimension != NO_DIMENSION:
        wanted = unit.from_si(wanted)
    return np.asarray(np.isclose(found, wanted, rtol=1e-6, atol=0.0) | ~np.isfinite(found))

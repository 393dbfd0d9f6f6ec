"""Faults of an answer for which no criterion pays: told at no cost of marks, so that the student and the class hear.

A step that goes on into another formula may keep all its figures; only an end result is asked for sensible ones.
"""

from __future__ import annotations

from marking.checking.case import Case
from marking.checking.checks import Looker
from marking.checking.marks import as_findings
from marking.findings import CriterionMark, Finding, Outcome
from marking.reasons import Reason
from rubrics.formulas import Call, Operation, terms
from rubrics.model import CheckKind, Criterion, Item, Rubric

_TOLD = (Reason.UNIT_OTHER_QUANTITY, Reason.UNIT_NOT_OF_NUMBER, Reason.FIGURES_TOO_MANY, Reason.FIGURES_TOO_FEW)


def unpaid_criteria(rubric: Rubric) -> tuple[Criterion, ...]:
    """Return what no criterion of *rubric* looks at, as criteria without a code and without marks."""
    answers = [item for item in rubric.answers if item.formula is not None and not item.is_words]
    carried = {name for item in answers if item.formula is not None for name in item.formula.names}
    ends = [item for item in answers if item.name not in carried and _has_usual_figures(item)]
    wanted = {CheckKind.UNIT: answers, CheckKind.FIGURES: ends}
    found = [_without_marks(check, _not_looked_at(rubric, check, items)) for check, items in wanted.items()]
    return tuple(criterion for criterion in found if criterion.items)


def _has_usual_figures(item: Item) -> bool:
    """Tell whether the figures of the readings are those of the answer: not of a difference, nor of a logarithm."""
    tree = item.formula.tree if item.formula is not None else None
    if isinstance(tree, Operation):
        return len(list(terms(tree))) == 1
    return isinstance(tree, Call) and tree.function in ("slope", "intercept", "mean")


def _not_looked_at(rubric: Rubric, check: CheckKind, items: list[Item]) -> tuple[str, ...]:
    paid = {name for criterion in rubric.criteria if criterion.check is check for name in criterion.items}
    return tuple(item.name for item in items if item.name not in paid)


def _without_marks(check: CheckKind, items: tuple[str, ...]) -> Criterion:
    return Criterion(
        code="",
        point="",
        marks=0,
        check=check,
        items=items,
        award=(),
        rows=None,
        span=None,
        each_way=None,
        near=None,
        when=(),
    )


def unpaid_faults(case: Case, looker: Looker) -> list[Finding]:
    """Return the faults that a looker (of ``unpaid_criteria``) finds in one student's answers, each at no cost."""
    criterion, batch = looker.criterion, case.batch
    astray = batch.unit_astray if criterion.check is CheckKind.UNIT else batch.figures_astray
    if not any(astray[name][case.student] for name in criterion.items):
        return []  # as of most
    lines = [line for line in looker.lines(case) if line.outcome is Outcome.WITHHELD and line.reason in _TOLD]
    if not lines:
        return []
    mark = CriterionMark(criterion=criterion, outcome=Outcome.WITHHELD, marks=0)
    return as_findings(case.write_up, case.rubric.id, mark, lines)

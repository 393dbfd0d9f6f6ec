"""Strands: what a practical asks for, in five parts that every practical has in common."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from marking.decided import Work
from rubrics.model import CheckKind, Criterion, Rubric

STRANDS: Mapping[str, frozenset[CheckKind]] = {
    "recording": frozenset({CheckKind.READING, CheckKind.PLACES, CheckKind.ROWS}),
    "working": frozenset({CheckKind.VALUE, CheckKind.METHOD}),
    "figures": frozenset({CheckKind.UNIT, CheckKind.FIGURES}),
    "graph": frozenset({CheckKind.SCALE, CheckKind.LINE}),
}
"""All other kinds of check are about what is said in words, or looked at by a person."""
WORDS = "explaining"


class Strand(Struct, frozen=True, kw_only=True):
    """What one strand came to in one work."""

    name: str
    awarded: int
    decided: int
    """Marks that can be had, of those that are decided."""


def strand_of(criterion: Criterion, rubric: Rubric) -> str:
    """Return the strand of a criterion; what only a person can see of a practical with a graph is its drawing."""
    if criterion.check is CheckKind.TEACHER and not criterion.items and rubric.graph is not None:
        return "graph"
    return next((name for name, kinds in STRANDS.items() if criterion.check in kinds), WORDS)


def strands(work: Work, rubric: Rubric) -> tuple[Strand, ...]:
    """Return what a work came to, strand by strand, in the order of the practical."""
    known = {one.code: one for one in rubric.criteria}
    found: dict[str, tuple[int, int]] = {}
    for given in work.marks:
        criterion = known.get(given.criterion)
        if criterion is None or given.marks is None:
            continue
        name = strand_of(criterion, rubric)
        awarded, decided = found.get(name, (0, 0))
        found[name] = (awarded + given.marks, decided + given.out_of)
    return tuple(Strand(name=name, awarded=one[0], decided=one[1]) for name, one in found.items())

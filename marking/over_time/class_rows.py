"""Classes beside each other, practical by practical: how many handed in, what they came to, the commonest slip.

Nobody is named, and no class is judged by it: whether a mark means the same in two rooms is for moderation to say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct

from marking.decided import Work
from marking.findings import Cause
from marking.over_time.histories import Practical


class ClassRow(Struct, frozen=True, kw_only=True):
    """One class in one practical."""

    practical: str
    """Its id."""
    class_name: str
    day: str
    """On which it was first marked, ISO 8601; may be empty."""
    handed_in: int
    awarded: int
    """Marks given so far, all students together."""
    decided: int
    """Marks that could be had, of those that are decided."""
    pending: int
    """Marks that wait."""
    slip: tuple[Cause, int] | None
    """The commonest kind of slip and how many made it; None where no two share one."""

    @property
    def share(self) -> float | None:
        """Return the part of the decided marks that was given, 0 to 1; None where none is decided."""
        return self.awarded / self.decided if self.decided else None


def class_rows(told: Sequence[Practical]) -> tuple[ClassRow, ...]:
    """Return a row for each practical of each class that handed something in, by practical and class."""
    rows = [_row(one) for one in told if one.works]
    return tuple(sorted(rows, key=lambda row: (row.practical, row.class_name)))


def works_by_class(told: Sequence[Practical]) -> Mapping[str, Mapping[str, Work]]:
    """Return the works of each class over all practicals, classes in order of their names."""
    found: dict[str, dict[str, Work]] = {
        name: {} for name in sorted({one.name.class_name for one in told if one.works})
    }
    for place, one in enumerate(told):
        for code, work in one.works.items():
            found[one.name.class_name][f"{place} {code}"] = work
    return found


def slip_counts(groups: Sequence[Mapping[str, Work]]) -> Mapping[Cause, tuple[int, ...]]:
    """Return how many works of each group hold each kind of slip that any of them holds."""
    counts = {cause: tuple(sum(cause in work.causes for work in works.values()) for works in groups) for cause in Cause}
    return {cause: found for cause, found in counts.items() if any(found)}


def _row(one: Practical) -> ClassRow:
    works = list(one.works.values())
    return ClassRow(
        practical=one.name.practical,
        class_name=one.name.class_name,
        day=one.day,
        handed_in=len(works),
        awarded=sum(work.awarded for work in works),
        decided=sum(work.out_of - work.pending for work in works),
        pending=sum(work.pending for work in works),
        slip=_commonest(works),
    )


def _commonest(works: Sequence[Work]) -> tuple[Cause, int] | None:
    counts = Counter(cause for work in works for cause in sorted(work.causes))
    if not counts:
        return None
    cause, count = max(counts.items(), key=lambda pair: (pair[1], pair[0].value))
    return (cause, count) if count > 1 else None

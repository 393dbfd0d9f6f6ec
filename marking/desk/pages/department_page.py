"""A department's page: classes beside each other, practical by practical, and no student named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from marking.decided import Work
from marking.desk.pages.over_time_page import SlipRow, slip_rows, title_of
from marking.over_time import Practical
from reports.wording import wording


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundRow:
    """One class in one practical."""

    practical: str
    class_name: str
    day: str
    handed_in: int
    share: str
    """Of the marks decided so far, in per cent; empty where none is."""
    pending: int
    """Marks that wait."""
    slip: str
    """The commonest kind of slip, with how many made it; empty where no two share one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DepartmentPage:
    """All classes that the record knows."""

    rounds: tuple[RoundRow, ...]
    classes: tuple[str, ...]
    slips: tuple[SlipRow, ...]
    """Kinds of slip over the classes, all practicals together."""


def department_page(told: Sequence[Practical], titles: Mapping[str, str]) -> DepartmentPage:
    """Return the page for all practicals *told* of."""
    known = [one for one in told if one.works]
    classes = tuple(sorted({one.name.class_name for one in known}))
    works = {
        name: {
            f"{place} {code}": work
            for place, one in enumerate(known)
            if one.name.class_name == name
            for code, work in one.works.items()
        }
        for name in classes
    }
    rows = [_round(one, titles) for one in known]
    return DepartmentPage(
        rounds=tuple(sorted(rows, key=lambda row: (row.practical, row.class_name))),
        classes=classes,
        slips=slip_rows([works[name] for name in classes]),
    )


def _round(one: Practical, titles: Mapping[str, str]) -> RoundRow:
    works = list(one.works.values())
    decided = sum(work.out_of - work.pending for work in works)
    return RoundRow(
        practical=title_of(one.name, titles),
        class_name=one.name.class_name,
        day=one.day,
        handed_in=len(works),
        share=f"{100 * sum(work.awarded for work in works) / decided:.0f}" if decided else "",
        pending=sum(work.pending for work in works),
        slip=_commonest(works),
    )


def _commonest(works: Sequence[Work]) -> str:
    counts = Counter(cause for work in works for cause in sorted(work.causes))
    if not counts:
        return ""
    cause, count = max(counts.items(), key=lambda pair: (pair[1], pair[0].value))
    return f"{wording('causes')[cause.value]['name']} ({count})" if count > 1 else ""

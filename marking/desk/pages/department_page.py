"""A department's page: classes beside each other, practical by practical, and no student named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from marking.desk.pages.over_time_page import SlipRow, slip_rows
from marking.over_time import ClassRow, Practical, class_rows, works_by_class
from reports.wording import wording


class RoundRow(Struct, frozen=True, kw_only=True):
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


class DepartmentPage(Struct, frozen=True, kw_only=True):
    """All classes that the record knows."""

    rounds: tuple[RoundRow, ...]
    classes: tuple[str, ...]
    slips: tuple[SlipRow, ...]
    """Kinds of slip over the classes, all practicals together."""


def department_page(told: Sequence[Practical], titles: Mapping[str, str]) -> DepartmentPage:
    """Return the page for all practicals *told* of."""
    works = works_by_class(told)
    rows = [_round(one, titles) for one in class_rows(told)]
    return DepartmentPage(
        rounds=tuple(sorted(rows, key=lambda row: (row.practical, row.class_name))),
        classes=tuple(works),
        slips=slip_rows(list(works.values())),
    )


def _round(one: ClassRow, titles: Mapping[str, str]) -> RoundRow:
    return RoundRow(
        practical=titles.get(one.practical, one.practical),
        class_name=one.class_name,
        day=one.day,
        handed_in=one.handed_in,
        share=f"{100 * one.share:.0f}" if one.share is not None else "",
        pending=one.pending,
        slip=f"{wording('causes')[one.slip[0].value]['name']} ({one.slip[1]})" if one.slip else "",
    )

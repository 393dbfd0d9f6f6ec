"""Over time: one class over its practicals, which slips were mended since the last one, and which came back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from marking.decided import (
    SetName,
    Work,
)
from marking.desk.shelf import HeldSet
from marking.findings import Cause
from marking.over_time import Practical, came_back, mended, slip_counts
from reports.wording import wording


class PracticalInTime(Struct, frozen=True, kw_only=True):
    """One practical of the class."""

    title: str
    day: str
    """On which its files were first read."""


class SlipRow(Struct, frozen=True, kw_only=True):
    """One kind of slip over the practicals."""

    name: str
    counts: tuple[str, ...]
    """Students who made it, of those who handed in, for each practical."""


class StudentInTime(Struct, frozen=True, kw_only=True):
    """One student over the practicals."""

    at: int | None
    """Where the script stands in the set that is open; None where the student is not in it."""
    student: str
    name: str
    marks: tuple[str, ...]
    """So far, of those that can be had, for each practical; empty where nothing was handed in."""
    mended: tuple[str, ...]
    """Slips of the practical before where the last one has everything of that kind right."""
    came_back: tuple[str, ...]
    """Slips of the last practical that an earlier one had."""


class OverTimePage(Struct, frozen=True, kw_only=True):
    """One class over time."""

    class_name: str
    practicals: tuple[PracticalInTime, ...]
    slips: tuple[SlipRow, ...]
    people: tuple[StudentInTime, ...]


def over_time_page(held: HeldSet, told: Sequence[Practical], titles: Mapping[str, str]) -> OverTimePage:
    """Return the page for the class of *held*.

    Args:
        held: The set that is open; it knows the names.
        told: The practicals of the class, earliest first.
        titles: Id of a practical to its title.
    """
    names = {one.write_up.student.code: one.write_up.student.name for one in held.marked.scripts}
    places = {one.write_up.student.code: at for at, one in enumerate(held.marked.scripts)}
    codes = dict.fromkeys([*names, *(code for one in told for code in one.works)])
    return OverTimePage(
        class_name=held.name.class_name,
        practicals=tuple(PracticalInTime(title=title_of(one.name, titles), day=one.day) for one in told),
        slips=slip_rows([one.works for one in told]),
        people=tuple(_student(code, names.get(code, ""), places.get(code), told) for code in codes),
    )


def title_of(name: SetName, titles: Mapping[str, str]) -> str:
    """Return what a practical is called."""
    return titles.get(name.practical, name.practical)


def _student(code: str, name: str, at: int | None, told: Sequence[Practical]) -> StudentInTime:
    works = [one.works[code] for one in told if code in one.works]
    good = mended(works[-2], works[-1]) if len(works) > 1 else frozenset()
    again = came_back(works[:-1], works[-1]) if works else frozenset()
    return StudentInTime(
        at=at,
        student=code,
        name=name,
        marks=tuple(_so_far(one.works.get(code)) for one in told),
        mended=_names(good),
        came_back=_names(again),
    )


def _so_far(work: Work | None) -> str:
    return "" if work is None else f"{work.awarded} / {work.out_of}"


def _names(causes: frozenset[Cause]) -> tuple[str, ...]:
    words = wording("causes")
    return tuple(words[cause.value]["name"] for cause in Cause if cause in causes)


def slip_rows(groups: Sequence[Mapping[str, Work]]) -> tuple[SlipRow, ...]:
    """Return the kinds of slip over groups of works, such as a class's practicals."""
    words = wording("causes")
    return tuple(
        SlipRow(
            name=words[cause.value]["name"],
            counts=tuple(f"{count} / {len(works)}" for count, works in zip(counts, groups, strict=True)),
        )
        for cause, counts in slip_counts(groups).items()
    )

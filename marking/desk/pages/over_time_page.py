"""Over time: one class over its practicals, which slips were mended since the last one, and which came back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from marking.cohort.picture import named_cause
from marking.desk.shelf import HeldSet
from marking.findings import Cause, Script
from marking.record import SetRead
from reports.wording import wording


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticalInTime:
    """One practical of the class."""

    sid: str
    title: str
    day: str
    """On which its files were first read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipRow:
    """One kind of slip over the practicals."""

    name: str
    counts: tuple[str, ...]
    """Students who made it, of those who handed in, for each practical."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StudentInTime:
    """One student over the practicals."""

    student: str
    name: str
    marks: tuple[str, ...]
    """So far, of those that can be had, for each practical; empty where nothing was handed in."""
    mended: tuple[str, ...]
    """Slips of the practical before that the last one has not."""
    came_back: tuple[str, ...]
    """Slips of the last practical that an earlier one had."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OverTimePage:
    """One class over time."""

    class_name: str
    practicals: tuple[PracticalInTime, ...]
    slips: tuple[SlipRow, ...]
    people: tuple[StudentInTime, ...]


def over_time_page(class_name: str, sets: Sequence[HeldSet]) -> OverTimePage:
    """Return the page for the class, of whose practicals *sets* are those at hand."""
    mine = sorted((one for one in sets if one.name.class_name == class_name), key=lambda one: (_day(one), one.name))
    scripts = [{one.write_up.student.code: one for one in held.marked.scripts if one.criteria} for held in mine]
    slips = [{code: slips_of(script) for code, script in known.items()} for known in scripts]
    students = {one.write_up.student.code: one.write_up.student for held in mine for one in held.marked.scripts}
    return OverTimePage(
        class_name=class_name,
        practicals=tuple(PracticalInTime(sid=one.sid, title=one.rubric.title, day=_day(one)) for one in mine),
        slips=_slip_rows(slips),
        people=tuple(
            StudentInTime(
                student=code,
                name=student.name,
                marks=tuple(_so_far(known.get(code)) for known in scripts),
                mended=_names(_mended([known[code] for known in slips if code in known])),
                came_back=_names(_came_back([known[code] for known in slips if code in known])),
            )
            for code, student in students.items()
        ),
    )


def _day(held: HeldSet) -> str:
    return min((one.when[:10] for one in held.decisions if isinstance(one, SetRead)), default="")


def slips_of(script: Script) -> frozenset[Cause]:
    """Return the kinds of slip that a script shows, as surely as a class is taught by them."""
    return frozenset(cause for cause in map(named_cause, script.findings) if cause is not None)


def _so_far(script: Script | None) -> str:
    return "" if script is None else f"{script.total} / {script.out_of}"


def _mended(slips: Sequence[frozenset[Cause]]) -> frozenset[Cause]:
    return slips[-2] - slips[-1] if len(slips) > 1 else frozenset()


def _came_back(slips: Sequence[frozenset[Cause]]) -> frozenset[Cause]:
    return slips[-1] & frozenset().union(*slips[:-1]) if len(slips) > 1 else frozenset()


def _names(causes: frozenset[Cause]) -> tuple[str, ...]:
    words = wording("causes")
    return tuple(words[cause.value]["name"] for cause in Cause if cause in causes)


def _slip_rows(slips: Sequence[dict[str, frozenset[Cause]]]) -> tuple[SlipRow, ...]:
    words = wording("causes")
    met = [cause for cause in Cause if any(cause in made for known in slips for made in known.values())]
    return tuple(
        SlipRow(
            name=words[cause.value]["name"],
            counts=tuple(f"{sum(cause in made for made in known.values())} / {len(known)}" for known in slips),
        )
        for cause in met
    )

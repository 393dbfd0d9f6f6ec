"""A parents' evening: one student over practicals in plain words, and nothing about any other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from marking.decided import SetName, Work
from marking.desk.pages.over_time_page import title_of
from marking.desk.shelf import HeldSet
from marking.findings import Cause
from marking.over_time import Practical, Strand, came_back, mended, strands
from reports.teacher import EveningPage, Occasion
from reports.wording import wording
from rubrics.model import Rubric

FEWEST = 2
"""Marks of a strand before it is called the strongest."""
MOST_SKILLS = 2


def evening_page(
    held: HeldSet,
    at: int,
    told: Sequence[Practical],
    rubrics: Mapping[str, Rubric],
    totals: Mapping[tuple[SetName, str], int],
) -> EveningPage | None:
    """Return the page; None where the set has no such script.

    Args:
        held: The set that is open.
        at: Where the script stands in it.
        told: The practicals of the class, earliest first.
        rubrics: The practicals known, by id.
        totals: After moderation, by set and code, where there was any.
    """
    if not 0 <= at < len(held.marked.scripts):
        return None
    student = held.marked.scripts[at].write_up.student
    mine = [(one, one.works[student.code]) for one in told if student.code in one.works]
    shares = [strands(work, rubrics[one.name.practical]) if one.name.practical in rubrics else () for one, work in mine]
    names = tuple(
        name for name in wording("over_time")["strands"] if any(s.name == name for said in shares for s in said)
    )
    titles = {one.id: one.title for one in rubrics.values()}
    works = [work for _, work in mine]
    return EveningPage(
        at=at,
        student=student.code,
        name=student.name,
        class_name=held.name.class_name,
        heads=tuple(wording("over_time")["strands"][name] for name in names),
        occasions=tuple(
            Occasion(
                title=title_of(one.name, titles),
                day=one.day,
                total=totals.get((one.name, student.code), work.awarded),
                out_of=work.out_of,
                pending=work.pending,
                strands=tuple(_share(name, said) for name in names),
                is_moderated=totals.get((one.name, student.code), work.awarded) != work.awarded,
            )
            for (one, work), said in zip(mine, shares, strict=True)
        ),
        strongest=_strongest(shares),
        better=_skills(mended(works[-2], works[-1])) if len(works) > 1 else (),
        practise=_practise(works),
    )


def _share(name: str, said: Sequence[Strand]) -> str:
    return next((f"{one.awarded} / {one.decided}" for one in said if one.name == name), "")


def _strongest(shares: Sequence[Sequence[Strand]]) -> str:
    names = wording("over_time")["strands"]
    sums = {
        name: (
            sum(one.awarded for said in shares for one in said if one.name == name),
            sum(one.decided for said in shares for one in said if one.name == name),
        )
        for name in names
    }
    known = [name for name, (awarded, decided) in sums.items() if decided >= FEWEST and awarded]
    if not known:
        return ""
    return str(names[max(known, key=lambda name: (sums[name][0] / sums[name][1], sums[name][1]))])


def _practise(works: Sequence[Work]) -> tuple[str, ...]:
    if not works:
        return ()
    again = came_back(works[:-1], works[-1])
    return (*_skills(again), *_skills(works[-1].causes - again))[:MOST_SKILLS]


def _skills(causes: frozenset[Cause]) -> tuple[str, ...]:
    skills = wording("over_time")["skills"]
    return tuple(skills[cause.value] for cause in Cause if cause in causes)[:MOST_SKILLS]

"""The scripts of a department, as sampling sees them: whose class, who marked it, with what marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from marking.findings import MarkedSet, Script


class ClassMarks(Struct, frozen=True, kw_only=True):
    """One class's set, marked and decided by its teacher."""

    marker: str
    class_name: str
    marked: MarkedSet
    kept_as: str = ""
    """Its name in the record, where that is another one."""
    is_whole: bool = False
    """Whether all its scripts are wanted: the marker is new to the scheme, or was out of tolerance last time."""


class Candidate(Struct, frozen=True, kw_only=True):
    """One script that may be second-marked."""

    student: str
    class_name: str
    marker: str
    marks: Mapping[str, int]
    """Code of each criterion to the first mark."""
    eye: tuple[str, ...]
    """Codes of the criteria that a person decided on this script, in the rubric's order."""
    eye_out_of: int
    """Marks of these criteria."""
    overruled: tuple[str, ...]
    """Codes of those that were worked out otherwise than the teacher decided."""
    total: int
    out_of: int
    codes: tuple[str, ...]
    """Mark codes, such as LATE or FAULT."""
    script: Script
    kept_as: str = ""
    """The class as the record calls it, where that is another name."""


class Undecided(Struct, frozen=True, kw_only=True):
    """A script whose first marks are not all there."""

    student: str
    class_name: str
    marker: str
    criteria: tuple[str, ...]


def candidates(classes: Sequence[ClassMarks]) -> tuple[tuple[Candidate, ...], tuple[Undecided, ...]]:
    """Return the scripts that are marked, and those that still wait for their teacher; absent students are in neither.

    Args:
        classes: The sets of one practical, each with its marker.
    """
    ready: list[Candidate] = []
    waiting: list[Undecided] = []
    for one in classes:
        for script in one.marked.scripts:
            if not script.criteria:
                continue
            open_still = tuple(mark.criterion.code for mark in script.criteria if mark.marks is None)
            code = script.write_up.student.code
            if open_still:
                waiting.append(
                    Undecided(student=code, class_name=one.class_name, marker=one.marker, criteria=open_still)
                )
            else:
                ready.append(_candidate(one, script))
    return tuple(ready), tuple(waiting)


def _candidate(one: ClassMarks, script: Script) -> Candidate:
    eye = tuple(mark.criterion.code for mark in script.eye)
    return Candidate(
        student=script.write_up.student.code,
        class_name=one.class_name,
        marker=one.marker,
        marks={mark.criterion.code: mark.marks for mark in script.criteria if mark.marks is not None},
        eye=eye,
        eye_out_of=sum(mark.criterion.marks for mark in script.criteria if mark.criterion.code in eye),
        overruled=tuple(
            mark.criterion.code
            for mark in script.criteria
            if mark.ruling is not None and mark.ruling.proposed not in (None, mark.marks)
        ),
        total=script.awarded,
        out_of=script.out_of,
        codes=script.write_up.student.codes,
        script=script,
        kept_as=one.kept_as,
    )

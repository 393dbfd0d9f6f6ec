"""Small departments for tests: candidates and keys put together by hand, without files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from marking.findings import Script
from marking.moderation.packs import Key, KeyLine, Person, Returned
from marking.moderation.packs.pack_contents import SchemeLine
from marking.moderation.packs.returned import SecondMarks
from marking.moderation.sampling import Candidate, Reason, SamplingRule
from marking.write_up import Student, WriteUp

SCHEME = (
    SchemeLine(code="F1", point="Density follows", marks=1),
    SchemeLine(code="K1", point="Compared", marks=4),
    SchemeLine(code="V1", point="A source of error", marks=4),
)
EYE = ("K1", "V1")


def candidate(
    student: str,
    marker: str,
    total: int,
    *,
    class_name: str = "",
    codes: Sequence[str] = (),
    overruled: Sequence[str] = (),
) -> Candidate:
    """Return one script of 12 marks."""
    compared = min(4, total // 2)
    own = Student(code=student, codes=tuple(codes))
    return Candidate(
        student=student,
        class_name=class_name or f"class of {marker}",
        marker=marker,
        marks={"F1": total - 2 * compared, "K1": compared, "V1": compared},
        eye=EYE,
        eye_out_of=8,
        overruled=tuple(overruled),
        total=total,
        out_of=12,
        codes=tuple(codes),
        script=Script(write_up=WriteUp(student=own, practical="p", singles={}, columns={}), findings=(), criteria=()),
    )


def key_line(
    code: str,
    first_marker: str,
    second_marker: str,
    first: Mapping[str, int],
    reasons: Sequence[Reason] = (Reason.DRAWN,),
) -> KeyLine:
    """Return one line of a key; F1 is worked out and earned by all."""
    return KeyLine(
        code=code,
        seal="",
        student=f"S{code}",
        class_name=f"class of {first_marker}",
        first_marker=first_marker,
        second_marker=second_marker,
        reasons=tuple(reasons),
        is_drawn=Reason.DRAWN in reasons,
        eye=EYE,
        first={"F1": 1, **first},
    )


def key_of(lines: Sequence[KeyLine], stage: int = 1, boundaries: tuple[int, ...] = ()) -> Key:
    """Return a round of these lines; the cohort is the sample."""
    return Key(
        practical="p",
        title="A practical",
        edition=1,
        scheme_sha256="r" * 64,
        seed="7",
        rule=SamplingRule(boundaries=boundaries),
        stage=stage,
        scheme=SCHEME,
        packs={line.second_marker: f"pack of {line.second_marker}" for line in lines},
        lines=tuple(lines),
        cohort=tuple(
            Person(
                student=line.student,
                class_name=line.class_name,
                marker=line.first_marker,
                eye_total=sum(line.first[code] for code in EYE),
                eye_out_of=8,
                total=sum(line.first.values()),
                out_of=9,
            )
            for line in lines
        ),
        read={},
    )


def returned(marks: Mapping[str, Mapping[str, Mapping[str, int]]]) -> tuple[Returned, ...]:
    """Return packs: second marker to code to marks."""
    return tuple(
        Returned(
            second_marker=marker,
            pack=f"pack of {marker}",
            file=f"{marker}.xlsx",
            scripts=tuple(SecondMarks(code=code, marks=own, remark="") for code, own in scripts.items()),
        )
        for marker, scripts in marks.items()
    )


def round_of(
    shifts: Mapping[str, int], each: int = 12, stage: int = 1, start: int = 0, only: Sequence[str] = ()
) -> tuple[Key, tuple[Returned, ...]]:
    """Return a round in which each marker is so many marks more generous than the truth on K1.

    Args:
        shifts: Marker to marks.
        each: Scripts of each marker.
        stage: Of the round.
        start: Number of the first script.
        only: First markers; empty for all.
    """
    names = sorted(shifts)
    lines: list[KeyLine] = []
    back: dict[str, dict[str, dict[str, int]]] = {}
    for place, own in enumerate(names):
        for number in range(start, start + each if not only or own in only else start):
            second = names[(place + 1 + number % (len(names) - 1)) % len(names)]
            code = f"{own}{number}"
            slip = (number % 5 == 1) - (number % 5 == 4)
            lines.append(key_line(code, own, second, {"K1": 2 + shifts[own], "V1": 1 + number % 3 + slip}))
            back.setdefault(second, {})[code] = {"K1": 2 + shifts[second], "V1": 1 + number % 3}
    return key_of(lines, stage), returned(back)

"""The invented school as records: read from scenario.toml, which is the place to change it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from marking.write_up import Student
from samples.bench_data import bench_data

FOLDER = Path(__file__).resolve().parent


class Mess(Struct, frozen=True, kw_only=True):
    """One cell that was filled in untidily; the figure meant is the right one."""

    student: str
    item: str
    row: int
    """From 1; 0 for a single item."""
    kind: str


class SampleSet(Struct, frozen=True, kw_only=True):
    """One class that did one practical."""

    folder: str
    practical: str
    class_name: str
    form: str
    """'workbook', 'tidy' or 'each'."""
    students: tuple[Student, ...]
    nothing: frozenset[str]
    """Codes of those who were there and handed nothing in."""
    odd_rows: frozenset[str]
    """Codes of those who have one reading that does not fit the rest."""
    lost_minus: frozenset[str]
    """Codes of those who leave the sign of the reversed current out."""
    meters: Mapping[str, float]
    """Bench to what its ammeter shows for one ampere; 1 where it is not named."""
    mess: tuple[Mess, ...]
    seed: str


def bare_set(practical: str, students: tuple[Student, ...], seed: str) -> SampleSet:
    """Return a set in tidy CSV to which nothing befalls but what its write-ups hold."""
    none: frozenset[str] = frozenset()
    return SampleSet(
        folder=practical,
        practical=practical,
        class_name="class",
        form="tidy",
        students=students,
        nothing=none,
        odd_rows=none,
        lost_minus=none,
        meters={},
        mess=(),
        seed=seed,
    )


def sample_sets() -> tuple[SampleSet, ...]:
    """Return every set of the scenario, in its order."""
    data = tomllib.loads((FOLDER / "scenario.toml").read_text(encoding="utf-8"))
    classes = {
        name: _students(one["letter"], one["students"], one.get("benches", data["benches"]))
        for name, one in data["classes"].items()
    }
    told = [*data["sets"], *_sets_of_benches(classes)]
    return tuple(_set(one, classes[one["class"]], data["seed"]) for one in told)


def _sets_of_benches(classes: Mapping[str, tuple[Student, ...]]) -> Iterator[Mapping[str, object]]:
    for practical, bench in bench_data().items():
        if bench.set is not None:
            students = classes[bench.set["class"]][: bench.set.get("first")]
            only = [student.code for student in students]
            yield {"folder": practical, "practical": practical, "form": "workbook", "only": only, **bench.set}


def _students(letter: str, names: list[str], benches: int) -> tuple[Student, ...]:
    # Pairs go to the benches in order; those who are left over make threes from the first bench on.
    paired = 2 * benches
    bench_of = [position // 2 if position < paired else position - paired for position in range(len(names))]
    return tuple(
        Student(code=f"{letter}{number:02}", name=name, bench=str(bench + 1))
        for number, (name, bench) in enumerate(zip(names, bench_of, strict=True), 1)
    )


def _set(one: Mapping[str, object], students: tuple[Student, ...], seed: int) -> SampleSet:
    only = _texts(one.get("only", [])) or frozenset(student.code for student in students)
    absent = _texts(one.get("absent", []))
    meter = one.get("meter")
    mess = one.get("mess", [])
    assert isinstance(mess, list)
    return SampleSet(
        folder=str(one["folder"]),
        practical=str(one["practical"]),
        class_name=str(one["class"]),
        form=str(one["form"]),
        students=tuple(replace(s, absent=s.code in absent) for s in students if s.code in only),
        nothing=_texts(one.get("nothing", [])),
        odd_rows=_texts(one.get("odd_rows", [])),
        lost_minus=_texts(one.get("lost_minus", [])),
        meters={str(meter["bench"]): float(meter["ammeter"])} if isinstance(meter, dict) else {},
        mess=tuple(Mess(student=who, item=item, row=row, kind=kind) for who, item, row, kind in mess),
        seed=f"{one.get('seed', seed)}/{one['folder']}",
    )


def _texts(value: object) -> frozenset[str]:
    assert isinstance(value, list)
    return frozenset(str(one) for one in value)

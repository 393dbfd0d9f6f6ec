"""Benches: apparatus that reads off and lists of apparatus, for the technician. No student, no class, no mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from marking.class_notes import ClassNote
from reports.teacher import bench_line, benches_off
from rubrics.model import Rubric


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRow:
    """One bench to look at."""

    practical: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KitRow:
    """One list of apparatus."""

    id: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchesPage:
    """What a technician sees."""

    rows: tuple[BenchRow, ...]
    kits: tuple[KitRow, ...]


def benches_page(notes: Iterable[ClassNote], rubrics: Mapping[str, Rubric]) -> BenchesPage:
    """Return the page; of *notes* only those about benches are used, and of these nothing about students."""
    rows = [
        BenchRow(practical=rubrics[note.practical].title, said=bench_line(note, rubrics[note.practical]))
        for note in benches_off(list(notes))
    ]
    return BenchesPage(
        rows=tuple(dict.fromkeys(rows)),
        kits=tuple(KitRow(id=one.id, title=one.title) for one in sorted(rubrics.values(), key=lambda one: one.title)),
    )

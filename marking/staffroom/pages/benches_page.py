"""Benches: apparatus that reads off and lists of apparatus, for the technician. No student, no class, no mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from marking.class_notes import ClassNote
from reports.teacher import bench_line, benches_off
from rubrics.model import Rubric


class BenchRow(Struct, frozen=True, kw_only=True):
    """One bench to look at."""

    practical: str
    said: str


class KitRow(Struct, frozen=True, kw_only=True):
    """One list of apparatus."""

    id: str
    title: str


class BenchesPage(Struct, frozen=True, kw_only=True):
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

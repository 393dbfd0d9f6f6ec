"""How the verbs use a record, and what they do where none is kept."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import structs

from marking.compared import mark_all_versions
from marking.findings import MarkedSet
from marking.hands import Hands, Shared
from marking.version import VERSION
from marking.write_up import ClassSet
from rubrics.faults import InputError, WriteupsError
from rubrics.model import Rubric

if TYPE_CHECKING:
    from marking.record import (
        Kept,
        Maker,
        Record,
    )


class Keeper:
    """Marks sets with the decisions of a record, or with the ticks of their workbooks alone."""

    def __init__(self, record: Record | None, arguments: argparse.Namespace, inputs: Sequence[str]) -> None:
        """Keep decisions in *record*; *inputs* are the paths that were given."""
        self._record = record
        self._arguments = arguments
        self._inputs = inputs
        self._kept: dict[str, Kept] = {}

    def marked(
        self,
        rubrics: Mapping[str, Rubric],
        firsts: Sequence[ClassSet],
        agains: Sequence[ClassSet] = (),
        hands: Hands | None = None,
    ) -> list[MarkedSet]:
        """Return the sets marked and decided, second versions in the place of first ones.

        *hands* mark them, this process where nobody is named.
        """
        second = {one.practical: one for one in agains}
        known = {one.practical for one in firsts}
        pairs = [(one, second.get(one.practical)) for one in firsts]
        pairs += [(one, None) for one in agains if one.practical not in known]
        if self._record is None:
            sets = [(rubrics[first.practical], first, again) for first, again in pairs]
            return [_ticked(one) for one in mark_all_versions(sets, hands or Shared(None))]
        # What is marked depends on what the record holds by then: one set after the other, here.
        return [self._kept_in(self._record, rubrics, first, again) for first, again in pairs]

    def _kept_in(
        self, record: Record, rubrics: Mapping[str, Rubric], first: ClassSet, again: ClassSet | None
    ) -> MarkedSet:
        rubric = rubrics[first.practical]
        from marking.decided import (
            SetRead,
            WorkMarked,
        )
        from marking.over_time import histories, with_history
        from marking.record import (
            keep,
            name_set,
            proposed_class,
        )

        titles = {one.id: one.title for one in rubrics.values()}
        proposed = proposed_class(self._inputs, first)
        name, asked = name_set(record, first, wanted=self._arguments.class_name, proposed=proposed)
        maker = maker_of(self._arguments.by)
        kept = keep(record, rubric, first, maker, class_name=name, again=again)
        self._kept[rubric.id] = kept
        reads, works = (record.all_decisions(about=kind.about, class_name=name) for kind in (SetRead, WorkMarked))
        marked = with_history(kept.marked, kept.name, histories([*reads, *works]), titles)
        return structs.replace(marked, remarks=(*marked.remarks, *asked))

    def decided(self, found: MarkedSet) -> MarkedSet:
        """Return other findings about a set that was marked here, with the same decisions."""
        if self._record is None:
            return _ticked(found)
        from marking.decided import with_decisions

        kept = self._kept.get(found.rubric.id)
        return with_decisions(found, kept.decisions, kept.adjustment) if kept is not None else with_decisions(found, ())

    def end(self) -> tuple[int, str] | None:
        """Return the place and hash of the record's last line; None where there is no record."""
        return self._record.end() if self._record is not None else None


def _ticked(found: MarkedSet) -> MarkedSet:
    """Return a set with its ticks decided; where there are none, as it is, and what decides is not even loaded."""
    versions = (one for script in found.scripts for one in (script, script.earlier) if one is not None)
    if not any(one.write_up.ticks for one in versions):
        return found
    from marking.decided import ticked

    return ticked(found)


@contextmanager
def keeping(arguments: argparse.Namespace, inputs: Sequence[str]) -> Iterator[Keeper]:
    """Give what marks sets as ``--record`` of *arguments* says."""
    if arguments.record is None:
        yield Keeper(None, arguments, inputs)
        return
    from marking.record import open_record  # loads a library of databases

    record = open_record(arguments.record, may_begin=True)
    if record.was_begun:
        print(f"{record.name}: a new record was begun here.", file=sys.stderr)
    try:
        yield Keeper(record, arguments, inputs)
    finally:
        record.close()


@contextmanager
def reading_record(where: str | None) -> Iterator[Record | None]:
    """Give the record at *where*, which has to be there; None where none is named."""
    if where is None:
        yield None
        return
    from marking.record import open_record

    record = open_record(where, may_begin=False)
    try:
        yield record
    finally:
        record.close()


@contextmanager
def writing_record(where: str | None) -> Iterator[Record]:
    """Give the record at *where*, which is begun where there is none.

    Raises:
        InputError: None is named.
    """
    if where is None:
        raise InputError("moderate", "decisions are kept in a record, and none is named", "name one after --record")
    from marking.record import open_record

    record = open_record(where, may_begin=True)
    try:
        yield record
    finally:
        record.close()


def maker_of(who: str) -> Maker:
    """Return where decisions of this run take name, time, ids and version from."""
    import secrets

    from marking.record import Maker

    return Maker(who=who, now=now, fresh=lambda: secrets.token_hex(16), program=VERSION)


def now() -> str:
    """Return the time, UTC, as the record writes it."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")


def folder_beside(record: str) -> Path:
    """Return where the desk keeps files that are dropped in: beside the record, or here for one that is shared."""
    return Path("desk.sets") if "://" in record else Path(record).with_suffix(".sets")


def files_alone(folders: Sequence[Path], student: str) -> frozenset[Path]:
    """Return the files below *folders* that hold the work of *student* and of nobody else."""
    from marking.intake import read_inputs
    from rubrics.load import load_catalogue

    rubrics = load_catalogue()
    found: dict[Path, set[str]] = {}
    for folder in {file.parent for place in folders for file in place.rglob("*") if file.is_file()}:
        try:
            sets = read_inputs([folder], rubrics)
        except WriteupsError:
            continue
        for one in sets:
            for work in one.write_ups:
                columns = (entry for column in work.columns.values() for entry in column.values())
                for entry in (*work.singles.values(), *columns):
                    found.setdefault(folder / entry.place.file, set()).add(work.student.code)
    return frozenset(path for path, students in found.items() if students == {student})

"""The whole record as JSON lines, out and in without loss: to keep a copy, or to move from a file to a department's.

First a line that says what it is, then the people, then the lines of the record, then one that says how many there
were and with which hash they ended.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

import msgspec
from msgspec import structs
from sqlalchemy import insert

from marking.record.chain import breaks
from marking.record.events import FIRST, LINE_FIELDS, Event, Particulars
from marking.record.record_tables import persons
from marking.record.store import Person, Record, Whole, whole, write
from rubrics.faults import InputError

FORMAT = "writeups record 1"


def export_lines(record: Record) -> Iterator[str]:
    """Yield the record as JSON texts, one a line."""
    held = record.whole()
    yield _json({"format": FORMAT})
    for person in held.persons:
        yield _json({"person": structs.asdict(person)})
    for line in held.lines:
        said = {"line": msgspec.to_builtins(line)}
        yield _json(said | ({"owner": held.owners[line.place]} if line.place in held.owners else {}))
    yield _json({"end": len(held.lines), "hash": held.lines[-1].hash if held.lines else FIRST})


def import_lines(record: Record, texts: Iterable[str], name: str) -> int:
    """Take an export into *record*, which is empty or holds the beginning of it; return how many lines were new.

    Raises:
        InputError: The export is not whole, or the record holds something else.
    """
    coming = _read(texts, name)
    if found := breaks(coming):
        raise InputError(name, f"line {found[0].place} of the record is not as it was written", "export it again")
    with record.writing() as connection:
        held = whole(connection)
        known = {one.person for one in held.persons}
        if held.lines != coming.lines[: len(held.lines)]:
            raise InputError(record.name, f"holds decisions that {name} has not", "import into a new record")
        for person in coming.persons:
            if person.person not in known:
                connection.execute(insert(persons).values(**structs.asdict(person)))
        for line in coming.lines[len(held.lines) :]:
            write(connection, line, coming.owners.get(line.place, ""))
    return len(coming.lines) - len(held.lines)


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"))


def _read(texts: Iterable[str], name: str) -> Whole:
    broken = InputError(name, "this is no whole export of a record", "export it again")
    try:
        read = [json.loads(text) for text in texts if text.strip()]
        if len(read) < 2 or read[0] != {"format": FORMAT}:
            raise broken
        people = [Person(**one["person"]) for one in read[1:-1] if "person" in one]
        rows = [one for one in read[1:-1] if "line" in one]
        lines = tuple(_event(one["line"]) for one in rows)
        owners = {line.place: str(one["owner"]) for line, one in zip(lines, rows, strict=True) if "owner" in one}
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise broken from error
    if read[-1] != {"end": len(lines), "hash": lines[-1].hash if lines else FIRST}:
        raise broken
    return Whole(lines=lines, owners=owners, persons=tuple(people))


def _event(said: dict[str, Any]) -> Event:
    own = said["particulars"]
    numbers = ("place", "number")
    fields = {name: said[name] for name in (*LINE_FIELDS, "hash")}
    if not all(type(fields[name]) is (int if name in numbers else str) for name in fields):
        raise ValueError
    if own is not None and not all(isinstance(text, str) for text in own.values()):
        raise ValueError
    return Event(particulars=None if own is None else Particulars(**own), **fields)

"""A record out as JSON lines and in again is the same record, from any database to any."""

from __future__ import annotations

import json
from collections.abc import Sequence

import pytest

from marking.record.chain import breaks
from marking.record.erasing import erase_student
from marking.record.exchange import export_lines, import_lines
from marking.record.opening import open_record
from marking.record.store import Record
from rubrics.faults import InputError
from tests.record.making import a_mark
from tests.record.test_record_store import ONE_OF_EACH


def filled(record: Record) -> Record:
    """Return *record* with one of each kind, and a student erased."""
    record.add([*ONE_OF_EACH, a_mark(student="A05")])
    erase_student(record, "A05", class_name=None, event_id="e1", who="Ms Hale", when="2026")
    return record


def test_out_and_in_without_loss(record: Record) -> None:
    """The same lines, people and particulars; an erased student stays erased."""
    texts = list(export_lines(filled(record)))
    other = open_record(":memory:", may_begin=True)
    assert import_lines(other, texts, "copy") == len(ONE_OF_EACH) + 2
    assert other.whole() == record.whole()
    assert list(export_lines(other)) == texts
    assert breaks(other.whole()) == ()
    assert import_lines(other, texts, "copy") == 0


def test_in_from_a_file_to_a_shared_record(record: Record) -> None:
    """What began on one machine goes on in the department's, and the other way."""
    source = filled(open_record(":memory:", may_begin=True))
    import_lines(record, export_lines(source), "copy")
    assert record.whole() == source.whole()
    record.add([a_mark(student="A09")])
    import_lines(source, export_lines(record), "back")
    assert record.whole() == source.whole()
    assert breaks(record.whole()) == ()


def changed(texts: Sequence[str], what: str) -> list[str]:
    """Return an export that is not as it was."""
    lines = list(texts)
    if what == "cut off":
        return lines[:-1]
    if what == "a line missing":
        return [line for line in lines if '"place":4' not in line]
    if what == "a line twice":
        return [*lines[:-1], lines[-2], lines[-1]]
    if what == "a mark changed":
        return [line.replace('\\"marks\\": 2', '\\"marks\\": 1') for line in lines]
    if what == "a number as text":
        return [line.replace('"number":1', '"number":"1"') for line in lines]
    if what == "empty":
        return []
    return ["[" + lines[0], *lines[1:]]


@pytest.mark.parametrize(
    "what", ["cut off", "a line missing", "a line twice", "a mark changed", "a number as text", "empty", "no JSON"]
)
def test_what_is_not_whole_is_refused(record: Record, what: str) -> None:
    """Nothing of it gets in."""
    texts = changed(list(export_lines(filled(open_record(":memory:", may_begin=True)))), what)
    with pytest.raises(InputError):
        import_lines(record, texts, "copy")
    assert record.whole().lines == ()


def test_another_record_is_refused(record: Record) -> None:
    """Two records that went different ways are not mixed."""
    record.add([a_mark()])
    before = record.whole()
    with pytest.raises(InputError, match="new record"):
        import_lines(record, export_lines(filled(open_record(":memory:", may_begin=True))), "copy")
    assert record.whole() == before


def test_every_line_is_json(record: Record) -> None:
    """One object a line, in plain ASCII, whatever was written."""
    texts = list(export_lines(filled(record)))
    assert all(isinstance(json.loads(line), dict) and line.isascii() and "\n" not in line for line in texts)

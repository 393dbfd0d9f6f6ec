"""``writeups record``: is the record whole, out and in as JSON lines, and a student's data erased."""

from __future__ import annotations

import argparse
import json
import secrets
import sys
from pathlib import Path

from marking.commands.counting import counted
from marking.commands.record_use import now
from marking.outputs import put_file
from marking.record import Record, breaks, erase_student, export_lines, import_lines, open_record
from reports.wording import wording
from rubrics.faults import InputError


def run(arguments: argparse.Namespace) -> int:
    """Do one deed with a record; return the exit status."""
    record = open_record(arguments.record, may_begin=arguments.deed == "import")
    try:
        return _DEEDS[arguments.deed](record, arguments)
    finally:
        record.close()


def _check(record: Record, arguments: argparse.Namespace) -> int:
    held = record.whole()
    found = breaks(held, end=_end(arguments.end))
    place, digest = record.end()
    if arguments.json:
        account = {
            "lines": len(held.lines),
            "end": f"{place}:{digest}",
            "whole": not found,
            "breaks": [{"line": one.place, "what": one.what} for one in found],
        }
        print(json.dumps(account, indent=2))
        return 1 if found else 0
    words = wording("record")["breaks"]
    for one in found:
        print(f"Line {one.place}: {words[one.what]}", file=sys.stderr)
    if found:
        print(f"{record.name}: {counted(len(found), 'fault')} in {counted(len(held.lines), 'line')}.")
        return 1
    print(f"{record.name}: whole, {counted(len(held.lines), 'line')}.")
    print(f"Its end is {place}:{digest}; kept on paper, it shows later that no line was taken off (--end).")
    return 0


def _end(said: str | None) -> tuple[int, str] | None:
    if said is None:
        return None
    place, _, digest = said.partition(":")
    if not place.isdecimal() or not digest:
        raise InputError("--end", f"'{said}' cannot be read", "write it as an earlier check printed it, N:HASH")
    return int(place), digest


def _export(record: Record, arguments: argparse.Namespace) -> int:
    text = "".join(f"{line}\n" for line in export_lines(record))
    if arguments.out is None:
        sys.stdout.write(text)
        return 0
    out = Path(arguments.out)
    if out.exists():
        raise InputError(out.name, "there is a file of this name already", "name another after --out")
    put_file(out, text.encode())
    print(f"{out}: the whole record, {counted(record.end()[0], 'line')}. It holds what students wrote: keep it safe.")
    return 0


def _import(record: Record, arguments: argparse.Namespace) -> int:
    file = Path(arguments.file)
    try:
        text = file.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise InputError(file.name, "this is no whole export of a record", "export it again") from error
    new = import_lines(record, text.splitlines(), file.name)
    print(f"{record.name}: {counted(new, 'line')} taken in, {record.end()[0]} in all.")
    return 0


def _erase(record: Record, arguments: argparse.Namespace) -> int:
    number = erase_student(
        record,
        arguments.student,
        class_name=arguments.class_name,
        event_id=secrets.token_hex(16),
        who=arguments.by,
        when=now(),
        why=arguments.why,
    )
    print(f"{record.name}: {counted(number, 'decision')} emptied of what was personal; a line says so.")
    print("Copies of the record, workbooks, sheets and results are not touched: take the student out there too.")
    return 0


_DEEDS = {"check": _check, "export": _export, "import": _import, "erase": _erase}

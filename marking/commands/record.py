"""``writeups record``: is the record whole, out and in as JSON lines, and a student's data erased."""

from __future__ import annotations

import argparse
import json
import secrets
import sys
from contextlib import nullcontext
from pathlib import Path

from marking.commands.counting import counted
from marking.commands.record_use import files_alone, folder_beside, now
from marking.outputs import held, is_ours, put_file
from marking.record import (
    Record,
    breaks,
    erase_student,
    export_lines,
    import_lines,
    open_record,
)
from marking.sweeping import Swept, swept_folder
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
    words = wording("record")["erased"]
    places = [Path(place) for place in arguments.also]
    if missing := [place for place in places if not place.exists()]:
        raise InputError(str(missing[0]), "there is nothing here", "look at the path after --also")
    sets = folder_beside(arguments.record)
    folders = [place for place in (sets, *places) if place.is_dir()]
    others = _classmates(record, arguments.student, arguments.class_name)
    alone = files_alone(folders, arguments.student)
    number = _erased(record, arguments)
    swept: list[Swept] = []
    for folder in folders:
        with held(folder) if is_ours(folder) else nullcontext():
            swept += swept_folder(folder, arguments.student, others=others, alone=alone)
    exports = [place for place in places if place.is_file()]
    for place in exports:
        _export_anew(record, place)
    if number is None and not swept and not exports:
        raise InputError(
            record.name, f"there is nothing about a student {arguments.student}", "look at the code, and at the class"
        )
    if number is not None:
        print(f"{record.name}: {counted(number, 'decision')} emptied of what was personal; a line says so.")
    for one in swept:
        print(f"{one.path}: {words[one.what]}")
    for place in exports:
        print(f"{place}: {words['export']}")
    print(words["elsewhere"])
    return 1 if any(one.what == "left" for one in swept) else 0


def _erased(record: Record, arguments: argparse.Namespace) -> int | None:
    """Erase in the record; None where it holds nothing about the student, who may still stand in files."""
    known = {name.class_name for name in record.sets()}
    wanted = {arguments.class_name} if arguments.class_name is not None else known
    if not any(arguments.student in record.students(name) for name in wanted):
        return None
    return erase_student(
        record,
        arguments.student,
        class_name=arguments.class_name,
        event_id=secrets.token_hex(16),
        who=arguments.by,
        when=now(),
        why=arguments.why,
    )


def _classmates(record: Record, student: str, class_name: str | None) -> frozenset[str]:
    names = {name.class_name for name in record.sets()} if class_name is None else {class_name}
    return frozenset(code for name in names for code in record.students(name) if code != student)


def _export_anew(record: Record, place: Path) -> None:
    """Write an export anew, where it is one of this record.

    Raises:
        InputError: It is something else.
    """
    lines = place.read_text(encoding="utf-8", errors="replace").splitlines()
    try:
        end = json.loads(lines[-1])["hash"]
    except (IndexError, ValueError, KeyError, TypeError):
        end = None
    if end not in {line.hash for line in record.whole().lines}:
        raise InputError(place.name, "this is no export of this record", "name a folder of results, or an export")
    put_file(place, "".join(f"{line}\n" for line in export_lines(record)).encode(), replace=True)


_DEEDS = {"check": _check, "export": _export, "import": _import, "erase": _erase}

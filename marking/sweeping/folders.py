"""A folder of files that the program keeps, with one student taken out: results, or what was dropped in at the desk."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator
from hashlib import sha256
from pathlib import Path

from msgspec import Struct

from marking.file_names import file_names
from marking.outputs import KEPT, OURS, is_ours, put_file
from marking.sweeping.mentions import is_code, speaks_of
from marking.sweeping.tables import emptied_workbook, without_lines

PAPER = ".pdf"
TABLES = frozenset({".csv", ".txt", ".tsv"})
WORKBOOKS = frozenset({".xlsx", ".xlsm"})


class Swept(Struct, frozen=True, kw_only=True):
    """What became of one file."""

    path: Path
    what: str
    """'removed', 'emptied' of the student's lines, or 'left': it may speak of the student, and a person has to look."""


def swept_folder(
    folder: Path, code: str, *, others: Collection[str] = (), alone: Collection[Path] = ()
) -> tuple[Swept, ...]:
    """Take *code* out of every file below *folder*; return the files that were changed, removed or left.

    Args:
        folder: Results, or sets of the desk.
        code: Of the student.
        others: Codes of other students of the class.
        alone: Files that hold this student's work and nobody else's.
    """
    ours = is_ours(folder)
    before = _account(folder) if ours else {}
    found = [one for path in _files(folder) if (one := _swept(path, folder, code, others, alone, ours=ours))]
    if ours and found:
        _mend_account(folder, code, before)
    for path in sorted((one.path.parent for one in found), key=lambda path: -len(path.parts)):
        if path.is_dir() and path != folder and not any(path.iterdir()):
            path.rmdir()
    return tuple(found)


def _files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_symlink() and path != folder / OURS:
            yield path


def _swept(
    path: Path, folder: Path, code: str, others: Collection[str], alone: Collection[Path], *, ours: bool
) -> Swept | None:
    kind = path.suffix.casefold()
    is_class_paper = ours and kind == PAPER and path.parent == folder
    if path in alone or _is_named(path, code) or is_class_paper:
        path.unlink()
        return Swept(path=path, what="removed")
    try:
        if kind in WORKBOOKS:
            data = emptied_workbook(path, code, others, is_ours=ours)
        elif kind in TABLES:
            data = without_lines(path.read_bytes(), code)
        else:
            return Swept(path=path, what="left") if _may_speak(path, code) else None
    except ValueError:
        return Swept(path=path, what="left")
    if data is None:
        return Swept(path=path, what="left") if _may_speak(path, code) else None
    put_file(path, data, replace=True)
    return Swept(path=path, what="left" if _may_speak(path, code) else "emptied")


def _is_named(path: Path, code: str) -> bool:
    """Tell whether a file is called by the code, as sheets are and as students call their workbooks."""
    names = {code, file_names([code])[code], file_names([code, code.swapcase()])[code]}
    return any(is_code(name)(path.stem) for name in names)


def _may_speak(path: Path, code: str) -> bool:
    """Tell whether a text file still names the code; of a packed one only its own programs can tell."""
    if path.suffix.casefold() in WORKBOOKS:
        return False
    data = path.read_bytes()
    return any(speaks_of(code)(data.decode(encoding, "ignore")) for encoding in ("utf-8", "utf-16", "cp1252"))


def _account(folder: Path) -> dict[str, str]:
    """Return the files that are as the run wrote them, by name, with their hash."""
    wrote = _read(folder).get("wrote", {})
    paths = {name: folder / name for name in wrote if not name.startswith(f"{KEPT}/")}
    return {name: wrote[name] for name, path in paths.items() if path.is_file() and _hash(path) == wrote[name]}


def _mend_account(folder: Path, code: str, before: dict[str, str]) -> None:
    """Let the account of the run say what the files are now, or the next run would take the change for a person's."""
    account = _read(folder)
    wrote = account.get("wrote", {})
    account["wrote"] = {
        name: _hash(folder / name) if name in before else was
        for name, was in wrote.items()
        if (folder / name).is_file()
    }
    text = json.dumps(_without(account, code), indent=2, ensure_ascii=False)
    put_file(folder / OURS, f"{text}\n".encode(), replace=True)


def _without(value: object, code: str) -> object:
    speaks = speaks_of(code)
    if isinstance(value, dict):
        return {name: _without(one, code) for name, one in value.items() if not speaks(name)}
    if isinstance(value, list):
        return [_without(one, code) for one in value if not speaks(one)]
    return value


def _read(folder: Path) -> dict[str, dict[str, str]]:
    try:
        account = json.loads((folder / OURS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return account if isinstance(account, dict) else {}


def _hash(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()

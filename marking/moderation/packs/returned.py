"""Packs that come back: read, and refused as a whole where they are not what went out."""

from __future__ import annotations

import zipfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from marking.moderation.packs import pack_layout as layout
from marking.moderation.packs.blinding import Shown
from marking.moderation.packs.key import EVERYBODY, Key, KeyLine
from marking.moderation.packs.pack_contents import PackScript
from rubrics.faults import InputError

Cells = list[list[object]]


class SecondMarks(Struct, frozen=True, kw_only=True):
    """A second marker's marks for one script."""

    code: str
    marks: Mapping[str, int]
    """Every criterion that was marked; those that wait for a person are all there."""
    remark: str


class Returned(Struct, frozen=True, kw_only=True):
    """One pack that came back, whole."""

    second_marker: str
    pack: str
    """Hash of the pack that went out."""
    file: str
    """Empty where it was marked at the desk."""
    scripts: tuple[SecondMarks, ...]


def read_packs(paths: Sequence[Path], keys: Sequence[Key]) -> tuple[Returned, ...]:
    """Return the packs in the files and folders *paths*.

    Args:
        paths: Workbooks, and folders of them.
        keys: The rounds that they may belong to.

    Raises:
        InputError: A pack is not as it went out, or is not filled in; every fault of every pack is told at once.
    """
    faults: list[str] = []
    found: list[Returned] = []
    held: dict[str, str] = {}
    for path in _files(paths):
        try:
            seal, returned = _read(path, keys)
        except InputError as error:
            faults.append(str(error))
            continue
        if seal in held:
            faults.append(
                f"{path.name}: this is the same pack as {held[seal]}. Take away the one of the two that does not count."
            )
            continue
        held[seal] = path.name
        found.append(returned)
    if faults:
        raise PacksRefusedError(tuple(faults))
    return tuple(found)


class PacksRefusedError(InputError):
    """One or more packs cannot be used.

    Attributes:
        faults: Each with its file and what to do.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        """Keep all faults, so that they are mended in one go."""
        super().__init__("packs", "some cannot be used", "mend them and run again")
        self.faults = faults

    def __str__(self) -> str:
        """Return one line a fault."""
        return "\n".join(self.faults)


def _files(paths: Sequence[Path]) -> Iterator[Path]:
    for path in paths:
        if path.is_dir():
            yield from sorted(one for one in path.glob("*.xlsx") if not one.name.startswith(("~$", ".")))
        elif path.exists():
            yield path
        else:
            raise InputError(str(path), "there is no such file or folder", "name the packs that came back")


def _read(path: Path, keys: Sequence[Key]) -> tuple[str, Returned]:
    sheets = _sheets(path)
    about = {str(row[0]): str(row[1]) for row in sheets[layout.PACK][layout.HEAD_ROW :] if len(row) > 1 and row[0]}
    key, marker = _own_key(path, about, keys)
    lines = {line.code: line for line in key.lines if line.second_marker in (marker, EVERYBODY)}
    faults = [*_changed(sheets[layout.SCRIPTS], lines)]
    rows, more = _rows(sheets[layout.MARKS], lines)
    faults += more
    scripts, unmarked = [], 0
    most = {line.code: line.marks for line in key.scheme}
    for code, cells in rows.items():
        marks, wrong = _marks(code, cells, lines[code], most)
        faults += wrong
        unmarked += not marks
        scripts.append(SecondMarks(code=code, marks=marks, remark=str(cells.get(layout.REMARK) or "").strip()))
    if faults and unmarked == len(scripts):
        raise InputError(path.name, "there is no mark in this pack yet", "fill in its sheet Marks, and send it again")
    if faults:
        raise InputError(
            path.name, "; ".join(faults), "mend the pack, or take a fresh copy from the round, and send again"
        )
    return about["pack"], Returned(second_marker=marker, pack=about["pack"], file=path.name, scripts=tuple(scripts))


def _sheets(path: Path) -> dict[str, Cells]:
    import openpyxl
    from openpyxl.utils.exceptions import InvalidFileException

    mend = "send the workbook of the pack, saved as .xlsx"
    try:
        book = openpyxl.load_workbook(path, read_only=True, data_only=True)
        sheets: dict[str, Cells] = {
            sheet.title: [list[object](row) for row in sheet.iter_rows(values_only=True)] for sheet in book.worksheets
        }
        book.close()
    except (OSError, ValueError, KeyError, TypeError, zipfile.BadZipFile, InvalidFileException) as error:
        raise InputError(path.name, "this workbook cannot be opened", mend) from error
    wanted = (layout.MARKS, layout.SCRIPTS, layout.PACK)
    if missing := [name for name in wanted if name not in sheets]:
        raise InputError(path.name, f"this is no pack: the sheet {missing[0]} is not there", mend)
    return sheets


def _own_key(path: Path, about: Mapping[str, str], keys: Sequence[Key]) -> tuple[Key, str]:
    for key in keys:
        for marker, seal in key.packs.items():
            if about.get("pack") == seal and about.get("rubric") == key.scheme_sha256:
                return key, marker
    same = [key for key in keys if key.practical == about.get("practical")]
    if same and about.get("rubric") != same[0].scheme_sha256:
        problem = f"this pack has another text of the scheme (edition {about.get('edition')}) than the round"
        raise InputError(path.name, problem, "have it marked again from the pack of this round")
    raise InputError(path.name, "this pack is of another round", "name the folder of its round, or take the file away")


def shown_in(path: Path) -> tuple[dict[str, list[Shown]], list[str]]:
    """Return what a pack's workbook shows of each script, and the codes in the order of its marks.

    Raises:
        InputError: It cannot be read.
    """
    sheets = _sheets(path)
    rows = sheets[layout.MARKS][layout.HEAD_ROW + 1 :]
    return _shown(sheets[layout.SCRIPTS]), [str(row[0]).strip() for row in rows if row and row[0] not in (None, "")]


def _shown(cells: Cells) -> dict[str, list[Shown]]:
    shown: dict[str, list[Shown]] = {}
    for row in cells[layout.HEAD_ROW + 1 :]:
        if row and row[0] is not None:
            code, item, label, number, text = (*row, None, None, None, None)[:5]
            line = Shown(item=_said(item), label=_said(label), row=_number(number), text=_said(text))
            shown.setdefault(str(code), []).append(line)
    return shown


def _changed(cells: Cells, lines: Mapping[str, KeyLine]) -> Iterator[str]:
    """Yield what is wrong with the scripts themselves: their hash is not the one that went out."""
    shown = _shown(cells)
    for code in sorted(lines.keys() | shown.keys()):
        if code not in lines:
            yield f"script {code} is not of this pack"
            continue
        script = PackScript(code=code, eye=lines[code].eye, shown=tuple(shown.get(code, ())))
        if script.seal != lines[code].seal:
            yield f"what script {code} says was changed on the sheet {layout.SCRIPTS}"


def _said(value: object) -> str:
    return "" if value is None else str(value)


def _number(value: object) -> int | None:
    return int(value) if isinstance(value, int | float) else None


def _rows(cells: Cells, lines: Mapping[str, KeyLine]) -> tuple[dict[str, dict[str, object]], list[str]]:
    """Return the cells of each script by heading, and what is wrong with the list of scripts."""
    if len(cells) <= layout.HEAD_ROW:
        return {}, [f"the sheet {layout.MARKS} is empty"]
    heads = [str(head or "").split("\n")[0].strip() for head in cells[layout.HEAD_ROW]]
    found: dict[str, dict[str, object]] = {}
    faults = []
    seen: Counter[str] = Counter()
    for row in cells[layout.HEAD_ROW + 1 :]:
        if not row or row[0] in (None, ""):
            continue
        code = str(row[0]).strip()
        seen[code] += 1
        if code in lines:
            found[code] = dict(zip(heads, row, strict=False))
        else:
            faults.append(f"script {code} on the sheet {layout.MARKS} is not of this pack")
    faults += [f"script {code} stands there {count} times; leave one row" for code, count in seen.items() if count > 1]
    faults += [f"script {code} is missing" for code in lines if code not in found]
    return found, faults


def _marks(
    code: str, cells: Mapping[str, object], line: KeyLine, most: Mapping[str, int]
) -> tuple[dict[str, int], list[str]]:
    marks: dict[str, int] = {}
    faults, missing = [], []
    for criterion in line.first:
        value = cells.get(criterion)
        blank = value is None or str(value).strip() in ("", layout.NOT_ASKED, "-")
        if blank:
            missing += [criterion] if criterion in line.eye else []
            continue
        mark = _whole(value)
        if mark is None or not 0 <= mark <= most.get(criterion, 0):
            faults.append(
                f"script {code}, {criterion}: '{value}' is not a whole mark from 0 to {most.get(criterion, 0)}"
            )
            continue
        marks[criterion] = mark
    if missing:
        faults.append(f"script {code} has no mark for {', '.join(missing)}")
    return marks, faults


def _whole(value: object) -> int | None:
    """Return a mark as typed: a number, or its text; a tick or a cross is 1 or 0."""
    if isinstance(value, bool):
        return int(value)
    try:
        number = float(str(value).strip().replace(",", "."))
    except ValueError:
        return {"✓": 1, "✔": 1, "✗": 0, "✘": 0}.get(str(value).strip())
    return int(number) if number.is_integer() else None

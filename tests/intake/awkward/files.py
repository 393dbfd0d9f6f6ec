"""Files that are not what their names say, damaged ones, and ones made to do harm."""

from __future__ import annotations

import io
import zipfile

from tests.intake.awkward.case import SHEET, Case, as_text, repacked, saved, swapped, table, workbook

_COMPOUND = bytes.fromhex("d0cf11e0a1b11ae1")
_NORMAL = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
_WITH_MACROS = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"


def file_cases() -> tuple[Case, ...]:
    """Return the cases about whole files."""
    return (*_misnamed(), *_damaged(), *_harmful())


def _refused(name: str, data: bytes, *named: str) -> Case:
    return Case(name=name, data=data, outcome="refuse", students=(), named=named)


def _zip(parts: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return out.getvalue()


def _misnamed() -> tuple[Case, ...]:
    macros = saved(
        workbook(table()),
        {"[Content_Types].xml": swapped(_NORMAL, _WITH_MACROS)},
        {"xl/vbaProject.bin": b"not a real one"},
    )
    return (
        _refused(
            "old.xlsx", _COMPOUND + bytes(504) + "Workbook".encode("utf-16-le") + bytes(600), "old workbook format"
        ),
        _refused(
            "password.xlsx", _COMPOUND + bytes(504) + "EncryptedPackage".encode("utf-16-le") + bytes(600), "password"
        ),
        _refused("letter.xlsx", _COMPOUND + bytes(504) + "WordDocument".encode("utf-16-le"), "no workbook"),
        _refused("text.xlsx", as_text(table()), "holds text"),
        _refused("workbook.csv", saved(workbook(table())), "holds a workbook"),
        _refused("page.xlsx", b"<html><table><tr><td>student</td></tr></table></html>", "web page"),
        _refused("print.xlsx", b"%PDF-1.7\n", "PDF"),
        _refused("other zip.xlsx", _zip({"readings.txt": b"hello"}), "not a workbook"),
        _refused(
            "open document.xlsx", _zip({"mimetype": b"application/vnd.oasis", "content.xml": b"<x/>"}), "OpenDocument"
        ),
        Case(name="macros.xlsx", data=macros, outcome="notes", named=("macros",)),
    )


def _damaged() -> tuple[Case, ...]:
    whole = saved(workbook(table()))
    return (
        _refused("cut off.xlsx", whole[: len(whole) // 2], "damaged or incomplete"),
        _refused("cut sheet.xlsx", repacked(whole, {SHEET: lambda content: content[:-60]}, {}), "damaged"),
        _refused(
            "no such style.xlsx", repacked(whole, {SHEET: swapped('<c r="B2"', '<c r="B2" s="999999"')}, {}), "damaged"
        ),
        _refused(
            "no such text.xlsx", repacked(whole, {SHEET: swapped('t="n"><v>998<', 't="s"><v>99999<')}, {}), "damaged"
        ),
    )


def _harmful() -> tuple[Case, ...]:
    entities = "".join(f'<!ENTITY a{level} "{f"&a{level - 1};" * 10}">' for level in range(1, 9))
    document_type = f'<!DOCTYPE x [<!ENTITY a0 "{"A" * 1000}">{entities}]>'
    whole = saved(workbook(table()))
    spaces = _zip({"[Content_Types].xml": b"<x/>", "xl/workbook.xml": b" " * (41 * 1024 * 1024)})
    twice = io.BytesIO()
    with zipfile.ZipFile(twice, "w") as archive:
        archive.writestr("[Content_Types].xml", "<x/>")
        archive.writestr("xl/workbook.xml", "<x/>")
        archive.writestr("xl/workbooK.xml", "<x/>")
    doubled = twice.getvalue().replace(b"xl/workbooK.xml", b"xl/workbook.xml")
    return (
        _refused(
            "entities.xlsx",
            repacked(whole, {SHEET: lambda content: b'<?xml version="1.0"?>' + document_type.encode() + content}, {}),
            "not a normal workbook",
        ),
        _refused("unpacks to much.xlsx", spaces, "unpacks"),
        _refused("two parts of one name.xlsx", doubled, "not a normal workbook"),
    )

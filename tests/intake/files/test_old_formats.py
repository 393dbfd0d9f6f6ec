"""Files as .xls and .ods: read like any workbook, within the same bounds."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
import xlwt

from marking.intake import read_inputs
from marking.write_up import ClassSet, State
from rubrics.faults import InputError
from rubrics.load import load_catalogue

BLOCK = "specific-heat-block"
HEAD = ("student", "m / kg", "T_start / °C", "T_end / °C", "E / J", "c")
LINE = ("A01", 0.998, 20.5, 41.5, 20400, "973 J/(kg °C)")
_NAMES = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
}


def read(path: Path) -> ClassSet:
    """Return the set that a file becomes."""
    (one,) = read_inputs([path], load_catalogue(), practical=BLOCK)
    return one


def _xls(path: Path) -> Path:
    book = xlwt.Workbook()
    sheet = book.add_sheet("Block")
    two_places = xlwt.easyxf(num_format_str="0.00")
    for row, line in enumerate((HEAD, LINE)):
        for column, value in enumerate(line):
            sheet.write(row, column, value, *([two_places] if value == LINE[2] else []))
    book.save(str(path))
    return path


def _ods_cell(value: object) -> str:
    if isinstance(value, str):
        return f'<table:table-cell office:value-type="string"><text:p>{value}</text:p></table:table-cell>'
    kind = f'office:value-type="float" office:value="{value}"'
    return f"<table:table-cell {kind}><text:p>{value}</text:p></table:table-cell>"


def _ods(path: Path, more: str = "") -> Path:
    rows = "".join(f"<table:table-row>{''.join(map(_ods_cell, line))}</table:table-row>" for line in (HEAD, LINE))
    names = " ".join(f'xmlns:{name}="{uri}"' for name, uri in _NAMES.items())
    body = f'<table:table table:name="Block">{rows}{more}</table:table>'
    for tag in ("office:spreadsheet", "office:body"):
        body = f"<{tag}>{body}</{tag}>"
    content = f"<office:document-content {names}>{body}</office:document-content>"
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    space = 'xmlns:m="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"'
    entry = f'<m:file-entry m:full-path="/" m:media-type="{kind}"/>'
    manifest = f"<m:manifest {space}>{entry}</m:manifest>"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", kind)
        archive.writestr("content.xml", content)
        archive.writestr("META-INF/manifest.xml", manifest)
    path.write_bytes(out.getvalue())
    return path


def test_an_xls_file_is_read_with_its_decimal_places(tmp_path: Path) -> None:
    """A format such as 0.00 remembers the zero; a plain number has lost it, and nothing is lost over that."""
    (work,) = read(_xls(tmp_path / "class.xls")).write_ups
    assert {name: entry.value for name, entry in work.singles.items()} == {
        "m": 0.998,
        "T_start": 20.5,
        "T_end": 41.5,
        "E": 20400,
        "c": 973,
    }
    assert (work.singles["T_start"].raw, work.singles["T_start"].zeros_unknown) == ("20.50", False)
    assert work.singles["T_end"].zeros_unknown


def test_an_ods_file_is_read(tmp_path: Path) -> None:
    """The same class, saved by another program."""
    (work,) = read(_ods(tmp_path / "class.ods")).write_ups
    assert [entry.state for entry in work.singles.values()] == [State.NUMBER] * 5
    assert work.singles["c"].value == 973


@pytest.mark.parametrize("name", ["class.xls", "class.ods"])
def test_a_damaged_file_is_told_in_one_line(name: str, tmp_path: Path) -> None:
    """Half a file ends with a line and not with the class."""
    path = (_xls if name.endswith("xls") else _ods)(tmp_path / name)
    path.write_bytes(path.read_bytes()[:-700])
    with pytest.raises(InputError, match=name):
        read(path)


def test_a_table_repeated_without_end_is_refused(tmp_path: Path) -> None:
    """A cell repeated over the whole sheet takes the memory of the reader, not of the class."""
    cell = '<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="16384"/>'
    more = f'<table:table-row table:number-rows-repeated="1048576">{cell}</table:table-row>'
    with pytest.raises(InputError):
        read(_ods(tmp_path / "class.ods", more))

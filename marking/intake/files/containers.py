"""What kind of file this is, told by its first bytes and never by its name.

Everything that could make a reader run for ever or fill the memory is turned away here, before
any reader sees it.
"""

from __future__ import annotations

import hashlib
import io
import stat
import zipfile
import zlib
from enum import StrEnum
from pathlib import Path

from msgspec import Struct

from marking.intake.files.part_limits import fault_of_parts
from rubrics.faults import InputError

MAX_BYTES = 20 * 1024 * 1024
"""A class is some ten kilobytes, a whole year of a department about five megabytes."""
MAX_UNPACKED_BYTES = 40 * 1024 * 1024
"""Sum over the parts of a workbook: more than that in a small file is made to fill the memory."""
MAX_PARTS = 1000
WORKBOOK_SUFFIXES = (".xlsx", ".xlsm")
SPREADSHEET_SUFFIXES = (*WORKBOOK_SUFFIXES, ".csv", ".tsv", ".xls", ".ods")
"""What is read from a folder."""
_OLD_SUFFIXES = (".xls", ".ods")

_ENCRYPTED_FLAG = 0x1
_COMPOUND_FILE = bytes.fromhex("d0cf11e0a1b11ae1")
_ZIP = b"PK"
_COPY_AGAIN = "copy it again from where it came, or save it anew from the spreadsheet program"
_NEW_WORKBOOK = "copy the readings into a new workbook"
_SAVE_AS_XLSX = "open it in a spreadsheet program and save it as an Excel workbook (.xlsx)"


class Kind(StrEnum):
    """How a file has to be read."""

    WORKBOOK = "workbook"
    OLD_WORKBOOK = "workbook of another format"
    """.xls or .ods."""
    TEXT = "text"


class Container(Struct, frozen=True, kw_only=True):
    """A file that may be read: its kind is known, its size is harmless."""

    name: str
    """As messages call it: without its folder, or below the folder that was given."""
    kind: Kind
    data: bytes
    sha256: str


def open_container(path: Path, name: str) -> Container:
    """Return the file at *path*, ready to be read.

    Raises:
        InputError: It cannot be opened, is too large, is damaged, or is no spreadsheet.
    """
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise InputError(name, "not a file", "check the name")
        if status.st_size > MAX_BYTES:
            mend = "split it into several files, one a class; a tidy CSV of any size is read with --no-paper"
            raise InputError(name, f"over {MAX_BYTES // 1024**2} MB", mend)
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(name, "there is no such file", "check the name") from error
    except OSError as error:
        problem = f"cannot be opened ({(error.strerror or str(error)).lower()})"
        raise InputError(name, problem, "close it elsewhere, and check who may read it") from error
    kind = _kind_of(data, name)
    named_workbook = path.suffix.lower() in WORKBOOK_SUFFIXES
    if kind is Kind.OLD_WORKBOOK and path.suffix.lower() not in _OLD_SUFFIXES:
        is_zip = data.startswith(_ZIP)
        problem = "an OpenDocument file, not an Excel workbook" if is_zip else "in the old workbook format (.xls)"
        raise InputError(name, problem, f"give it the ending {'.ods' if is_zip else '.xls'}, or {_SAVE_AS_XLSX}")
    if kind is Kind.TEXT and named_workbook:
        raise InputError(name, "holds text, not a workbook", "give it the ending .csv, or save it as .xlsx")
    if kind is Kind.WORKBOOK and not named_workbook:
        raise InputError(name, "holds a workbook, not text", "give it the ending .xlsx, or save it as CSV")
    return Container(name=name, kind=kind, data=data, sha256=hashlib.sha256(data).hexdigest())


def _kind_of(data: bytes, name: str) -> Kind:
    if not data:
        raise InputError(name, "the file is empty (0 bytes)", _COPY_AGAIN)
    if data.startswith(_COMPOUND_FILE):
        _check_compound(data, name)
        return Kind.OLD_WORKBOOK
    if data.startswith(_ZIP):
        return _kind_of_zip(data, name)
    if data.startswith(b"%PDF"):
        raise InputError(name, "a PDF, not a spreadsheet", "hand in the workbook that it was printed from")
    if data[:512].lstrip(b"\xef\xbb\xbf \r\n\t").lower().startswith((b"<html", b"<!doctype", b"<?xml")):
        raise InputError(name, "a web page or XML file, not a workbook", _SAVE_AS_XLSX)
    has_mark = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    if not has_mark and data.count(0) * 10 > len(data):
        raise InputError(name, "neither a workbook nor text", _SAVE_AS_XLSX)
    return Kind.TEXT


def _check_compound(data: bytes, name: str) -> None:
    if "EncryptedPackage".encode("utf-16-le") in data:
        raise InputError(name, "protected with a password, not marked", "save a copy without a password and run again")
    if "Workbook".encode("utf-16-le") not in data and "Book".encode("utf-16-le") not in data:
        raise InputError(name, "an old Office file that is no workbook", "check that this is the right file")


def _kind_of_zip(data: bytes, name: str) -> Kind:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as error:
        raise InputError(name, "damaged or incomplete", _COPY_AGAIN) from error
    names = [part.filename for part in parts]
    if any(part.flag_bits & _ENCRYPTED_FLAG for part in parts):
        raise InputError(name, "protected with a password, not marked", "save a copy without a password and run again")
    is_open_document = "content.xml" in names and "mimetype" in names
    if not is_open_document and (
        "[Content_Types].xml" not in names or not any(part.startswith("xl/") for part in names)
    ):
        raise InputError(name, "not a workbook", "check that this is the right file")
    if len(parts) > MAX_PARTS or len(set(names)) != len(names):
        raise InputError(name, "not a normal workbook (too many parts, or two of one name)", _SAVE_AS_XLSX)
    if sum(part.file_size for part in parts) > MAX_UNPACKED_BYTES:
        problem = f"unpacks to more than {MAX_UNPACKED_BYTES // 1024**2} MB"
        raise InputError(name, problem, _NEW_WORKBOOK)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            fault = fault_of_parts(archive)
    except (zipfile.BadZipFile, zlib.error, ValueError, OSError, EOFError, NotImplementedError) as error:
        raise InputError(name, "damaged or incomplete", _COPY_AGAIN) from error
    if fault:
        raise InputError(name, f"not a normal workbook: {fault}", _NEW_WORKBOOK)
    return Kind.OLD_WORKBOOK if is_open_document else Kind.WORKBOOK

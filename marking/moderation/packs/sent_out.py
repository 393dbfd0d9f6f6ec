"""A pack as it went out, read again from its workbook, so that it can be marked on a screen as well."""

from __future__ import annotations

from pathlib import Path

from marking.moderation.packs.key import EVERYBODY, Key
from marking.moderation.packs.pack_contents import Pack, PackScript
from marking.moderation.packs.returned import shown_in
from rubrics.faults import InputError


def read_pack(path: Path, key: Key, second_marker: str) -> Pack:
    """Return the pack of *second_marker* from its workbook at *path*.

    Raises:
        InputError: The workbook cannot be read, or what it shows is not what the key has sealed.
    """
    shown, order = shown_in(path)
    lines = {line.code: line for line in key.lines if line.second_marker in (second_marker, EVERYBODY)}
    scripts = tuple(
        PackScript(code=code, eye=lines[code].eye, shown=tuple(shown.get(code, ()))) for code in order if code in lines
    )
    pack = Pack(
        second_marker=second_marker,
        practical=key.practical,
        title=key.title,
        edition=key.edition,
        scheme_sha256=key.scheme_sha256,
        scheme=key.scheme,
        scripts=scripts,
    )
    if pack.seal != key.packs.get(second_marker):
        raise InputError(path.name, "this is not the pack that went out", "fetch the folder of the round from a copy")
    return pack

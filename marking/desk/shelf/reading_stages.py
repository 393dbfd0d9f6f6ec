"""Sets before they are at hand: how far their reading is, what the record knows of them, what could not be read."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec import Struct

from marking.decided import (
    Decision,
    SetName,
    SetRead,
)
from marking.desk.shelf.held_set import sid_of, state_after
from marking.over_time import Practical

LARGEST = 20 * 2**20
"""Bytes; a larger file is never read."""


class Refusal(Struct, frozen=True, kw_only=True):
    """A folder that could not be read, and why."""

    folder: str
    message: str
    owner: str = ""


class Stage(Struct, frozen=True, kw_only=True):
    """How far the reading of a folder is."""

    folder: str
    step: str = "waits"
    """'waits', 'files' or 'marking'."""
    files: int = 0
    practical: str = ""
    """Title of the practical whose set is being worked out."""
    students: int = 0
    number: int = 0
    """Of the set, among those found in the folder."""
    of: int = 0


class KnownSet(Struct, frozen=True, kw_only=True):
    """A set whose files are not read yet, as the record knows it."""

    sid: str
    name: SetName
    title: str
    handed_in: int
    waits: int
    """Marks that wait."""
    state: str


def folders_of(folders: Sequence[Path], decisions: Iterable[Decision]) -> dict[SetName, Path]:
    """Return in which of *folders* the files of each set lie, by their contents, as far as *decisions* know them."""
    names: dict[str, set[SetName]] = {}
    for one in decisions:
        if isinstance(one, SetRead):
            for said in one.hashes:
                names.setdefault(said, set()).add(one.set)
    found: dict[SetName, Path] = {}
    for folder in folders:
        for path in folder.rglob("*") if names else ():
            if path.is_file() and path.stat().st_size <= LARGEST:
                known = names.get(hashlib.sha256(path.read_bytes()).hexdigest(), set())
                # A roster may stand beside several sets and says nothing of any.
                if len(known) == 1:
                    found.setdefault(next(iter(known)), folder)
    return found


def known_set(one: Practical, title: str, decisions: Iterable[Decision]) -> KnownSet:
    """Return a set as the record knows it; *decisions* are those on it."""
    return KnownSet(
        sid=sid_of(one.name),
        name=one.name,
        title=title,
        handed_in=len(one.works),
        waits=sum(given.marks is None for work in one.works.values() for given in work.marks),
        state=state_after(decisions),
    )

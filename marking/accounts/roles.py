"""What a person is in a department, and how a person is called."""

from __future__ import annotations

import unicodedata
from enum import StrEnum

from msgspec import Struct

from rubrics.faults import InputError

MOST_NAME = 80
_ALSO = frozenset(" .'’-")
"""Signs in names that are neither letters nor what belongs to letters."""


class Role(StrEnum):
    """What a person does; what each sees stands in the table of ``marking.staffroom``."""

    TEACHER = "teacher"
    SECOND_MARKER = "second-marker"
    """Marks packs a second time and has no classes here."""
    HEAD = "head-of-department"
    TECHNICIAN = "technician"


class Account(Struct, frozen=True, kw_only=True):
    """One person who may sign in."""

    id: str
    name: str
    """As it stands on decisions; no two have the same, whatever their capitals."""
    role: Role
    has_phrase: bool
    """Let in by a phrase that somebody else has seen: nothing opens before an own password is set."""
    is_open: bool


def proper_name(said: str) -> str:
    """Return a name as it is kept: one space between words, letters in one form.

    Raises:
        InputError: It is empty, too long, or holds signs that no name has.
    """
    name = " ".join(unicodedata.normalize("NFKC", said).split())
    mend = "write it as colleagues know it, such as 'Ms Calloway'"
    if not name:
        raise InputError("the name", "nothing is written", mend)
    if len(name) > MOST_NAME:
        raise InputError(name[:20] + "…", f"is longer than {MOST_NAME} letters", mend)
    strange = [sign for sign in name if not (unicodedata.category(sign)[0] in "LMN" or sign in _ALSO)]
    if strange:
        raise InputError(ascii(name), f"the sign {strange[0]!a} is in no name", mend)
    return name


def name_key(name: str) -> str:
    """Return what is the same for two names that people would take for one."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())

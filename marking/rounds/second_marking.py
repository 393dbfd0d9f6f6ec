"""Second marks in the record: given one at a time at a desk, or taken down from a pack that came back as a file.

A mark that is given again takes the place of the one before. Nothing counts before the pack is handed in whole, and
from then on nobody changes it, unless the head of department gives it back with a reason.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec import Struct

from marking.decided import (
    Decision,
    PackGivenBack,
    PackHandedIn,
    SecondMarkGiven,
    SecondRemarkWritten,
    department_set,
)
from marking.moderation.packs import EVERYBODY, Key, KeyLine, Returned, SecondMarks
from marking.record import (
    Maker,
    Record,
)
from rubrics.faults import InputError

PACK_LETTERS = 16
"""Of a pack's hash, in the record and in addresses."""


class Marked(Struct, frozen=True, kw_only=True):
    """How far a pack is."""

    pack: str
    """Hash of the pack."""
    marks: Mapping[str, Mapping[str, int]]
    """Code of each script to criterion to mark, so far."""
    remarks: Mapping[str, str]
    numbers: Mapping[tuple[str, str], int]
    """Code and criterion to the number of the last decision on it; an empty criterion for the remark."""
    missing: tuple[tuple[str, str], ...]
    """Code and criterion of every mark that waits, in the order of the key."""
    is_handed_in: bool
    number: int
    """Of the last decision to hand in or to give back."""


def second_decisions(record: Record | None, practical: str) -> tuple[Decision, ...]:
    """Return all that the record holds of second marks of a practical, in order; nothing where none is kept."""
    if record is None:
        return ()
    kinds = (SecondMarkGiven, SecondRemarkWritten, PackHandedIn, PackGivenBack)
    return tuple(one for one in record.decisions(department_set(practical)) if isinstance(one, kinds))


def pack_word(seal: str) -> str:
    """Return how the record and an address call a pack."""
    return seal[:PACK_LETTERS]


def lines_of(key: Key, second_marker: str) -> tuple[KeyLine, ...]:
    """Return the scripts of a pack, by its key."""
    return tuple(line for line in key.lines if line.second_marker in (second_marker, EVERYBODY))


def marked_so_far(key: Key, second_marker: str, decisions: Iterable[Decision]) -> Marked:
    """Return how far the pack of *second_marker* is.

    Args:
        key: Of the round.
        second_marker: One of its packs.
        decisions: As from `second_decisions`.
    """
    seal = key.packs[second_marker]
    word = pack_word(seal)
    lines = lines_of(key, second_marker)
    cells = {f"{word}/{line.code}": line.code for line in lines}
    marks: dict[str, dict[str, int]] = {line.code: {} for line in lines}
    remarks: dict[str, str] = {}
    numbers: dict[tuple[str, str], int] = {}
    handed, number = False, 0
    for one in decisions:
        code = cells.get(one.cell, "")
        if isinstance(one, PackHandedIn | PackGivenBack) and one.cell == word:
            handed, number = isinstance(one, PackHandedIn), one.number
        elif handed:
            continue  # two windows at once: what comes after handing in counts for nothing
        elif isinstance(one, SecondMarkGiven) and code:
            marks[code][one.criterion] = one.marks
            numbers[code, one.criterion] = one.number
        elif isinstance(one, SecondRemarkWritten) and code:
            remarks[code] = one.text
            numbers[code, ""] = one.number
    missing = tuple((line.code, name) for line in lines for name in line.eye if name not in marks[line.code])
    return Marked(
        pack=seal,
        marks=marks,
        remarks=remarks,
        numbers=numbers,
        missing=missing,
        is_handed_in=handed,
        number=number,
    )


def returned_in(keys: Sequence[Key], decisions: Iterable[Decision]) -> tuple[Returned, ...]:
    """Return the packs that the record holds as handed in."""
    taken = tuple(decisions)
    found = []
    for key in keys:
        for marker in key.packs:
            so_far = marked_so_far(key, marker, taken)
            if so_far.is_handed_in and not so_far.missing:
                found.append(_returned(key, marker, so_far))
    return tuple(found)


def _returned(key: Key, marker: str, so_far: Marked) -> Returned:
    scripts = tuple(
        SecondMarks(
            code=line.code, marks=_in_order(key, so_far.marks[line.code]), remark=so_far.remarks.get(line.code, "")
        )
        for line in lines_of(key, marker)
    )
    return Returned(second_marker=marker, pack=so_far.pack, file="", scripts=scripts)


def _in_order(key: Key, marks: Mapping[str, int]) -> Mapping[str, int]:
    return {line.code: marks[line.code] for line in key.scheme if line.code in marks}


class Slip(Struct, frozen=True, kw_only=True):
    """One mark as a second marker gives it, on the page as it was seen."""

    code: str
    criterion: str
    marks: int
    number: int
    """One more than the last decision on it that was seen."""


def give_second_mark(
    record: Record, key: Key, second_marker: str, maker: Maker, slip: Slip, *, source: str = ""
) -> SecondMarkGiven:
    """Take one second mark down.

    Raises:
        InputError: The pack is handed in, the criterion does not wait there, or the mark is none.
        OvertakenError: It was given meanwhile, in another window.
    """
    _open_pack(record, key, second_marker)
    made = _mark(key, second_marker, maker, slip, source)
    record.add([made])
    return made


def _mark(key: Key, second_marker: str, maker: Maker, slip: Slip, source: str) -> SecondMarkGiven:
    line = next((one for one in lines_of(key, second_marker) if one.code == slip.code), None)
    most = {one.code: one.marks for one in key.scheme}
    if line is None or slip.criterion not in line.first:
        raise InputError(slip.code, f"{slip.criterion} does not wait here", "mark what the page asks for")
    if not 0 <= slip.marks <= most[slip.criterion]:
        problem = f"{slip.marks} is not a whole mark from 0 to {most[slip.criterion]}"
        raise InputError(slip.code, problem, "give another")
    own = _shared(key, maker, number=slip.number)
    cell = f"{pack_word(key.packs[second_marker])}/{slip.code}"
    return SecondMarkGiven(**own, cell=cell, criterion=slip.criterion, marks=slip.marks, source=source)


def give_remark(
    record: Record, key: Key, second_marker: str, maker: Maker, code: str, text: str, number: int, *, source: str = ""
) -> None:
    """Take a remark on one script down; empty words take it off.

    Raises:
        InputError: The pack is handed in, or has no such script.
    """
    _open_pack(record, key, second_marker)
    if code not in {one.code for one in lines_of(key, second_marker)}:
        raise InputError(code, "is not of this pack", "look at the pack again")
    cell = f"{pack_word(key.packs[second_marker])}/{code}"
    record.add([SecondRemarkWritten(**_shared(key, maker, number=number), cell=cell, text=text, source=source)])


def hand_in(record: Record, key: Key, second_marker: str, maker: Maker, *, source: str = "") -> PackHandedIn:
    """Take down that a pack is marked.

    Raises:
        InputError: Marks are missing, or it is handed in.
    """
    so_far = _open_pack(record, key, second_marker)
    if so_far.missing:
        code, criterion = so_far.missing[0]
        problem = f"{len(so_far.missing)} marks are missing, the first is {criterion} of script {code}"
        raise InputError("the pack", problem, "give every mark, then hand it in")
    held = _returned(key, second_marker, so_far)
    made = PackHandedIn(
        **_shared(key, maker, number=so_far.number + 1),
        cell=pack_word(so_far.pack),
        marks=_hash_of(held),
        source=source,
    )
    record.add([made])
    return made


def give_back(record: Record, key: Key, second_marker: str, maker: Maker, *, why: str) -> PackGivenBack:
    """Open a pack again that was handed in.

    Raises:
        InputError: It is not handed in, or no reason is given.
    """
    so_far = marked_so_far(key, second_marker, second_decisions(record, key.practical))
    if not so_far.is_handed_in:
        raise InputError(second_marker, "this pack is not handed in", "wait for it")
    if not why.strip():
        raise InputError(second_marker, "a pack is given back for a reason", "say it")
    made = PackGivenBack(**_shared(key, maker, number=so_far.number + 1), cell=pack_word(so_far.pack), why=why)
    record.add([made])
    return made


def take_down(record: Record, key: Key, returned: Returned, maker: Maker) -> bool:
    """Take a pack that came back as a file down: its marks as second marks, and that it is handed in.

    Args:
        record: Where.
        key: Of its round.
        returned: The pack, as it was read and checked.
        maker: Whose marks they are.

    Returns:
        Whether anything is new: a pack with the same marks is not taken down twice.

    Raises:
        InputError: The record holds other marks as handed in.
    """
    marker = returned.second_marker
    so_far = marked_so_far(key, marker, second_decisions(record, key.practical))
    if so_far.is_handed_in:
        if _marks_of(_returned(key, marker, so_far)) != _marks_of(returned):
            problem = "this pack was handed in with other marks"
            raise InputError(returned.file, problem, "take the file away, or have the pack given back first")
        return False
    made: list[Decision] = []
    for script in returned.scripts:
        for criterion, marks in script.marks.items():
            if so_far.marks[script.code].get(criterion) != marks:
                number = so_far.numbers.get((script.code, criterion), 0) + 1
                slip = Slip(code=script.code, criterion=criterion, marks=marks, number=number)
                made.append(_mark(key, marker, maker, slip, returned.file))
        if script.remark != so_far.remarks.get(script.code, ""):
            cell = f"{pack_word(so_far.pack)}/{script.code}"
            number = so_far.numbers.get((script.code, ""), 0) + 1
            own = _shared(key, maker, number=number)
            made.append(SecondRemarkWritten(**own, cell=cell, text=script.remark, source=returned.file))
    end = PackHandedIn(
        **_shared(key, maker, number=so_far.number + 1),
        cell=pack_word(so_far.pack),
        marks=_hash_of(returned),
        source=returned.file,
    )
    record.add([*made, end])
    return True


def _open_pack(record: Record, key: Key, second_marker: str) -> Marked:
    so_far = marked_so_far(key, second_marker, second_decisions(record, key.practical))
    if so_far.is_handed_in:
        raise InputError(
            "the pack", "it is handed in, and its marks stand", "ask the head of department to give it back"
        )
    return so_far


def _shared(key: Key, maker: Maker, *, number: int) -> dict[str, Any]:
    if not maker.who.strip():
        raise InputError(key.practical, "a named person marks", "say who")
    return {
        "id": maker.fresh(),
        "who": maker.who,
        "when": maker.now(),
        "set": department_set(key.practical),
        "number": number,
        "edition": str(key.edition),
        "program": maker.program,
    }


def _marks_of(returned: Returned) -> dict[str, dict[str, int]]:
    return {script.code: dict(script.marks) for script in returned.scripts}


def _hash_of(returned: Returned) -> str:
    said = [[code, sorted(marks.items())] for code, marks in sorted(_marks_of(returned).items())]
    text = json.dumps([returned.pack, said], ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()

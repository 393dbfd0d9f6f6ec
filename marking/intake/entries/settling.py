"""From piles of entries to write-ups: whose is what, which of two entries counts, which unit was meant."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from marking.cells import AsRead, Entry, Located, Place, State
from marking.file_names import file_names
from marking.intake.entries.dashes import settle_dashes
from marking.intake.entries.entry_remarks import tell_blanks, tell_entry
from marking.intake.entries.missing_units import settle_units
from marking.intake.entries.piles import SINGLE, Pile, Sheaf, Slot
from marking.intake.entries.typed_ticks import read_ticks, without_ticks
from marking.intake.grids import Vocabulary, fold
from marking.intake.people import (
    ABSENT_WORDS,
    MARK_CODES,
    CodeBook,
    RosterIndex,
    code_key,
    codes_in_one,
    is_no_code,
    unlike_the_others,
)
from marking.intake.remarks import MAX_ALIKE, Notebook, quote
from marking.write_up import Student, Weight, WriteUp

_NUMBER_OF = "n"
"""In a row under a table of codes with figures: how many students there are."""
_LISTED_TEXTS = 12
"""Of one thing that stands again and again."""
_LISTED_ITEMS = 6


class _Handed(Struct, frozen=True):
    student: Student
    sheaf: Sheaf | None


def settle_part(
    pile: Pile, vocabulary: Vocabulary, index: RosterIndex | None, notebook: Notebook
) -> tuple[WriteUp, ...]:
    """Return the write-ups of one part of a large set, in order of first appearance; nobody is missing from a part.

    What is said of one student depends on that student alone, so that it is the same wherever the set is cut: codes
    stand as typed, since only the whole class could show that one is odd.
    """
    sheaves = _by_person(pile, index, notebook, as_typed=True)
    handed: list[_Handed] = []
    for sheaf in sheaves.values():
        student = index.find(sheaf.code) if index is not None else None
        if index is not None and student is None:
            _tell_strangers([sheaf], index, notebook)
        handed.append(_Handed(student or Student(code=sheaf.code, name=sheaf.name, bench=sheaf.bench), sheaf))
    return tuple(_write_up(one, vocabulary, notebook) for one in handed)


def settle(pile: Pile, vocabulary: Vocabulary, index: RosterIndex | None, notebook: Notebook) -> tuple[WriteUp, ...]:
    """Return the write-ups of a pile, in the order of the roster, then in order of first appearance."""
    sheaves = _by_person(pile, index, notebook)
    _tell_odd_codes(sheaves, index, notebook)
    if index is None:
        _tell_several(sheaves, notebook)
    handed: list[_Handed] = []
    if index is not None:
        handed += [_Handed(student, sheaves.pop(student.code, None)) for student in index.roster.students]
        _tell_strangers(list(sheaves.values()), index, notebook)
    handed += [
        _Handed(Student(code=sheaf.code, name=sheaf.name, bench=sheaf.bench), sheaf) for sheaf in sheaves.values()
    ]
    _tell_file_names(handed, notebook)
    return tuple(_write_up(one, vocabulary, notebook) for one in handed)


def _tell_odd_codes(sheaves: dict[str, Sheaf], index: RosterIndex | None, notebook: Notebook) -> None:
    """Take rows out that are no student's: a line of words with no entries. With entries, the teacher is asked."""
    empty = {code for code, sheaf in sheaves.items() if _is_empty(sheaf)}
    odd = {code for code in empty if is_no_code(code, sheaves.keys() - empty)}
    for code in sorted(unlike_the_others(sheaves) | odd):
        sheaf = sheaves[code]
        # A tidy line without an item says on purpose that somebody belongs to the class.
        if not (sheaf.entries or sheaf.row_places) or (index is not None and index.find(code) is not None):
            continue
        if fold(code) == _NUMBER_OF:
            del sheaves[code]
            said = f"the row of {quote(code)} is about the class and is no student; not marked"
            notebook.tell(Weight.NOTE, said, "If it is one, give the student a code", place=sheaf.place)
        elif code in empty:
            del sheaves[code]
            said = f"{quote(code)} is no code like the others, and there are no entries; passed over"
            mend = "If it is a student, give it a code like the others"
            notebook.tell(Weight.NOTE, said, mend, place=sheaf.place)
        elif index is None:  # of a stranger to the roster the teacher hears anyhow
            said = f"{quote(code)} is no code like the others; marked all the same"
            mend = "If it is no student, take the row out; if it is one, give it a code like the others"
            notebook.tell(Weight.QUERY, said, mend, place=sheaf.place, student=code)


def _is_empty(sheaf: Sheaf) -> bool:
    """Tell whether nothing at all stands under a code: no entry, no mark code, no word that its student was away."""
    is_blank = all(entry.state is State.BLANK for entry in sheaf.entries.values())
    return is_blank and not (sheaf.codes or sheaf.absent)


def _tell_several(sheaves: dict[str, Sheaf], notebook: Notebook) -> None:
    """Ask about a cell that holds the codes of several students: whose work it is, is not known."""
    for code, parts in codes_in_one(sheaves):
        said = f"{quote(code)} looks like the codes of {len(parts)} students; marked as one"
        mend = "Give each student a row of their own"
        notebook.tell(Weight.QUERY, said, mend, place=sheaves[code].place, student=code)


def _tell_file_names(handed: Sequence[_Handed], notebook: Notebook) -> None:
    # By the rule that the files are named by, so that none is called otherwise without a word.
    places = {one.student.code: one.sheaf.place if one.sheaf is not None else None for one in handed}
    for code, name in file_names(list(places)).items():
        if name == code:
            continue
        said = f"the code {quote(code)} cannot name a file on every system; the student's files are called {name}"
        notebook.tell(Weight.NOTE, said, place=places[code], file="roster", student=code, kind="file name")


def _by_person(
    pile: Pile, index: RosterIndex | None, notebook: Notebook, *, as_typed: bool = False
) -> dict[str, Sheaf]:
    people = _People(() if as_typed else pile.sheaves, notebook)
    for sheaf in pile.sheaves.values():
        student = index.find(sheaf.code) if index is not None else None
        code = student.code if student is not None else people.code_of(sheaf)
        if student is not None and code != sheaf.code:
            said = f"{quote(sheaf.code)} read as {code} of the roster"
            notebook.tell(Weight.NOTE, said, place=sheaf.place, student=code, kind="code of the roster")
        people.put(code, sheaf)
    return people.found


class _People:
    # Finds out, without a roster, which codes mean one student.
    def __init__(self, codes: Iterable[str], notebook: Notebook) -> None:
        self.found: dict[str, Sheaf] = {}
        self._by_key: dict[str, str] = {}
        self._book = CodeBook(codes)
        self._notebook = notebook

    def put(self, code: str, sheaf: Sheaf) -> None:
        if code in self.found:
            self.found[code].take(sheaf)
            return
        sheaf.code = code
        self.found[code] = sheaf
        self._by_key.setdefault(code_key(code), code)

    def code_of(self, sheaf: Sheaf) -> str:
        capital = self._book.capital_form(sheaf.code)
        if capital != sheaf.code:
            self._tell(sheaf, capital, f"read as {capital}, for the other codes are in capitals")
            return capital
        twin = self._by_key.get(code_key(sheaf.code), sheaf.code)
        if twin == sheaf.code:
            return sheaf.code
        if not self.found[twin].shares_slots_with(sheaf):
            self._tell(sheaf, twin, f"read as {quote(twin)}, from which it differs in form only")
            return twin
        first = self.found[twin].place.cell
        said = f"{quote(sheaf.code)} and {quote(twin)} ({first}) differ in form only; they are kept apart"
        mend = "If they are one student, give both rows one code; if not, give one of them another"
        self._notebook.tell(Weight.QUERY, said, mend, place=sheaf.place, student=sheaf.code)
        return sheaf.code

    def _tell(self, sheaf: Sheaf, code: str, said: str) -> None:
        mend = f"To avoid this, type {code}"
        self._notebook.tell(Weight.NOTE, f"{quote(sheaf.code)} {said}", mend, place=sheaf.place, student=code)


def _tell_strangers(sheaves: Sequence[Sheaf], index: RosterIndex, notebook: Notebook) -> None:
    if len(sheaves) > MAX_ALIKE:
        listed = ", ".join(quote(sheaf.code) for sheaf in sheaves[:MAX_ALIKE])
        said = f"{len(sheaves)} students are not in the roster ({listed} and more); marked all the same"
        mend = "Check that this is the right roster"
        notebook.tell(Weight.QUERY, said, mend, file=sheaves[0].place.file)
        return
    for sheaf in sheaves:
        nearest = index.nearest(sheaf.code)
        hint = f" (nearest: {nearest})" if nearest else ""
        said = f"{quote(sheaf.code)} is not in the roster{hint}; marked all the same"
        mend = "Correct the code, or add it to the roster"
        notebook.tell(Weight.QUERY, said, mend, place=sheaf.place, student=sheaf.code)


def _write_up(handed: _Handed, vocabulary: Vocabulary, notebook: Notebook) -> WriteUp:
    student, sheaf = handed.student, handed.sheaf
    practical = vocabulary.rubric.id
    if sheaf is None:
        return WriteUp(student=student, practical=practical, singles={}, columns={})
    plain = sheaf.plain()
    if plain is not None:
        return _plain_write_up(student, sheaf, plain, vocabulary, notebook)
    entries = _settle_doubles(student, sheaf, notebook)
    entries = settle_dashes(entries, vocabulary.rubric.items, student.code, notebook)
    entries = settle_units(entries, vocabulary)
    says_absent = _says_absent(entries)
    is_written = any(entry.state is not State.BLANK for entry in entries.values())
    student = _settle_person(student, sheaf, is_written, says_absent, notebook)
    if says_absent:
        entries = {}
    by_item: dict[str, dict[int, Entry]] = {}
    for (name, row), entry in entries.items():
        by_item.setdefault(name, {})[row] = entry
    singles: dict[str, Entry] = {}
    columns: dict[str, dict[int, Entry]] = {}
    for name, item in vocabulary.rubric.items.items():
        rows = by_item.get(name)
        if rows is None:
            continue
        if item.table is None:
            singles[name] = rows[SINGLE]
        else:
            columns[name] = rows = dict(sorted(rows.items()))
        for entry in rows.values():
            tell_entry(entry, student.code, item, notebook)
    tell_blanks(without_ticks(entries), vocabulary.rubric.items, student.code, notebook)
    singles, ticks = read_ticks(singles, vocabulary.rubric, student.code, notebook)
    return WriteUp(student=student, practical=practical, singles=singles, columns=columns, ticks=ticks)


def _plain_write_up(
    student: Student, sheaf: Sheaf, read: Mapping[str, AsRead[int]], vocabulary: Vocabulary, notebook: Notebook
) -> WriteUp:
    """Return the write-up of a student of whom nothing has to be settled but who it is: as ``_write_up`` would.

    No entry is made that the teacher is not told of.
    """
    is_written = any(entry.state is not State.BLANK for rows in read.values() for entry in rows.unplaced())
    student = _settle_person(student, sheaf, is_written, False, notebook)
    singles: dict[str, Located] = {}
    columns: dict[str, AsRead[int]] = {}
    column = None
    items = vocabulary.rubric.items
    for name in filter(read.__contains__, items):  # of which most are for ticks that nobody typed here
        item, rows = items[name], read[name]
        if item.table is None:
            singles[name] = rows.located(SINGLE)
            column = rows.column
        else:
            columns[name] = rows
        if sheaf.is_noted:
            for row, entry in zip(rows, rows.unplaced(), strict=True):
                if entry.notes:
                    tell_entry(rows[row], student.code, item, notebook)
    placed: Mapping[str, Entry] = {} if column is None else AsRead(singles, column)
    return WriteUp(student=student, practical=vocabulary.rubric.id, singles=placed, columns=columns)


def _says_absent(entries: Mapping[Slot, Entry]) -> bool:
    written = [entry for entry in entries.values() if entry.raw.strip()]
    return bool(written) and all(fold(entry.raw) in ABSENT_WORDS for entry in written)


def _settle_person(student: Student, sheaf: Sheaf, is_written: bool, says_absent: bool, notebook: Notebook) -> Student:
    absent = student.absent or sheaf.absent or says_absent
    if absent and is_written and not says_absent:
        said = "said to be absent, but there are entries; they are marked"
        notebook.tell(Weight.NOTE, said, "Correct whichever is wrong", place=sheaf.place, student=student.code)
        absent = False
    for other in [*sheaf.other_benches, *([sheaf.bench] if sheaf.bench else [])]:
        bench = student.bench or sheaf.bench
        if other != bench:
            said = f"bench {quote(other)} here, {quote(bench)} elsewhere; {quote(bench)} is used"
            notebook.tell(Weight.NOTE, said, place=sheaf.place, student=student.code, kind="bench")
    given = {*student.codes, *sheaf.codes}
    codes = tuple(code for code in MARK_CODES if code in given) if given else ()
    bench, name = student.bench or sheaf.bench, student.name or sheaf.name
    if (bench, name, absent, codes) == (student.bench, student.name, student.absent, student.codes):
        return student
    return replace(student, bench=bench, name=name, absent=absent, codes=codes)


def _settle_doubles(student: Student, sheaf: Sheaf, notebook: Notebook) -> dict[Slot, Entry]:
    if not sheaf.doubles:
        return sheaf.entries
    entries = dict(sheaf.entries)
    differing: list[tuple[Slot, list[Entry]]] = []
    for slot, more in sheaf.doubles.items():
        all_of_them = [entries[slot], *more]
        if len({(entry.raw.strip(), entry.unit_raw.strip()) for entry in all_of_them}) > 1:
            differing.append((slot, all_of_them))
            entries[slot] = _undecided(all_of_them)
            notebook.keep_quiet_about(entries[slot].place)  # told below, with the others
    first, again = _places(sheaf, entries)
    where = _some(list(dict.fromkeys(_from(first, place) for place in again)), ", ")
    if not differing:
        said = f"the same again in {where}; used once"
        notebook.tell(Weight.NOTE, said, place=first, student=student.code, kind="repeated")
        return entries
    texts = "; ".join(_both(slot, group) for slot, group in differing[:_LISTED_ITEMS])
    others = f" and {len(differing) - _LISTED_ITEMS} more" if len(differing) > _LISTED_ITEMS else ""
    said = f"stands again in {where}, and not the same: {texts}{others}; none of these is used"
    notebook.tell(Weight.QUERY, said, "Keep the right one and take the other out", place=first, student=student.code)
    return entries


def _places(sheaf: Sheaf, entries: dict[Slot, Entry]) -> tuple[Place, list[Place]]:
    # The code's own cells in a sheet with a row a student; else the cells of the entries themselves.
    if len(sheaf.row_places) > 1:
        return sheaf.row_places[0], sheaf.row_places[1:]
    slot, more = next(iter(sheaf.doubles.items()))
    return entries[slot].place, [entry.place for entry in more]


def _both(slot: Slot, group: list[Entry]) -> str:
    item, row = slot
    name = item if row == SINGLE else f"{item} in row {row}"
    first = group[0].place
    # Where only the units differ, they are what has to be seen.
    is_alike = len({entry.raw.strip() for entry in group}) == 1
    texts = [_with_unit(entry) if is_alike else entry.raw for entry in group]
    both = [f"{quote(text)} ({_from(first, entry.place)})" for text, entry in zip(texts, group, strict=True)]
    return f"{name} {_some(both, ' and ')}"


def _some(texts: list[str], between: str) -> str:
    """Return the first of many texts, and how many more there are: a cell may stand again a thousand times."""
    more = len(texts) - _LISTED_TEXTS
    return between.join(texts[:_LISTED_TEXTS]) + (f"{between}{more} more" if more > 0 else "")


def _with_unit(entry: Entry) -> str:
    return f"{entry.raw.strip()} {entry.unit_raw.strip()}".strip()


def _from(first: Place, place: Place) -> str:
    # As short as it can be said beside the first place: the cell, with its sheet and file where they differ.
    if place.file != first.file:
        return str(place)
    return place.cell if place.sheet == first.sheet else f"{place.sheet}!{place.cell}"


def _undecided(group: list[Entry]) -> Entry:
    texts = dict.fromkeys(map(_with_unit, group))
    first = group[0]
    return Entry(
        raw=_some(list(texts), " or "),
        unit_raw="",
        state=State.UNREADABLE,
        place=first.place,
        notes=("written more than once, and not the same",),
    )

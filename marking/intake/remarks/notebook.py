"""What the teacher is told of the input: gathered in order, and said once where it is the same everywhere."""

from __future__ import annotations

from collections import defaultdict

from msgspec import Struct, field
from msgspec.structs import replace

from marking.intake.numbers import show_text
from marking.write_up import Place, Remark, Weight

MAX_ALIKE = 8
"""More notes of one kind on one file than this are said in one: a page of them hides the one that matters."""
NOBODYS = "nobody's"
"""Kind of the queries about lines without a code: they concern no student, so that one may speak for many."""
_LISTED = 12


class Notebook(Struct):
    """Gathers remarks while files are read."""

    _remarks: list[tuple[str, Remark]] = field(default_factory=list)
    _quiet: set[Place] = field(default_factory=set)
    _quiet_kinds: set[tuple[str, str]] = field(default_factory=set)
    _told: set[tuple[str, str, str]] = field(default_factory=set)

    def keep_quiet_about(self, place: Place) -> None:
        """Say nothing of this cell later on, for what it is part of has been told as a whole."""
        self._quiet.add(place)

    def keep_quiet_about_all(self, kind: str, file: str) -> None:
        """Say nothing of this kind on this file later on, for it has been told of the file as a whole."""
        self._quiet_kinds.add((kind, file))

    def is_quiet_about(self, place: Place) -> bool:
        """Tell whether the cell has been told of as part of something larger."""
        return place in self._quiet

    def tell(
        self,
        weight: Weight,
        said: str,
        mend: str = "",
        *,
        file: str = "",
        sheet: str = "",
        place: Place | None = None,
        student: str = "",
        item: str = "",
        kind: str = "",
        once: str = "",
    ) -> None:
        """Add a remark.

        Args:
            weight: How much it matters.
            said: What was written and what it was taken for, as a clause without a full stop.
            mend: How to mend it, as a sentence without a full stop.
            file: The file it is about, where *place* does not say.
            sheet: The sheet of that file, where it is about one.
            place: The cell it is about.
            student: Code of the student it is about.
            item: Name of the item it is about.
            once: What is told once only of a student in a file, though every line of theirs has it.
            kind: What remarks that may be said in one have in common; empty for one that stands alone.
        """
        name = place.file if place is not None else file
        if (kind, name) in self._quiet_kinds:
            return
        if once:
            key = (once, student, name)
            if key in self._told:
                return
            self._told.add(key)
        where = str(place) if place is not None else f"{file}, {sheet}" if sheet else file
        who = f", {quote_code(student)}" if student else ""
        tail = f" {mend}." if mend else ""
        message = f"{where}{who}: {said}.{tail}"
        remark = Remark(weight=weight, file=name, message=message, student=student, item=item, place=place)
        self._remarks.append((kind, remark))

    def add(self, remark: Remark) -> None:
        """Add a remark that is whole already."""
        self._remarks.append(("", remark))

    def remarks(self) -> tuple[Remark, ...]:
        """Return everything told, in order; many notes of one kind on one file become one."""
        alike: dict[tuple[str, str], list[Remark]] = defaultdict(list)
        for kind, remark in self._remarks:
            if _may_be_one(kind, remark):
                alike[remark.file, kind].append(remark)
        told = []
        for kind, remark in self._remarks:
            group = alike.get((remark.file, kind), [])
            if not _may_be_one(kind, remark) or len(group) <= MAX_ALIKE:
                told.append(remark)
            elif remark is group[0]:
                told.append(_in_one(group))
        return tuple(told)


def _may_be_one(kind: str, remark: Remark) -> bool:
    return bool(kind) and (remark.weight is Weight.NOTE or kind == NOBODYS)


def quote(text: str) -> str:
    """Return *text* in quotes, cut and with hidden signs made visible."""
    return f'"{show_text(text)}"'


def quote_code(code: str) -> str:
    """Return a student's code as messages show it: cut where it is very long."""
    return show_text(code)


def _in_one(group: list[Remark]) -> Remark:
    cells = [remark.place.cell for remark in group[1:] if remark.place is not None]
    listed = ", ".join(cells[:_LISTED]) + (" and so on" if len(cells) > _LISTED else "")
    where = f": {listed}" if listed else ""
    message = f"{group[0].message} The same {len(group) - 1} more times{where}."
    return replace(group[0], message=message, student="", item="")

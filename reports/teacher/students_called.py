"""How a teacher's paper speaks of students: by name where the roster has names, else by code."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from marking.findings import MarkedSet
from reports.page import printable
from reports.wording import fill
from rubrics.formulas import listed

_LONGEST = 30
"""Characters of a name that still stands in a list."""
_NO_SIGN = "[U+"


class People:
    """The students of a set, and what each is called."""

    def __init__(self, marked: MarkedSet, *, by_name: bool = True) -> None:
        """Take the set, and whether names are used where there are any."""
        students = [script.write_up.student for script in marked.scripts]
        names = {student.code: printable(student.name) for student in students if student.name}
        often = Counter(names.values())
        # A code stands for a name that is too long or that the faces of this paper do not hold.
        self.names = {
            code: name if often[name] == 1 else f"{name} ({code})"
            for code, name in names.items()
            if by_name and len(name) <= _LONGEST and _NO_SIGN not in name
        }
        self.codes = tuple(student.code for student in students)

    def called(self, code: str) -> str:
        """Return what one student is called."""
        return self.names.get(code, code)

    def listed(self, codes: Sequence[str], most: int) -> str:
        """Return students as a list in prose, 'and 4 more' beyond *most*."""
        return listed([self.called(code) for code in codes], most=most)

    def with_codes(self, codes: Sequence[str], most: int) -> str:
        """Return students as such a list, with the code behind each name: for whoever looks for an empty row."""
        names = [self.called(code) for code in codes]
        pairs = zip(names, codes, strict=True)
        return listed(
            [name if name == code or name.endswith(f"({code})") else f"{name} ({code})" for name, code in pairs], most
        )

    def with_each(self, template: str, pairs: Iterable[tuple[str, str]]) -> str:
        """Return students each with a value, filled into *template*; nobody is left out."""
        said = [fill([template], {"who": self.called(code), "value": value}) for code, value in pairs]
        return listed(said, most=len(said) or 1)

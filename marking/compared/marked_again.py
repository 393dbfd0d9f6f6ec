"""One criterion marked again for everybody of a class, beside what it came to before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from marking.findings import MarkedSet


class MarkedAgain(Struct, frozen=True, kw_only=True):
    """One student's mark for one criterion, before and now."""

    class_name: str
    marker: str
    student: str
    practical: str
    criterion: str
    before: int | None
    """None where no results are known, or a teacher had not decided yet."""
    now: int | None
    """None where a teacher decides."""
    out_of: int

    @property
    def is_other(self) -> bool:
        """Tell whether both marks are known and differ."""
        return None not in (self.before, self.now) and self.before != self.now


def marked_again(
    marked: MarkedSet, criterion: str, class_name: str, marker: str, before: Mapping[str, int | None]
) -> Iterator[MarkedAgain]:
    """Yield what *criterion* comes to now for everybody who handed something in; *before* has marks by student."""
    for script in marked.scripts:
        code = script.write_up.student.code
        for mark in script.criteria:
            if mark.criterion.code == criterion:
                yield MarkedAgain(
                    class_name=class_name,
                    marker=marker,
                    student=code,
                    practical=marked.rubric.id,
                    criterion=criterion,
                    before=before.get(code),
                    now=mark.marks,
                    out_of=mark.criterion.marks,
                )

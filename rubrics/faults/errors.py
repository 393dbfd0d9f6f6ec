"""What can go wrong before any mark is given, by who can mend it.

A wrong answer of a student is never an exception, and a broken file is never a finding.
"""

from __future__ import annotations

from msgspec import Struct


class WriteupsError(Exception):
    """Base of everything the program raises on purpose; its text is fit for a teacher to read."""


class InputError(WriteupsError, ValueError):
    """A file that cannot be marked; the teacher can mend it.

    Attributes:
        file: Name of the file, without its folder.
        problem: What is wrong, in one clause.
        mend: What to do about it, in one clause.
    """

    def __init__(self, file: str, problem: str, mend: str) -> None:
        """Keep the facts apart, so that a report may show them in columns."""
        super().__init__(file, problem, mend)
        self.file = file
        self.problem = problem
        self.mend = mend

    def __str__(self) -> str:
        """Return place, problem and mending in one line."""
        return f"{self.file}: {self.problem}. {self.mend[:1].upper()}{self.mend[1:]}."


class UnitError(WriteupsError, ValueError):
    """A unit in a rubric that is no unit of ours; its author can mend it."""


class FormulaError(WriteupsError, ValueError):
    """A formula in a rubric that does not parse, or whose dimensions do not fit."""


class Fault(Struct, frozen=True, kw_only=True):
    """One fault of a rubric file."""

    file: str
    line: int
    """Counted from 1; 0 where the file has no line for it (a missing key of the top level)."""
    problem: str
    mend: str
    place: str = ""
    """Sheet and cell, where the rubric is a workbook: 'items!C4'."""

    def __str__(self) -> str:
        """Return place, problem and mending in one line."""
        place = self.place or (f"line {self.line}" if self.line else "")
        return f"{self.file}{', ' if place else ''}{place}: {self.problem}: {self.mend}."


class RubricError(WriteupsError, ValueError):
    """A rubric that cannot be used; every fault found in it, in order of line.

    Attributes:
        faults: All faults of the file, so that its author mends them in one go.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        """Keep the faults; the text is made when it is asked for."""
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        """Return one line a fault."""
        return "\n".join(str(fault) for fault in self.faults)

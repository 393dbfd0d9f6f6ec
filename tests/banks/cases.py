"""The cases of the examiner's banks, and what became of each on the real path: entries in, marks out."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from pathlib import Path

from marking.findings import Outcome, Script
from tests.checking.rows import mark_class

FOLDER = Path(__file__).parent
WORDS = {Outcome.AWARDED: "award", Outcome.WITHHELD: "withhold", Outcome.FOR_TEACHER: "look"}
"""How the banks speak of outcomes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BankCase:
    """One write-up, as far as it matters."""

    id: str
    practical: str
    kind: str
    """right, half or wrong."""
    reason: str
    """The arithmetic, and why the outcome is fair."""
    entries: str
    """Lines ``item,row,entry,unit``."""
    fair: Mapping[str, tuple[str, ...]]
    """Criterion to the outcomes that an examiner would accept: award, withhold, look."""
    cause: Mapping[str, str]
    """Criterion to the one cause that arithmetic alone can tell, or 'unknown'."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What became of one criterion of a case."""

    case: BankCase
    criterion: str
    outcome: str
    """award, withhold or look."""
    said: tuple[str, ...]
    """Reason, item, row, entry, expected and cause of its findings, for the message of a failed test."""
    causes: tuple[tuple[str, float], ...]
    """Cause and how sure, of each finding that was withheld."""

    @property
    def is_fair(self) -> bool:
        """Tell whether an examiner would accept the outcome."""
        return self.outcome in self.case.fair[self.criterion]


def bank_files() -> list[Path]:
    """Return the banks, in the order of their names."""
    return sorted(FOLDER.glob("examiner_*.toml"))


@cache
def bank_cases() -> tuple[BankCase, ...]:
    """Return the cases of all banks."""
    return tuple(case for file in bank_files() for case in _read(file))


def _read(file: Path) -> Iterator[BankCase]:
    for case in tomllib.loads(file.read_text(encoding="utf-8"))["case"]:
        yield BankCase(
            id=case["id"],
            practical=case["practical"],
            kind=case["kind"],
            reason=case["reason"],
            entries=case["entries"],
            fair={code: tuple(words.split("/")) for code, words in case["fair"].items()},
            cause=case.get("cause", {}),
        )


def verdicts(cases: Sequence[BankCase]) -> list[Verdict]:
    """Return what becomes of every criterion that the cases speak of, each case marked alone."""
    found: list[Verdict] = []
    for practical, group in groupby(sorted(cases, key=lambda case: case.practical), key=lambda case: case.practical):
        for case in group:
            (script,) = mark_class(practical, {case.id: case.entries}).scripts
            found += [_verdict(case, code, script) for code in case.fair]
    return found


@cache
def together(practical: str) -> Mapping[str, tuple[Verdict, ...]]:
    """Return what becomes of the cases of one practical, by id, all of them marked as one class."""
    cases = [case for case in bank_cases() if case.practical == practical]
    scripts = mark_class(practical, {case.id: case.entries for case in cases}).scripts
    by_code = {script.write_up.student.code: script for script in scripts}
    return {case.id: tuple(_verdict(case, code, by_code[case.id]) for code in case.fair) for case in cases}


def _verdict(case: BankCase, code: str, script: Script) -> Verdict:
    marks = {mark.criterion.code: mark for mark in script.criteria}
    findings = [finding for finding in script.findings if finding.criterion == code]
    return Verdict(
        case=case,
        criterion=code,
        outcome=WORDS[marks[code].outcome] if code in marks else "absent",
        said=tuple(
            f"{f.reason} {f.item} {f.row or ''} {f.entry!r} {f.unit!r} expected {f.expected} {f.cause}"
            for f in findings
        ),
        causes=tuple((str(f.cause), f.confidence) for f in findings if f.outcome is Outcome.WITHHELD),
    )

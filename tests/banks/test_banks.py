"""Every case of the examiner's banks, marked on the real path, comes out as an examiner would accept."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from itertools import chain

import pytest

from marking.findings import Outcome
from tests.banks.cases import FOLDER, BankCase, Verdict, bank_cases, bank_files, together, verdicts
from tests.checking.rows import mark_class

SURE = 0.8
"""From here on a cause is named with confidence."""


def known() -> Mapping[str, str]:
    """Return the disagreements that are known, with their reasons."""
    listed = tomllib.loads((FOLDER / "known.toml").read_text(encoding="utf-8"))
    return dict(chain.from_iterable(part.items() for part in listed.values()))


def told(verdict: Verdict) -> str:
    """Return a verdict for the message of a failed test."""
    fair = "/".join(verdict.case.fair[verdict.criterion])
    said = "; ".join(verdict.said)
    return f"{verdict.case.id} {verdict.criterion}: {verdict.outcome}, fair is {fair} ({verdict.case.reason}) {said}"


def test_banks_are_whole() -> None:
    """Ids are unique, every case judges something, and every kind of case is there."""
    cases = bank_cases()
    assert len({case.id for case in cases}) == len(cases)
    assert all(case.fair and case.reason for case in cases)
    assert {case.kind for case in cases} == {"right", "half", "wrong"}
    assert len(bank_files()) >= 4


@pytest.mark.parametrize("case", bank_cases(), ids=lambda case: case.id)
def test_outcome_is_fair(case: BankCase) -> None:
    """Right answers are awarded, wrong ones are not, and only what is unclear waits."""
    allowed = known()
    found = together(case.practical)[case.id]
    unfair = [one for one in found if not one.is_fair and f"{case.id} {one.criterion}" not in allowed]
    assert [told(one) for one in unfair] == []


def test_known_disagreements_are_of_cases_that_exist() -> None:
    """A disagreement that is written down belongs to a criterion that a case judges."""
    judged = {f"{case.id} {code}" for case in bank_cases() for code in case.fair}
    assert set(known()) <= judged


def test_nothing_is_known_that_is_awarded_wrongly_or_withheld_wrongly() -> None:
    """What is still open waits for the teacher: no right answer is withheld, and no wrong one ticked."""
    listed = tomllib.loads((FOLDER / "known.toml").read_text(encoding="utf-8"))["open"]
    cases = {case.id: case for case in bank_cases()}
    for line in listed:
        name, code = line.split(" ")
        (verdict,) = [one for one in verdicts([cases[name]]) if one.criterion == code]
        assert verdict.is_fair or verdict.outcome == "look", told(verdict)


@pytest.mark.campaign
def test_marks_of_a_case_do_not_depend_on_the_others() -> None:
    """Each case of a practical, marked in one class with all of them, comes to what it comes to alone."""
    by_practical: dict[str, dict[str, str]] = {}
    for case in bank_cases():
        by_practical.setdefault(case.practical, {})[case.id] = case.entries
    for practical, write_ups in by_practical.items():
        for script in mark_class(practical, write_ups).scripts:
            code = script.write_up.student.code
            (alone,) = mark_class(practical, {code: write_ups[code]}).scripts
            assert _outcomes(script) == _outcomes(alone), code


def _outcomes(script: object) -> list[tuple[str, Outcome, int | None]]:
    return [(one.criterion.code, one.outcome, one.marks) for one in script.criteria]  # type: ignore[attr-defined]

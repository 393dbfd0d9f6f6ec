"""Names of the students' files, and what is said where they are not the codes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.file_names import file_names
from tests.intake.class_files import read_tidy, told


@given(st.lists(st.text(min_size=1), unique=True, max_size=20))
def test_file_names_are_safe_and_never_shared(codes: list[str]) -> None:
    """Any codes get names that every system takes as different plain files."""
    names = file_names(codes)
    assert names.keys() == set(codes)
    assert len({name.casefold() for name in names.values()}) == len(codes)
    for name in names.values():
        assert Path(name).name == name
        assert name.isascii()
        assert 0 < len(name) < 60
        assert name[0] not in "-."


@pytest.mark.parametrize("code", ["S1", "10A-07", "ada_k", "7"])
def test_a_plain_code_is_its_own_file_name(code: str) -> None:
    """A teacher finds the sheet of a student under the student's code."""
    assert file_names([code]) == {code: code}


@pytest.mark.parametrize(
    "code", ["../A01", "a/b", "A01.", "CON", "com1", "LPT¹", "a" * 41, "A:1", "10B 07", "Zoë", "-rf"]
)
def test_a_code_that_some_system_refuses_is_not_its_own_file_name(code: str) -> None:
    """Paths, points, spaces, other letters, names that a system keeps for itself, and what is too long."""
    assert file_names([code])[code] != code


@given(
    st.lists(
        st.text("abAB1 ./é_-", min_size=1, max_size=4).filter(str.strip), unique_by=str.strip, min_size=1, max_size=4
    )
)
@settings(deadline=None, max_examples=30)
def test_who_is_renamed_is_told(codes: list[str]) -> None:
    """Every code that came out of the reading and names no file as it is has a note with the name, and no other."""
    found = read_tidy([(code, "m", "", "998", "g") for code in codes])
    names = file_names([work.student.code for work in found.write_ups])
    said = [message for _, message in told(found) if "cannot name a file" in message]
    assert len(said) == sum(code != name for code, name in names.items())
    assert all(any(name in message for message in said) for code, name in names.items() if code != name)

"""On which line of a rubric file a key stands."""

from __future__ import annotations

import tomllib

import pytest

from rubrics.faults.key_lines import Key, key_lines, line_of

TEXT = """format = 1
# [not.a.table]

[readings.m]
quantity = "mass"   # a = b
[ readings . V ]
unit = "cm³"
"quoted" = 1
[[criteria]]
code = "A"
[[criteria]]
code = "B"
award = { 1 = 2, 2 = 3 }
[criteria.more]
x = [
    "one = two",
    3,
]
[result]
a.b = 1
[[result.accepted]]
name = "x"
[[result.accepted]]
name = "y"
"""


@pytest.mark.parametrize(
    ("key", "line"),
    [
        (("format",), 1),
        (("readings", "m"), 4),
        (("readings", "m", "quantity"), 5),
        (("readings", "V"), 6),
        (("readings", "V", "unit"), 7),
        (("readings", "V", "quoted"), 8),
        (("criteria", 0), 9),
        (("criteria", 0, "code"), 10),
        (("criteria", 1), 11),
        (("criteria", 1, "code"), 12),
        (("criteria", 1, "award"), 13),
        (("criteria", 1, "more", "x"), 15),
        (("result", "a", "b"), 20),
        (("result", "accepted", 0, "name"), 22),
        (("result", "accepted", 1), 23),
        (("result", "accepted", 1, "name"), 24),
    ],
)
def test_key_is_found_on_its_line(key: Key, line: int) -> None:
    """Every table and key of a file is found on the line where it stands, counted from 1."""
    assert key_lines(TEXT)[key] == line


@pytest.mark.parametrize(
    ("key", "line"),
    [
        (("criteria", 1, "award", "2"), 13),
        (("criteria", 1, "more", "x", 0), 15),
        (("readings", "m", "missing"), 4),
        (("criteria", 7, "code"), 0),
        (("nowhere",), 0),
        ((), 0),
    ],
)
def test_missing_key_is_told_at_what_holds_it(key: Key, line: int) -> None:
    """A key without a line of its own is told at the nearest thing that holds it, else at line 0."""
    assert line_of(key, key_lines(TEXT)) == line


def test_every_top_level_key_of_the_parsed_file_has_a_line() -> None:
    """Whatever the standard reader finds at the top of a file, the line finder finds too."""
    lines = key_lines(TEXT)
    for name, value in tomllib.loads(TEXT).items():
        keys = [(name,)] if not isinstance(value, dict | list) else []
        assert all(key in lines for key in keys)
        assert any(key[0] == name for key in lines)


def test_tables_inside_a_list_have_lines_of_their_own() -> None:
    """A fault in the second of several tables in brackets is told on its line."""
    lines = key_lines('criteria = [\n    { code = "A" },\n\n    { code = "B" },\n]\n[q]\nideas = [\n  { id = "x" },\n]')
    assert [lines[key] for key in (("criteria", 0), ("criteria", 1), ("q", "ideas", 0))] == [2, 4, 8]

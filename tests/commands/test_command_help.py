from __future__ import annotations

import time

import pytest

from marking.__main__ import EXAMPLES, VERBS
from tests.commands.running import run, run_python

HEAVY = ("numpy", "pandas", "openpyxl", "pint", "reportlab", "pydantic", "scipy", "xlsxwriter")
HELP_SECONDS = 0.5
"""The promise is 0.2 s; the rest is for a machine that is busy with something else."""
CALLS = [["--help"], *([verb, "--help"] for verb in VERBS)]


@pytest.mark.parametrize("call", CALLS, ids=" ".join)
def test_help_is_there_at_once(call: list[str]) -> None:
    """Help of the program and of every verb comes before anybody has to wait."""
    seconds = []
    for _ in range(3):
        start = time.perf_counter()
        done = run(*call)
        seconds.append(time.perf_counter() - start)
        assert done.status == 0
        assert done.err == ""
    assert min(seconds) < HELP_SECONDS


@pytest.mark.parametrize("call", CALLS, ids=" ".join)
def test_help_loads_no_heavy_library(call: list[str]) -> None:
    """Whoever only asks for help does not wait for arrays, workbooks or PDFs."""
    code = f"""
import sys
from marking.__main__ import main
try:
    main({call!r})
except SystemExit as end:
    assert end.code == 0
print("loaded:", sorted(set(sys.modules) & set({HEAVY!r})))
"""
    assert run_python("-c", code).out.splitlines()[-1] == "loaded: []"


@pytest.mark.parametrize("verb", VERBS)
def test_help_shows_a_worked_example(verb: str) -> None:
    """The help of each verb shows a whole command that can be typed as it stands, and says what it does."""
    words = " ".join(run(verb, "--help").out.split())
    assert f"example: {EXAMPLES[verb]}" in words
    assert VERBS[verb][1:] in words


def test_every_verb_has_an_example() -> None:
    """No verb is forgotten, and no example is left over from a verb that is gone."""
    assert EXAMPLES.keys() == VERBS.keys()

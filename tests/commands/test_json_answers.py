"""What a verb says, a script can read."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.running import ROOT, SAMPLES, run_here
from tests.commands.tidy_class import write_class

ROSTER = str(SAMPLES / "titration" / "roster.csv")
CALLS: dict[str, tuple[Callable[[Path], list[str]], str]] = {
    "catalogue": (lambda _: ["catalogue", "titration"], "criteria"),
    "prepare": (lambda p: ["prepare", "titration", "--roster", ROSTER, "--out", str(p / "10A.xlsx")], "written"),
    "a new practical": (lambda p: ["prepare", "--new", "hot tea", "--out", str(p / "tea.toml")], "started_from"),
    "mark": (lambda p: ["mark", str(write_class(p / "10A.csv", ["S1"])), "--out", str(p / "results")], "attention"),
    "explain": (lambda p: ["explain", str(write_class(p / "10A.csv", ["S1"])), "S1", "V1"], "sections"),
    "rubric-check": (lambda _: ["rubric-check", str(ROOT / "rubrics" / "catalogue" / "titration.toml")], "criteria"),
}


@pytest.mark.parametrize(("call", "key"), CALLS.values(), ids=CALLS.keys())
def test_json_is_all_that_is_printed(call: Callable[[Path], list[str]], key: str, tmp_path: Path) -> None:
    """One value on standard output, with what the verb is about in it."""
    done = run_here(*call(tmp_path), "--json")
    assert done.status in (0, 1), done.err
    assert key in json.loads(done.out)


def test_explain_tells_a_script_who_decided(tmp_path: Path) -> None:
    """A tick is told with its cell; a mark that waits has nobody."""
    file = write_class(tmp_path / "10A.csv", ["S1", "S2"])
    with file.open("a", encoding="utf-8") as stream:
        stream.write("S1,1,specific-heat-block,tick V1,,1,\n")
    told = [json.loads(run_here("explain", str(file), who, "V1", "--json").out) for who in ("S1", "S2")]
    assert [one["marks"] for one in told] == [1, None]
    assert told[0]["decided"]["source"].startswith("10A.csv")
    assert told[1]["decided"] is None

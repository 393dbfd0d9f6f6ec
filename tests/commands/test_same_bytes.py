from __future__ import annotations

import os
import resource
import time
from pathlib import Path

import pytest

from tests.commands.running import SAMPLES, files_in, run

ONE_PLACE = {"LC_ALL": "C.UTF-8", "TZ": "UTC", "PYTHONHASHSEED": "0"}
OTHER_PLACE = {
    "LC_ALL": "C",
    "LANG": "C",
    "PYTHONUTF8": "0",
    "PYTHONCOERCECLOCALE": "0",
    "TZ": "Asia/Kathmandu",
    "PYTHONHASHSEED": "4711",
    "COLUMNS": "40",
    "OPENBLAS_NUM_THREADS": "2",
}
"""As unlike as this machine offers: plain ASCII, a time zone with odd minutes, another order of sets."""
CLASS_SECONDS = 5.0
"""Of the processor, so that a machine that is busy with something else is forgiven; the promise is 3 s."""


@pytest.mark.parametrize(
    "sample",
    [
        "wire-resistance",
        pytest.param("iv-characteristic", marks=pytest.mark.campaign),
        pytest.param("density-displacement-each", marks=pytest.mark.campaign),
    ],
)
def test_same_input_same_bytes(sample: str, tmp_path: Path) -> None:
    """Another locale, time zone, folder, second and order of sets change no byte of any file."""
    first = run("mark", str(SAMPLES / sample), "--out", str(tmp_path / "one"), env=ONE_PLACE)
    time.sleep(1.1)  # so that no clock, not even one that counts seconds, shows the same
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    path = os.path.relpath(SAMPLES / sample, elsewhere)
    second = run("mark", path, "--out", "two", cwd=elsewhere, env=OTHER_PLACE)
    assert first.status == second.status in (0, 1), second.err
    one, two = files_in(tmp_path / "one"), files_in(elsewhere / "two")
    assert one.keys() == two.keys()
    assert [name for name in one if one[name] != two[name]] == []


def test_prepared_sheets_have_the_same_bytes(tmp_path: Path) -> None:
    """Blank workbooks too are the same wherever they are made."""
    roster = str(SAMPLES / "wire-resistance" / "roster.csv")
    for name, env in (("one", ONE_PLACE), ("two", OTHER_PLACE)):
        (tmp_path / name).mkdir()
        folder = tmp_path / name
        call = ["prepare", "wire-resistance", "--roster", roster]
        assert run(*call, "--out", str(folder / "10A.xlsx"), "--each", str(folder / "each"), env=env).status == 0
        time.sleep(1.1)
    assert files_in(tmp_path / "one") == files_in(tmp_path / "two")


@pytest.mark.parametrize("sample", ["wire-resistance", "resistor-combinations"])
def test_a_class_is_marked_while_one_waits(sample: str, tmp_path: Path) -> None:
    """The main job on a class of 30, from the command to the last PDF, takes seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    run("mark", str(SAMPLES / sample), "--out", str(tmp_path / "results"))
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before < CLASS_SECONDS

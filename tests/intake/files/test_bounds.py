"""Hostile and huge files: read or refused within bounds of time and memory, told in one line."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.intake.files.hostile import HOSTILE, write

_READER = """
import json, resource, sys, time
from pathlib import Path
from marking.intake import read_inputs
from rubrics.faults import InputError
from rubrics.load import load_catalogue
catalogue = load_catalogue()
practical = "wire-resistance" if sys.argv[1].endswith(".csv") else "specific-heat-block"
begun = time.process_time()
try:
    sets = read_inputs([Path(sys.argv[1])], catalogue, practical=practical)
    told = [remark.message for one in sets for remark in one.remarks]
    rows = [len(column) for one in sets for work in one.write_ups for column in work.columns.values()]
    students = sum(len(s.write_ups) for s in sets)
except InputError as error:
    told, rows, students = [str(error)], [], -1
took = time.process_time() - begun
# The high-water mark of this program alone: what getrusage tells counts the process that started it, too.
peak = int(next(l for l in open("/proc/self/status") if l.startswith("VmHWM")).split()[1]) / 1024
found = {"took": took, "peak": peak, "students": students, "told": told[:50], "count": len(told), "rows": rows}
print(json.dumps(found))
"""
_SECONDS, _MEGABYTES = 60, 1000
_SECONDS_TO_REFUSE, _MEGABYTES_TO_REFUSE = 2, 300
_SLACK = 2
"""The machine of the tests may be half as fast as the one that the bounds were set for."""

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="limits of a process are set the POSIX way")


def _limit() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (3 * 1024**3, 3 * 1024**3))


@pytest.mark.parametrize("name", HOSTILE)
def test_nothing_takes_a_reader_beyond_its_bounds(name: str, tmp_path: Path) -> None:
    """2 s and 300 MB to refuse, 60 s and 1 GB to read, whatever is in the file."""
    command = [sys.executable, "-c", _READER, str(write(name, tmp_path))]
    done = subprocess.run(command, capture_output=True, text=True, timeout=150, preexec_fn=_limit, check=True)
    found = json.loads(done.stdout)
    is_refused = found["students"] < 0
    assert found["took"] < (_SECONDS_TO_REFUSE if is_refused else _SECONDS) * _SLACK
    assert found["peak"] < (_MEGABYTES_TO_REFUSE if is_refused else _MEGABYTES)
    assert found["count"] < 2000
    assert all(rows <= 200 for rows in found["rows"])
    if is_refused:
        (line,) = found["told"]
        assert line.startswith(name.partition(".")[0])
    else:
        assert found["students"] <= 1

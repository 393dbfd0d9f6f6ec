"""Several processes, and several machines: the same bytes as one, and one clear line where one is lost."""

from __future__ import annotations

import argparse
import contextlib
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from marking.commands.written_results import LONGEST, PAYS_FROM, fewest_in, hands_for
from tests.benchmarks.huge_sets import write_huge
from tests.commands.running import ROOT, Run, files_in, heeds_interrupts, run
from tests.many.large_files import lines_of, mark, write_lines

STUDENTS = 1_000
"""Four parts, two of which are laid out together."""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A large set."""
    return write_lines(tmp_path_factory.mktemp("large") / "set.csv", lines_of(STUDENTS))


@pytest.fixture(scope="module")
def alone(large: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What one process makes of it."""
    out = tmp_path_factory.mktemp("alone") / "results"
    assert mark(large, out, "--workers", "1").status in (0, 1)
    return files_in(out)


def test_two_processes_write_the_same_bytes(large: Path, alone: dict[str, bytes], tmp_path: Path) -> None:
    """The account of the run, too, does not know how many there were."""
    done = run("mark", str(large), "--out", str(tmp_path / "results"), "--no-paper", "--workers", "2")
    assert done.status in (0, 1), done.err
    assert files_in(tmp_path / "results") == alone


def started(large: Path, out: Path, *, paper: bool = False) -> subprocess.Popen[str]:
    """Start marking with two processes."""
    words = [sys.executable, "-m", "marking", "mark", str(large), "--out", str(out), "--workers", "2"]
    words += [] if paper else ["--no-paper"]
    return subprocess.Popen(
        words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, preexec_fn=heeds_interrupts
    )


def helpers_of(process: subprocess.Popen[str]) -> list[int]:
    """Wait until a process has started another that helps it; return its number in a list."""
    for _ in range(1200):
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        found = [int(one) for one in children if b"spawn_main" in Path(f"/proc/{one}/cmdline").read_bytes()]
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError("no helper was started")


@pytest.mark.campaign
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks for processes where Linux lists them")
@pytest.mark.parametrize("what", ["worker killed", "Ctrl-C", "killed"])
def test_an_end_from_outside_is_one_line_and_nothing_half_written(what: str, large: Path, tmp_path: Path) -> None:
    """A worker that is killed, a Ctrl-C, the program killed: no results, no process and nothing else left behind."""
    is_ended(started(large, tmp_path / "results"), what, tmp_path / "results")


def is_ended(process: subprocess.Popen[str], what: str, out: Path) -> None:
    """End a run from outside; see that it says so and leaves nothing."""
    helpers = helpers_of(process)
    if what == "worker killed":
        os.kill(helpers[0], signal.SIGKILL)
    else:
        process.send_signal(signal.SIGINT if what == "Ctrl-C" else signal.SIGKILL)
    _, said = process.communicate(timeout=100)
    assert not out.exists()
    if what != "killed":
        assert process.returncode == 2
        assert len(said.strip().splitlines()) == 1, said
    for _ in range(400):
        if not any(Path(f"/proc/{one}").exists() for one in helpers):
            break
        time.sleep(0.05)
    assert not any(Path(f"/proc/{one}").exists() for one in helpers)


@contextlib.contextmanager
def local_cluster() -> Iterator[tuple[str, object]]:
    """Give a scheduler with two workers on this machine."""
    distributed = pytest.importorskip("distributed")
    before = os.environ.get("PYTHONPATH")
    os.environ["PYTHONPATH"] = str(ROOT)
    try:
        with (
            distributed.LocalCluster(
                n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None, silence_logs=50
            ) as cluster,
            distributed.Client(cluster, set_as_default=False) as client,
        ):
            yield cluster.scheduler_address, client
    finally:
        if before is None:
            os.environ.pop("PYTHONPATH")
        else:
            os.environ["PYTHONPATH"] = before


@pytest.mark.campaign
def test_a_cluster_that_loses_a_worker_comes_to_the_same_bytes(
    large: Path, alone: dict[str, bytes], tmp_path: Path
) -> None:
    """One of two workers is killed while it has parts to mark."""
    found: list[Run] = []
    with local_cluster() as (address, client):
        words = ("mark", str(large), "--out", str(tmp_path / "results"), "--no-paper", "--cluster", address)
        marking = threading.Thread(target=lambda: found.append(run(*words)))
        numbers = client.run(os.getpid)
        marking.start()
        killed = False
        while marking.is_alive() and not killed:
            at_work = sorted(worker for worker, tasks in client.processing().items() if tasks)
            if at_work:
                os.kill(numbers[at_work[0]], signal.SIGKILL)
                killed = True
            time.sleep(0.005)
        marking.join()
    assert killed, (found[0].status, found[0].err)
    assert found[0].status in (0, 1), found[0].err
    assert files_in(tmp_path / "results") == alone


def test_where_no_scheduler_answers_one_line_says_so(large: Path, tmp_path: Path) -> None:
    """Nothing is written."""
    pytest.importorskip("distributed")
    done = mark(large, tmp_path / "results", "--cluster", "nonsense://nowhere:1")
    assert done.status == 2
    assert "no scheduler answers there" in done.err
    assert not (tmp_path / "results").exists()


def test_a_cluster_and_paper_do_not_go_together(large: Path, tmp_path: Path) -> None:
    """Said before anything is read."""
    done = run("mark", str(large), "--out", str(tmp_path / "results"), "--cluster", "tcp://127.0.0.1:8786")
    assert done.status == 2
    assert "--no-paper" in done.err


@pytest.mark.campaign
def test_parquet_in_and_out(large: Path, alone: dict[str, bytes], tmp_path: Path) -> None:
    """A tidy table in Parquet comes to the same marks; findings in Parquet are those of the CSV."""
    arrow = pytest.importorskip("pyarrow")
    from pyarrow import csv, parquet

    text = csv.ConvertOptions(
        column_types={name: arrow.string() for name in ("student", "bench", "practical", "item", "entry", "unit")},
        strings_can_be_null=False,
    )
    path = tmp_path / "set.parquet"
    parquet.write_table(csv.read_csv(large, convert_options=text), path)
    assert mark(path, tmp_path / "results", "--parquet").status in (0, 1)
    written = files_in(tmp_path / "results")
    assert written["marks.csv"] == alone["marks.csv"]
    table = parquet.read_table(tmp_path / "results" / "findings.parquet")
    assert table.num_rows == alone["findings.csv"].count(b"\nS") + 0
    assert table.column("student")[0].as_py() == "S00000"
    numbers = tmp_path / "numbers.parquet"
    table = parquet.read_table(path)
    parquet.write_table(table.set_column(5, "entry", arrow.array([1.5] * table.num_rows)), numbers)
    done = mark(numbers, tmp_path / "other")
    assert done.status == 2
    assert "write it as text" in done.err.lower()


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A year group's two practicals: write-ups enough to be shared out."""
    return write_huge(tmp_path_factory.mktemp("year") / "year.csv", 100, ("specific-heat-block", "density-cuboid"), 50)


@pytest.mark.campaign
def test_sheets_of_several_processes_have_the_same_bytes(year: Path, tmp_path: Path) -> None:
    """Every file of a set with paper is the same, whoever marked and set it."""
    found = []
    for workers in ("1", "2", "3"):
        done = run("mark", str(year), "--out", str(tmp_path / workers), "--workers", workers)
        assert done.status in (0, 1), done.err
        found.append(files_in(tmp_path / workers))
    assert found[0] == found[1] == found[2]


@pytest.mark.campaign
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks for processes where Linux lists them")
@pytest.mark.parametrize("what", ["worker killed", "Ctrl-C", "killed"])
def test_an_end_from_outside_leaves_no_sheet(what: str, year: Path, tmp_path: Path) -> None:
    """The same with paper."""
    is_ended(started(year, tmp_path / "results", paper=True), what, tmp_path / "results")


def test_a_class_starts_no_process(tmp_path: Path) -> None:
    """Whatever is asked for: to start one would take longer than the class."""
    arguments = argparse.Namespace(workers=2, no_paper=False)
    with ExitStack() as until:
        assert hands_for(arguments, until, 30) is None
        assert hands_for(arguments, until, PAYS_FROM - 1) is None
        assert hands_for(arguments, None, PAYS_FROM) is None
        assert hands_for(argparse.Namespace(workers=1, no_paper=False), until, PAYS_FROM) is None
        assert hands_for(argparse.Namespace(workers=2, no_paper=True), until, PAYS_FROM) is None
        assert hands_for(arguments, until, PAYS_FROM) is not None
    table = tmp_path / "set.csv"
    table.write_bytes(b"x" * (LONGEST * 7 + 1))
    assert fewest_in([table, tmp_path, tmp_path / "none.csv"]) == 7

"""What the program wrote, as frames: texts stay texts, an undecided mark is empty and never nought."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking import frames
from rubrics.faults import InputError
from tests.commands.running import SAMPLES, run_here, run_python


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two classes marked."""
    folder = tmp_path_factory.mktemp("frames")
    for name in ("9A", "9B"):
        assert run_here("mark", str(SAMPLES / "department" / name), "--out", str(folder / name)).status in (0, 1)
    return folder


def test_findings_keep_their_texts(results: Path) -> None:
    """A mass of '45.0' is still '45.0'; rows and marks are whole numbers."""
    found = frames.findings(results / "9A")
    entries = set(found["entry"])
    assert any(entry.endswith("0") and "." in entry for entry in entries)
    assert str(found["marks"].dtype) == "Int64"
    assert set(found["set"]) == {"9A"}


def test_marks_and_totals_over_classes(results: Path) -> None:
    """One row a mark; totals agree with the sums, and undecided marks are counted as pending."""
    both = {"a": results / "9A", "b": results / "9B"}
    marks = frames.marks(both)
    assert set(marks["set"]) == {"a", "b"}
    assert not marks.duplicated(["set", "student", "practical", "criterion"]).any()
    totals = frames.totals(both)
    assert len(totals) == 44
    assert set(totals["out_of"]) == {12}
    assert (totals["marks"] + totals["pending"] <= totals["out_of"]).all()
    assert totals["marks"].sum() == marks["marks"].sum()
    undecided = marks[marks["marks"].isna()]
    assert undecided["facility"].isna().all()
    assert totals["pending"].sum() == undecided["out_of"].sum()


def test_moderation_and_decisions(tmp_path: Path) -> None:
    """First and second marks side by side, final marks, and the ruling that lies between them."""
    rounds = [str(SAMPLES / "department" / name) for name in ("round", "round-second-stage")]
    back = [w for n in ("returned", "returned-second-stage") for w in ("--marked", str(SAMPLES / "department" / n))]
    record = tmp_path / "r.record"
    run_here(
        "moderate", *rounds, *back, "--record", str(record), "--rule", "adjust", "--marker", "Mr Brandt",
        "--by", "Dr Hale", "--reason", "a mark severe", "--confirm", "--out", str(tmp_path / "out"),
    )  # fmt: skip
    compared = frames.compared(tmp_path / "out")
    by_marker = compared[(compared["eye"] == 1) & (compared["drawn"] == 1)].groupby("first_marker")["difference"].sum()
    assert by_marker.idxmin() == "Mr Brandt"
    final = frames.final_marks(tmp_path / "out")
    assert set(final.loc[final["change"] != 0, "marker"]) == {"Mr Brandt"}
    export = tmp_path / "out.jsonl"
    run_here("record", "export", "--out", str(export), "--record", str(record))
    decided = frames.decisions(export)
    counts = decided["kind"].value_counts()
    assert set(counts.index) == {"second-mark-given", "pack-handed-in", "round-begun", "moderation-ruled"}
    assert counts["pack-handed-in"] == len(decided.loc[decided["kind"] == "pack-handed-in", "cell"].unique()) == 9
    assert decided.iloc[-1][["kind", "who"]].tolist() == ["moderation-ruled", "Dr Hale"]


def test_other_files_are_refused_with_what_to_do(tmp_path: Path) -> None:
    """No results, no moderation, no export."""
    for read in (frames.findings, frames.compared, frames.final_marks, frames.notes):
        with pytest.raises(InputError, match="Name folders that"):
            read(tmp_path)
    (tmp_path / "x.jsonl").write_text("{}[\n", encoding="utf-8")
    with pytest.raises(InputError, match="record export"):
        frames.decisions(tmp_path / "x.jsonl")


def test_pandas_is_loaded_nowhere_else() -> None:
    """Neither the verbs nor any room needs it."""
    code = "import sys, marking.commands.mark, marking.commands.department.moderate; print('pandas' in sys.modules)"
    assert run_python("-c", code).out.strip() == "False"

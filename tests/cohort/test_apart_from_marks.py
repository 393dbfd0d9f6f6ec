from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from pypdf import PdfReader

from marking.checking.marking_set import mark_set
from marking.class_notes import NoteKind
from marking.cohort.assembly import notes_for
from marking.commands import written_results
from marking.write_up import ClassSet, WriteUp
from tests.cohort.dishonest import copied
from tests.cohort.simulated import rubric_of, simulate
from tests.commands.running import SAMPLES, files_in, run_here

FOR_STUDENTS_AND_MARKS = ("findings.csv", "marks.xlsx")


def suspicious_class() -> tuple[WriteUp, ...]:
    """Return a class with a meter that reads off and a copy between benches."""
    write_ups = list(simulate("resistor-combinations", 3, faults={"5": {"voltmeter": 1.10}}))
    write_ups[7] = copied(write_ups[2], write_ups[7].student, Random(1))
    return tuple(write_ups)


def test_marks_and_findings_are_the_same_with_and_without_notes() -> None:
    """Looking at the whole class changes nothing of what was found out about anybody."""
    rubric = rubric_of("resistor-combinations")
    class_set = ClassSet(practical=rubric.id, write_ups=suspicious_class(), remarks=(), sources=())
    looked_at, left_alone = mark_set(rubric, class_set), mark_set(rubric, class_set)
    notes = notes_for([looked_at])
    assert {note.kind for note in notes} >= {NoteKind.BENCH, NoteKind.LEAD}
    assert looked_at.scripts == left_alone.scripts


def test_no_note_reaches_a_students_sheet_or_a_mark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With and without notes, sheets, marks and findings are the same bytes, and no sheet holds a note's words."""
    arguments = ("mark", str(SAMPLES / "wire-resistance"), "--out")
    assert run_here(*arguments, str(tmp_path / "with")).status in (0, 1)
    monkeypatch.setattr(written_results, "notes_for", lambda *_: ())
    assert run_here(*arguments, str(tmp_path / "without")).status in (0, 1)
    notes = (tmp_path / "with" / "class-notes.csv").read_text(encoding="utf-8")
    assert "bench,wire-resistance,3," in notes
    assert "bench,wire-resistance,3," not in (tmp_path / "without" / "class-notes.csv").read_text(encoding="utf-8")
    sheets = sorted(path.relative_to(tmp_path / "with") for path in (tmp_path / "with" / "feedback").iterdir())
    assert sheets
    for name in [*sheets, *(Path(one) for one in FOR_STUDENTS_AND_MARKS)]:
        assert (tmp_path / "with" / name).read_bytes() == (tmp_path / "without" / name).read_bytes()
    for sheet in sheets:
        text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "with" / sheet).pages)
        assert "reads low" not in text
        assert "sound classes" not in text


def test_trial_values_reach_the_notes_and_nothing_else(tmp_path: Path) -> None:
    """With and without the technician's trials, sheets, marks and findings are the same bytes; the note is not."""
    trials = tmp_path / "trials.csv"
    lengths = (0.2, 0.5, 0.9)
    lines = ["bench,row,L / m,V / V,I / A"]
    for bench in range(1, 13):
        # A wire of 4.4 ohm a metre; the ammeter of bench 3 reads 8 % high.
        shown = 0.40 * (1.08 if bench == 3 else 1.0)
        lines += [
            f"{bench},{row},{length:.3f},{0.40 * (4.4 * length + 0.15):.2f},{shown:.3f}"
            for row, length in enumerate(lengths, 1)
        ]
    trials.write_text("\n".join(lines), encoding="utf-8")
    arguments = ("mark", str(SAMPLES / "wire-resistance"))
    assert run_here(*arguments, "--out", str(tmp_path / "without")).status in (0, 1)
    assert run_here(*arguments, "--trials", str(trials), "--out", str(tmp_path / "with")).status in (0, 1)
    with_trials, without = files_in(tmp_path / "with"), files_in(tmp_path / "without")
    changed = {name for name, data in with_trials.items() if data != without[name]}
    assert with_trials.keys() == without.keys()
    assert changed - {"class-summary.pdf"} == {"class-notes.csv", "run.json"}
    assert "in 3 sets of readings and the technician's trial" in with_trials["class-notes.csv"].decode()

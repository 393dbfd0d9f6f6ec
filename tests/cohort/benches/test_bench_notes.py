from __future__ import annotations

from pathlib import Path

from marking.checking.marking_set import mark_set
from marking.cohort.assembly import notes_for
from marking.cohort.benches.bench_notes import bench_notes
from marking.findings import MarkedSet
from marking.intake.read_inputs import read_inputs
from rubrics.load import load_catalogue

SAMPLES = Path(__file__).parents[3] / "samples"


def sample(practical: str) -> MarkedSet:
    """Return a sample set, marked."""
    rubric = load_catalogue()[practical]
    (class_set,) = read_inputs([SAMPLES / practical], {rubric.id: rubric})
    return mark_set(rubric, class_set)


def test_a_meter_that_reads_off_is_found() -> None:
    """In the wire set the ammeter of bench 3 reads 8 % high, so its gradients come out low."""
    (note,) = bench_notes([sample("wire-resistance")])
    assert (note.bench, note.direction) == ("3", "low")
    assert note.factor is not None
    assert 0.88 < note.factor < 0.96
    assert set(note.items) == {"voltmeter", "ammeter"}


def test_sound_benches_are_left_alone() -> None:
    """Sets in which no apparatus was put off raise no note about a bench."""
    for practical in ("resistor-combinations", "specific-heat-block", "density-cuboid"):
        assert bench_notes([sample(practical)]) == ()


def test_notes_touch_no_mark() -> None:
    """Marks and findings are the same whether or not the class is looked at."""
    marked = sample("wire-resistance")
    before = [(script.awarded, script.pending, len(script.findings)) for script in marked.scripts]
    assert notes_for([marked])
    assert [(script.awarded, script.pending, len(script.findings)) for script in marked.scripts] == before

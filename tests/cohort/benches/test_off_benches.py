from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from msgspec.structs import replace

from marking.class_notes import NoteKind
from marking.cohort.benches.bench_notes import bench_notes
from marking.cohort.benches.bench_quantities import quantities_of
from marking.cohort.benches.off_benches import CHANCE, off_benches
from marking.findings import MarkedSet
from marking.write_up import Student, WriteUp
from tests.cohort.simulated import (
    PRACTICALS,
    Reader,
    Spread,
    Stand,
    as_marked,
    mixed_resistors,
    resistors,
    rubric_of,
    simulate,
    students,
    write_up,
)

BOTH = ("resistor-combinations", "wire-resistance")
CAREFUL = Spread(parts=0.005, reading=0.003)


def classes(
    practicals: tuple[str, ...], seed: int, faults: dict[str, dict[str, float]] | None = None
) -> list[MarkedSet]:
    """Return a class's sets, with careful groups and well-kept benches."""
    return [as_marked(one, simulate(one, seed, spread=CAREFUL, faults=faults)) for one in practicals]


def tried(practical: str, bench: str, values: Mapping[str, float], unit: str) -> WriteUp:
    """Return what a technician wrote down at a bench: answers measured themselves."""
    who = Student(code=bench, bench=bench)
    return write_up(who, practical, {item: (f"{value:.6g}", unit) for item, value in values.items()})


@pytest.mark.parametrize(
    ("practicals", "instrument", "factor", "direction", "likeliest"),
    [
        pytest.param(("resistor-combinations",), "voltmeter", 1.06, "high", {"voltmeter", "ammeter"}, id="voltmeter"),
        pytest.param(("resistor-combinations",), "ammeter", 1.06, "low", {"voltmeter", "ammeter"}, id="ammeter"),
        pytest.param(("wire-resistance",), "ammeter", 0.92, "high", {"voltmeter", "ammeter"}, id="wire"),
        pytest.param(BOTH, "voltmeter", 0.95, "low", {"voltmeter", "ammeter"}, id="two practicals"),
        pytest.param(("density-cuboid",), "balance", 1.06, "high", {"balance"}, id="balance"),
        pytest.param(("specific-heat-block",), "joulemeter", 1.25, "high", {"joulemeter"}, id="joulemeter"),
    ],
)
def test_the_instrument_and_its_direction_are_told(
    practicals: tuple[str, ...], instrument: str, factor: float, direction: str, likeliest: set[str]
) -> None:
    """The bench, the likeliest instruments and the direction; V / I alone cannot tell one meter from the other."""
    notes = bench_notes(classes(practicals, 3, {"5": {instrument: factor}}))
    assert [note.practical for note in notes] == list(practicals)
    for note in notes:
        assert (note.kind, note.bench, note.direction) == (NoteKind.BENCH, "5", direction)
        assert likeliest <= set(note.items)
        assert note.chance is not None
        assert note.chance <= CHANCE
        assert note.students == tuple(one.code for one in students() if one.bench == "5")


def test_the_message_says_what_cannot_be_told() -> None:
    """Teacher and technician read which way it is off, in what, by how much, and what luck would do."""
    (note,) = bench_notes(classes(("resistor-combinations",), 3, {"5": {"voltmeter": 1.06}}))
    assert note.message.startswith(
        "Bench 5 reads high, voltmeter or ammeter: R₁, R₂, R series and R parallel come out "
    )
    assert (
        "Either the voltmeter reads high or the ammeter reads low; these readings alone cannot tell which."
        in note.message
    )
    assert "in 1000 sound classes would show as much by luck." in note.message


@pytest.mark.parametrize("practical", PRACTICALS)
def test_sound_classes_are_left_alone(practical: str) -> None:
    """Of a dozen sound classes of each practical at most two have a bench named; one in twenty is allowed for."""
    flagged = sum(bool(off_benches([as_marked(practical, simulate(practical, seed))])) for seed in range(12))
    assert flagged <= 2


def test_parts_of_several_kinds_are_no_fault() -> None:
    """Benches with other resistors than their neighbours' are compared with their like."""
    found = [
        off_benches(
            [as_marked("resistor-combinations", simulate("resistor-combinations", seed, set_up=mixed_resistors))]
        )
        for seed in range(8)
    ]
    assert sum(bool(one) for one in found) <= 1
    faulty = simulate(
        "resistor-combinations", 2, spread=CAREFUL, faults={"5": {"ammeter": 1.08}}, set_up=mixed_resistors
    )
    assert [one.bench for one in off_benches([as_marked("resistor-combinations", faulty)])] == ["5"]


def test_two_benches_that_are_off_do_not_hide_each_other() -> None:
    """Both are named, each beside the sound ones."""
    faults = {"2": {"voltmeter": 1.08}, "9": {"voltmeter": 1.08}}
    found = off_benches(classes(("resistor-combinations",), 4, faults))
    assert {one.bench for one in found} == {"2", "9"}


def test_one_slip_of_a_group_is_not_the_benchs() -> None:
    """A group that recorded milliamperes as amperes puts no bench under suspicion."""
    write_ups = list(simulate("resistor-combinations", 5, spread=CAREFUL))
    first = write_ups[4]
    slipped = {
        item: replace(entry, value=entry.value * 1000) if item.startswith("I_") and entry.value else entry
        for item, entry in first.singles.items()
    }
    write_ups[4] = replace(first, singles=slipped)
    assert off_benches([as_marked("resistor-combinations", write_ups)]) == ()


def test_too_few_benches_are_not_compared() -> None:
    """With three benches nothing stands out, with a dozen it does."""
    for benches, expected in ((3, []), (12, ["2"])):
        who = students(30, benches)
        write_ups = simulate("resistor-combinations", 6, spread=CAREFUL, faults={"2": {"voltmeter": 1.10}}, who=who)
        assert [one.bench for one in off_benches([as_marked("resistor-combinations", write_ups)])] == expected


def test_a_class_without_benches_has_no_bench_named() -> None:
    """Where nobody says who sat where, there is nothing to compare."""
    nowhere = tuple(replace(one, bench="") for one in students(30, 1))
    assert off_benches([as_marked("wire-resistance", simulate("wire-resistance", 1, who=nowhere))]) == ()


def test_the_technicians_trial_is_used() -> None:
    """With every bench's own parts known from a trial, a meter is found that no other bench could show up."""
    pairs = {str(bench): (5.0 * 1.35**bench, 4.0 * 1.35**bench) for bench in range(1, 7)}

    def own_pair(stand: Stand) -> Reader:
        return resistors(stand, pairs[stand.name])

    faults = {"3": {"voltmeter": 1.10}}
    write_ups = simulate(
        "resistor-combinations", 7, spread=CAREFUL, faults=faults, who=students(18, 6), set_up=own_pair
    )
    marked = as_marked("resistor-combinations", write_ups)
    trials = {
        "resistor-combinations": [
            tried("resistor-combinations", bench, {"R_1": first, "R_2": second, "R_series": first + second}, "Ω")
            for bench, (first, second) in pairs.items()
        ]
    }
    assert off_benches([marked]) == ()
    (found,) = off_benches([marked], trials)
    assert (found.bench, found.beside_trials) == ("3", True)
    assert np.exp(found.answers) == pytest.approx(1.10, abs=0.03)


def test_a_trial_that_agrees_clears_the_students() -> None:
    """Where the technician found the same at the bench, the note says that it is not the students."""
    sets = classes(("density-cuboid",), 3, {"5": {"balance": 1.08}})
    trials = {"density-cuboid": [tried("density-cuboid", "5", {"rho": 2.70 * 1.08}, "g/cm³")]}
    (note,) = bench_notes(sets, trials)
    assert "as its groups find: it is the bench and not the students." in note.message


def with_trials(
    seed: int, faults: dict[str, dict[str, float]], tried_faults: dict[str, dict[str, float]]
) -> tuple[MarkedSet, dict[str, tuple[WriteUp, ...]]]:
    """Return a class of 12 at six benches, and the technician's trials, with the faults that each of them met."""
    who = students(12, 6)
    technician = tuple(Student(code=str(bench), bench=str(bench)) for bench in range(1, 7))
    # The same seed gives the same parts and the same luck, so that only the faults differ.
    classed, tried_ones = (
        simulate("density-cuboid", seed, spread=CAREFUL, faults=one, who=(*who, *technician))
        for one in (faults, tried_faults)
    )
    return as_marked("density-cuboid", classed[:12]), {"density-cuboid": tried_ones[12:]}


def suspicion(marked: MarkedSet, trials: dict[str, tuple[WriteUp, ...]] | None = None) -> float:
    """Return how sure it is that bench 4 is off: the power of ten of a sound class's chance, CHANCE where unnamed."""
    chances = [one.chance for one in off_benches([marked], trials) if one.bench == "4"]
    return float(np.log10(chances[0] if chances else CHANCE))


def test_a_trial_strengthens_or_weakens_the_suspicion() -> None:
    """Over 20 classes: a technician who found the balance off too makes it surer, one who found it sound less sure."""
    faults = {"4": {"balance": 1.06}}
    alone, off_too, sound = [], [], []
    for seed in range(20):
        marked, trials = with_trials(seed, faults, faults)
        alone.append(suspicion(marked))
        off_too.append(suspicion(marked, trials))
        sound.append(suspicion(*with_trials(seed, faults, {})))
    assert np.mean(off_too) < np.mean(alone) - 0.1
    assert np.mean(sound) > np.mean(alone) + 0.4


def test_one_group_and_the_trial_are_two_that_agree() -> None:
    """One figure of one group may be its slip; with the technician's own reading it is the bench's."""
    faults = {"5": {"balance": 1.10}}
    marked, trials = with_trials(2, faults, faults)
    one_each = replace(marked, scripts=marked.scripts[:6])
    assert off_benches([one_each]) == ()
    (note,) = bench_notes([one_each], trials)
    assert note.bench == "5"
    assert "in 1 group and the technician's trial" in note.message


def test_no_trials_change_nothing() -> None:
    """An empty list of trials is no trial."""
    sets = classes(("density-cuboid",), 3, {"5": {"balance": 1.08}})
    assert bench_notes(sets, {}) == bench_notes(sets, {"density-cuboid": ()}) == bench_notes(sets)


def test_trials_of_a_sound_class_raise_no_alarm() -> None:
    """Of sound classes with trials at every bench, at most the stated share has a bench named."""
    flagged = sum(bool(off_benches([marked], trials)) for marked, trials in (with_trials(n, {}, {}) for n in range(40)))
    assert flagged <= CHANCE * 40


def test_a_mean_written_alone_counts_as_a_reading() -> None:
    """Repeats or their mean: a class that took down means only is compared like one that took down every repeat."""
    rubric = rubric_of("freefall-g")
    who = students(12, 12)
    heights = {"h": [(f"{height:.3f}", "m") for height in (0.4, 0.6, 0.8, 1.0, 1.2)]}
    times = {
        one.bench: [
            (f"{(2 * height / 9.81) ** 0.5 * (1.05 if one.bench == '7' else 1.0):.4f}", "s")
            for height in (0.4, 0.6, 0.8, 1.0, 1.2)
        ]
        for one in who
    }
    alone = [write_up(one, rubric.id, {**heights, "t": times[one.bench]}) for one in who]
    every = [
        write_up(one, rubric.id, {**heights, **{f"t_{number}": times[one.bench] for number in (1, 2, 3)}})
        for one in who
    ]
    found = [quantities_of(as_marked(rubric.id, ones)) for ones in (alone, every)]
    assert found[0] is not None
    assert found[1] is not None
    assert found[0].names == found[1].names
    assert found[0].names
    np.testing.assert_allclose(found[0].means, found[1].means, rtol=1e-9)

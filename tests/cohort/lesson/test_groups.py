"""A slip that many of a class share is told: of those who made it, or of either group where nothing says which."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pytest
from msgspec.structs import replace

from marking.class_notes import ClassNote
from marking.cohort.lesson import lesson_notes
from marking.cohort.lesson.groups import FEWEST_SHEETS
from marking.write_up import WriteUp
from tests.benchmarks.lesson_classes import ALIKE, alike
from tests.benchmarks.shared_slips.many_classes import makers, mixed_makers, sound_class
from tests.benchmarks.shared_slips.tally import tally
from tests.cohort.simulated import Cells, rubric_of, students, write_up

MANY = (6, 15, 24)


def two_groups(practical: str, one: Cells, other: Cells, sizes: tuple[int, int]) -> list[WriteUp]:
    """Return a class in which so many wrote the one thing and so many the other."""
    cells = [one] * sizes[0] + [other] * sizes[1]
    who = students(sum(sizes), sum(sizes))  # a bench each, or they would share one sheet
    return [write_up(student, practical, own) for student, own in zip(who, cells, strict=True)]


def told(notes: Iterable[ClassNote]) -> set[str]:
    """Return the codes of those who have a note."""
    return {code for note in notes for code in note.students}


@pytest.mark.parametrize("many", MANY)
@pytest.mark.parametrize(
    ("practical", "slip"),
    [
        ("specific-heat-block-vit", "V and I exchanged"),
        ("resistor-combinations", "V and I exchanged"),
        ("neutralisation-enthalpy", "temperatures exchanged"),
        ("wire-resistance", "columns exchanged"),
        ("density-cuboid", "point of one reading moved"),
        ("iv-characteristic", "minus signs left out"),
    ],
)
def test_told_whoever_shares_it(practical: str, slip: str, many: int) -> None:
    """All who share a slip are told, and nobody else instead of them."""
    kinds = [lambda seed: alike(practical, seed)] if practical in ALIKE else makers()[practical]
    found = tally(practical, kinds, slip, many, 3)
    assert found is not None
    assert (found.told, found.blamed) == (found.slipped, 0)


@pytest.mark.parametrize("practical", ["density-cuboid", "iv-characteristic", "resistor-combinations"])
def test_parts_of_all_sizes_are_no_groups(practical: str) -> None:
    """A class whose benches have parts of all sizes is not told that it falls into two."""
    notes = lesson_notes(rubric_of(practical), sound_class(practical, mixed_makers()[practical], 1))
    assert not [note for note in notes if len(note.students) > 1]


def of_lens(first: Sequence[str], second: Sequence[str]) -> Cells:
    """Return the cells of a lens: where the object stood, and the image; nothing says which is which."""
    return {"u": [(one, "cm") for one in first], "v": [(one, "cm") for one in second]}


U, V = ("20.0", "25.0", "30.0", "40.0", "50.0", "60.0"), ("59.5", "37.2", "29.8", "24.1", "21.3", "20.2")


def test_either_group_where_nothing_says_which() -> None:
    """Object and image distances may change places by physics, so both groups stand in one note and none is accused."""
    notes = lesson_notes(
        rubric_of("lens-focal-length"), two_groups("lens-focal-length", of_lens(U, V), of_lens(V, U), (5, 5))
    )
    (note,) = notes
    assert told(notes) == {f"S{n:02}" for n in range(1, 11)}
    assert note.items == ("u", "v")
    assert "the class falls into two groups, and one of the two has them exchanged." in note.message
    assert "Like 20.0 cm and 59.5 cm: S01, S02, S03, S04, S05." in note.message


def test_the_one_beside_a_class() -> None:
    """One of twelve who has them the other way round is told alone: the others did as they were told."""
    notes = lesson_notes(
        rubric_of("lens-focal-length"), two_groups("lens-focal-length", of_lens(U, V), of_lens(V, U), (11, 1))
    )
    assert told(notes) == {"S12"}


def test_too_few_sheets_show_no_groups() -> None:
    """Fewer sheets than show a group are left alone."""
    few = two_groups("lens-focal-length", of_lens(U, V), of_lens(V, U), (FEWEST_SHEETS - 2, 1))
    assert lesson_notes(rubric_of("lens-focal-length"), few) == ()


def test_what_nobody_can_have_written_right() -> None:
    """Where more than half have a rise below zero, the accepted value still says who exchanged the temperatures."""

    def heated(start: str, end: str) -> Cells:
        return {
            "m": ("1.000", "kg"),
            "T_start": (start, "°C"),
            "T_end": (end, "°C"),
            "E": ("20000", "J"),
        }

    notes = lesson_notes(
        rubric_of("specific-heat-block"),
        two_groups("specific-heat-block", heated("20.0", "40.5"), heated("40.5", "20.0"), (4, 8)),
    )
    assert told(notes) == {f"S{n:02}" for n in range(5, 13)}


def test_order_of_the_class_does_not_matter() -> None:
    """The same notes come out, whoever comes first."""
    rubric = rubric_of("specific-heat-block-vit")
    sound = alike("specific-heat-block-vit", 2)
    changed = [exchanged(one) if at % 3 == 0 else one for at, one in enumerate(sound)]
    assert told(lesson_notes(rubric, changed)) == told(lesson_notes(rubric, changed[::-1]))


def exchanged(one: WriteUp) -> WriteUp:
    """Return the write-up with the numbers of p.d. and current in each other's place."""
    volts, amps = one.singles["V"], one.singles["I"]
    of = {
        "V": replace(volts, raw=amps.raw, value=amps.value, last_place=amps.last_place),
        "I": replace(amps, raw=volts.raw, value=volts.value, last_place=volts.last_place),
    }
    return replace(one, singles={**one.singles, **of})

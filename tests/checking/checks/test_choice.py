"""Words chosen from a list, judged by the shape of the student's own points."""

from __future__ import annotations

import pytest

from marking.checking.checks.choice import find_choice
from reports.tables.findings_csv import FINDING_COLUMNS, finding_cells
from rubrics.load import load_catalogue
from tests.checking.rows import found, in_table, rows

RESISTOR = in_table(
    V="-4.00 -3.00 -2.00 -1.00 0.00 1.00 2.00 3.00 4.00 V", I="-0.40 -0.31 -0.20 -0.10 0.00 0.10 0.20 0.29 0.40 A"
)
LAMP = in_table(
    V="-4.00 -3.00 -2.00 -1.00 0.00 1.00 2.00 3.00 4.00 V",
    I="-0.214 -0.183 -0.146 -0.100 0.000 0.100 0.146 0.183 0.214 A",
)
DIODE = in_table(
    V="-4.00 -2.00 0.00 0.20 0.40 0.50 0.60 0.65 0.70 0.75 0.80 V",
    I="0.0 0.0 0.0 0.0 0.0 0.1 0.6 1.9 5.7 17.3 52.5 mA",
)
OFF_ZERO = in_table(
    V="-4.00 -3.00 -2.00 -1.00 0.00 1.00 2.00 3.00 4.00 V", I="-0.35 -0.25 -0.15 -0.05 0.05 0.15 0.25 0.35 0.45 A"
)
FEW = in_table(V="1.00 2.00 3.00 V", I="0.10 0.20 0.30 A")

STRAIGHT, LESS_STEEP, TURN_ON = (
    "straight line through the origin",
    "curve that gets less steep",
    "no current until a turn-on p.d.",
)


def outcomes(points: str, component: str, shape: str, proportional: str) -> list[str]:
    """Return what becomes of the two questions."""
    words = {"component": component, "shape": shape, "proportional": proportional}
    lines = "\n".join([points, *(f'{item},,"{text}",' for item, text in words.items() if text)])
    return [row[2] for row in rows("iv-characteristic", lines, "K1")]


@pytest.mark.parametrize(
    ("points", "component", "shape", "proportional", "wanted"),
    [
        (RESISTOR, "fixed resistor", STRAIGHT, "yes", ["awarded", "awarded"]),
        (LAMP, "filament lamp", LESS_STEEP, "no", ["awarded", "awarded"]),
        (DIODE, "diode", TURN_ON, "no", ["awarded", "awarded"]),
        (RESISTOR, "", STRAIGHT, "yes", ["awarded", "awarded"]),
        (LAMP, "", LESS_STEEP, "no", ["awarded", "awarded"]),
        (DIODE, "", TURN_ON, "no", ["awarded", "awarded"]),
        (RESISTOR, "fixed resistor", LESS_STEEP, "no", ["withheld", "withheld"]),
        (LAMP, "filament lamp", STRAIGHT, "yes", ["withheld", "withheld"]),
        (DIODE, "diode", LESS_STEEP, "yes", ["withheld", "withheld"]),
        (RESISTOR, "", LESS_STEEP, "yes", ["withheld", "awarded"]),
        (RESISTOR, "fixed resistor", "", "yes", ["withheld", "awarded"]),
    ],
    ids=[
        "resistor",
        "lamp",
        "diode",
        "resistor-not-said",
        "lamp-not-said",
        "diode-not-said",
        "resistor-wrong",
        "lamp-wrong",
        "diode-wrong",
        "one-of-two",
        "one-not-given",
    ],
)
def test_points_decide(points: str, component: str, shape: str, proportional: str, wanted: list[str]) -> None:
    """The words are those that the student's own points show, whether or not the component is said."""
    assert outcomes(points, component, shape, proportional) == wanted


@pytest.mark.parametrize(
    ("points", "component", "shape", "proportional", "wanted"),
    [
        (RESISTOR, "filament lamp", LESS_STEEP, "no", ["for-teacher", "for-teacher"]),
        (RESISTOR, "filament lamp", STRAIGHT, "yes", ["awarded", "awarded"]),
        (OFF_ZERO, "fixed resistor", STRAIGHT, "yes", ["awarded", "awarded"]),
        (OFF_ZERO, "fixed resistor", STRAIGHT, "no", ["awarded", "for-teacher"]),
        (OFF_ZERO, "", STRAIGHT, "no", ["awarded", "for-teacher"]),
        (OFF_ZERO, "fixed resistor", TURN_ON, "no", ["for-teacher", "for-teacher"]),
        (FEW, "fixed resistor", STRAIGHT, "yes", ["awarded", "awarded"]),
        (FEW, "fixed resistor", LESS_STEEP, "no", ["for-teacher", "for-teacher"]),
        (FEW, "", STRAIGHT, "yes", ["for-teacher", "for-teacher"]),
    ],
    ids=[
        "words-fit-the-component-not-the-points",
        "words-fit-the-points-not-the-component",
        "meter-off-zero-and-the-usual-words",
        "meter-off-zero-and-a-close-look",
        "meter-off-zero-not-said",
        "meter-off-zero-and-another-shape",
        "too-few-points-and-the-usual-words",
        "too-few-points-and-other-words",
        "too-few-points-not-said",
    ],
)
def test_where_points_and_component_disagree(
    points: str, component: str, shape: str, proportional: str, wanted: list[str]
) -> None:
    """Either speaks for the student; nothing is withheld unless both speak against the words."""
    assert outcomes(points, component, shape, proportional) == wanted


@pytest.mark.parametrize(
    "words",
    [
        "Straight line through the origin",
        "  STRAIGHT LINE  through the origin. ",
        "straight-line, through the origin!",
        "straight line",
        "linear",
        "straight line through 0",
    ],
)
def test_wordings_that_are_read_as_the_same(words: str) -> None:
    """Capitals, spaces, stops and usual other wordings do not count."""
    assert outcomes(RESISTOR, "resistor", words, "Yes.") == ["awarded", "awarded"]


@pytest.mark.parametrize(
    "words", ["it goes up", "not a straight line through the origin", "straight line or a curve", "both"]
)
def test_words_that_are_not_on_the_list_are_the_teacher_s(words: str) -> None:
    """Words that nobody listed are never guessed at, a 'not' among them least of all."""
    assert outcomes(RESISTOR, "resistor", words, "yes") == ["for-teacher", "awarded"]


@pytest.mark.parametrize(
    ("points", "component", "codes"),
    [
        (RESISTOR, "fixed resistor", {"F1", "F2", "F3", "V1", "R3", "P1"}),
        (LAMP, "bulb", {"F2", "F3", "P2", "K2", "V1", "R3", "P1"}),
        (DIODE, "LED", {"F3", "F4", "P3", "P4", "R4"}),
        (LAMP, "", {"F2", "F3", "P2", "K2", "V1", "R3", "P1"}),
        (LAMP, "toaster", {"F2", "F3", "P2", "K2", "V1", "R3", "P1"}),
        (FEW, "", {"F1", "F2", "F3", "V1", "R3", "P1"}),
    ],
    ids=["resistor", "lamp-by-another-name", "diode-by-another-name", "by-the-points", "unknown-word", "nobody-knows"],
)
def test_what_was_tested_chooses_the_criteria(points: str, component: str, codes: set[str]) -> None:
    """The criteria are those of the component that is said, else of what the points show, else of the first."""
    lines = points + (f"\ncomponent,,{component}," if component else "")
    given = {row[1] for row in rows("iv-characteristic", lines)}
    assert given - {"R1", "R2", "G1", "G2", "G3", "G4", "K1", "V2"} == codes


@pytest.mark.parametrize(
    ("item", "words", "wanted"),
    [
        ("proportional", "Yes, because the line is straight", "yes"),
        ("proportional", "no – it curves", "no"),
        ("proportional", "No, it isn’t.", "no"),
        ("proportional", "It is not proportional", "no"),
        ("proportional", "Yes, but only at first", None),
        ("proportional", "yes and no", None),
        ("proportional", "is it?", None),
        ("shape", "It is a straight line, through the origin", STRAIGHT),
        ("shape", "A curve which gets less steep.", LESS_STEEP),
        ("shape", "S-shaped", LESS_STEEP),
        ("shape", "flat, then steep", TURN_ON),
        ("shape", "straight line, then levels off", None),
        ("shape", "straight line but not through the origin", None),
        ("shape", "wiggly", None),
    ],
)
def test_many_ways_to_say_the_same(item: str, words: str, wanted: str | None) -> None:
    """Filling words and a reason behind do not count; what may take the answer back leaves it to the teacher."""
    choice = find_choice(load_catalogue()["iv-characteristic"].items[item], words)
    assert (choice.word if choice else None) == wanted


def test_unknown_words_wait_as_words() -> None:
    """Neither the shape of the points nor the nearest material is called unsettled over words that nobody knows."""
    lines = "\n".join([RESISTOR, 'component,,"",', 'shape,,"wiggly",', 'proportional,,"perhaps",'])
    found_here = [one for one in found("iv-characteristic", lines, "K1") if one.item in {"shape", "proportional"}]
    assert {(one.outcome, one.reason) for one in found_here} == {("for-teacher", "choice-not-known")}
    block = "l,,4.00,cm\nw,,3.00,cm\nh,,2.00,cm\nm,,64.8,g\nV,,24.0,cm³\nrho,,2.70,g/cm³\nmaterial,,unobtainium,"
    found_here = [one for one in found("density-cuboid", block) if one.item == "material" and one.entry]
    assert {(one.outcome, one.reason) for one in found_here} == {("for-teacher", "choice-not-known")}


def test_a_withheld_choice_says_in_the_table_what_the_points_lead_to() -> None:
    """The column 'expected' of findings.csv."""
    lines = "\n".join([RESISTOR, f'shape,,"{LESS_STEEP}",', 'proportional,,"yes",'])
    by_item = {one.item: one for one in found("iv-characteristic", lines, "K1")}
    column = FINDING_COLUMNS.index("expected")
    assert finding_cells(by_item["shape"])[column] == STRAIGHT
    assert finding_cells(by_item["proportional"])[column] == ""

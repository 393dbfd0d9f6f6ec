"""From the bytes of a rubric file to a rubric, or to every fault in it with its line."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest

from rubrics.documents.rubric_files import MAX_BYTES
from rubrics.faults.errors import RubricError
from rubrics.formulas.printing import plain_text
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import Role
from tests.rubrics.small_rubric import FILE, SOUND, changed, faults, line_with, read


def test_sound_rubric_is_read_whole() -> None:
    """What stands in the file stands in the rubric, in its order."""
    rubric = read(SOUND)
    assert (rubric.id, rubric.edition, rubric.title, rubric.file) == ("tube", 1, "Density of a tube", FILE)
    assert list(rubric.items) == ["m", "V", "rho"]
    assert [unit.symbol for unit in rubric.items["m"].recorded_in] == ["g", "kg"]
    assert rubric.items["m"].limits == (1, 500)
    assert [criterion.code for criterion in rubric.criteria] == ["F1", "F2"]
    assert rubric.total == 2
    assert len(rubric.sha256) == 64


@pytest.mark.parametrize(
    "data",
    [
        b"\xef\xbb\xbf" + SOUND.encode(),
        SOUND.replace("\n", "\r\n").encode(),
        b"\xef\xbb\xbf" + SOUND.replace("\n", "\r\n").encode(),
        SOUND.rstrip("\n").encode(),
        SOUND.encode() + b"#" * (MAX_BYTES - len(SOUND.encode())),
    ],
    ids=["byte-order-mark", "windows-line-ends", "both", "no-last-line-end", "largest"],
)
def test_ways_an_editor_saves_a_file(data: bytes) -> None:
    """A byte-order mark, Windows line ends and a long comment change nothing."""
    assert read(data).items == read(SOUND).items


TOML_MEND = "check quotes, brackets and the number format (0.5, not .5 or 0,5)"


def with_resolution(number: str) -> str:
    """Return the sound rubric with a resolution of the mass."""
    return changed(("limits = [1, 500]", f"resolution = {number}"))


def with_edition(number: str) -> str:
    """Return the sound rubric with another edition."""
    return changed(("edition = 1", f"edition = {number}"))


UNREADABLE: list[tuple[str, str | bytes, str]] = [
    ("cp1252", SOUND.encode("cp1252"), "20: not saved as UTF-8: save the file again with encoding UTF-8"),
    ("utf-16", SOUND.encode("utf-16"), "1: not saved as UTF-8: save the file again with encoding UTF-8"),
    ("too large", SOUND + "#" * MAX_BYTES, "0: over 200 kB: a rubric file is far smaller"),
    ("zero byte", "\0", f"1: not TOML: Invalid statement: {TOML_MEND}"),
    (".5", with_resolution(".5"), f"16: not TOML: Invalid value: {TOML_MEND}"),
    (
        "0,5",
        with_resolution("0,5"),
        f"16: not TOML: Expected newline or end of document after a statement: {TOML_MEND}",
    ),
    ("backslash", changed(("mass", r"ma\dss")), rf"13: not TOML: Unescaped '\' in a string: {TOML_MEND}"),
    (
        "table twice",
        changed(("[readings.V]", "[readings.m]")),
        f"18: not TOML: Cannot declare ('readings', 'm') twice: {TOML_MEND}",
    ),
    (
        "a thousand brackets",
        with_edition("[" * 1000 + "]" * 1000),
        "0: brackets are nested too deeply: write plain lists and tables",
    ),
    ("thousands of digits", with_edition("1" * 5000), f"0: not TOML: a number has too many digits: {TOML_MEND}"),
]


@pytest.mark.parametrize(("data", "fault"), [case[1:] for case in UNREADABLE], ids=[case[0] for case in UNREADABLE])
def test_file_that_is_no_toml(data: str | bytes, fault: str) -> None:
    """A file that cannot be read at all is told in one fault, with its line where there is one."""
    assert faults(data) == [fault]


SCHEMA = [
    ("misspelt key", changed(("edition = 1", "edition = 1\ntolerence = 3")), ["tolerence is no key of a rubric"]),
    (
        "misspelt needed key",
        changed(('quantity = "mass"', 'quantty = "mass"')),
        ["readings.m.quantity is missing", "readings.m.quantty is no key of a rubric"],
    ),
    ("nan", with_resolution("nan"), ["readings.m.resolution: input should be a finite number"]),
    ("inf", changed(("[1, 500]", "[1, inf]")), ["readings.m.limits.1: input should be a finite number"]),
    ("number too large", with_resolution("1" + "0" * 400), ["readings.m.resolution: input should be a valid number"]),
    ("true for a number", with_resolution("true"), ["readings.m.resolution: input should be a valid number"]),
    ("text for a number", with_resolution('"0.1"'), ["readings.m.resolution: input should be a valid number"]),
    ("zero resolution", with_resolution("0"), ["readings.m.resolution: input should be greater than 0"]),
    ("true for a whole number", with_edition("true"), ["edition: input should be a valid integer"]),
    ("1.0 for a whole number", with_edition("1.0"), ["edition: input should be a valid integer"]),
    ("edition 0", with_edition("0"), ["edition: input should be greater than or equal to 1"]),
    ("another format", changed(("format = 1", "format = 2")), ["format is 2: use one of 1"]),
    (
        "capital in the id",
        changed(('"tube"', '"Tube"')),
        ["id is 'Tube': write small letters, digits and hyphens"],
    ),
    ("another check", changed(('"value"', '"vlaue"')), ["criteria.0.check is 'vlaue': use one of 'reading', 'places'"]),
    ("one figure of two", changed(("[2, 3]", "[2]")), ["answers.rho.figures: list should have at least 2 items"]),
    ("ten figures", changed(("[2, 3]", "[2, 10]")), ["answers.rho.figures.1: input should be less than or equal to 9"]),
    ("empty formula", changed(('"m / V"', '""')), ["answers.rho.formula: string should have at least 1 character"]),
    ("no criteria", SOUND.partition("[[criteria]]")[0], ["criteria is missing"]),
    ("no readings", SOUND.partition("[readings.m]")[0], ["criteria is missing", "readings is missing"]),
    (
        "space in a name",
        changed(("[readings.V]", '[readings."V 1"]')),
        ["readings.V 1 is 'V 1': write letters"],
    ),
]


@pytest.mark.parametrize(("text", "problems"), [case[1:] for case in SCHEMA], ids=[case[0] for case in SCHEMA])
def test_key_that_is_not_as_the_format_says(text: str, problems: list[str]) -> None:
    """A misspelt key, a key that is missing and a value of another kind are faults, never passed over."""
    found = faults(text)
    assert len(found) == len(problems)
    for fault, problem in zip(found, problems, strict=True):
        assert fault.partition(": ")[2].startswith(problem)


def test_schema_faults_name_their_line() -> None:
    """A value of another kind is told on the very line where it stands."""
    text = with_resolution("true")
    assert faults(text)[0].startswith(f"{line_with(text, 'resolution')}: ")


def test_empty_file_lists_all_that_is_missing() -> None:
    """An empty file is told everything that a rubric needs, in one go."""
    needed = ["criteria", "format", "id", "purpose", "readings", "title"]
    assert faults("") == [f"0: {name} is missing: add it" for name in needed]


def test_error_reads_as_one_line_a_fault() -> None:
    """The text of the error is for its author: file, line, problem, mending, one line each."""
    with pytest.raises(RubricError) as caught:
        read(changed(("edition = 1", "edition = 1\ntolerence = 3"), ("format = 1", "format = 2")))
    assert str(caught.value).splitlines() == [
        "tube.toml, line 1: format is 2: use one of 1.",
        "tube.toml, line 4: tolerence is no key of a rubric: use one of format, id, edition, title, level, purpose, "
        "selector, cautions, readings, answers, questions, constants, criteria, graph, result, slips, apparatus, "
        "worked, most_rows.",
    ]


CATALOGUE = sorted(
    Path(str(file)) for file in (resources.files("rubrics") / "catalogue").iterdir() if file.name.endswith(".toml")
)
PROMISED = {
    "specific-heat-block": ["m", "T_start", "T_end", "E", "dT", "c"],
    "specific-heat-liquid": ["m", "T_start", "T_end", "E", "dT", "c"],
    "wire-resistance": ["L", "V", "I", "R", "gradient"],
    "resistor-combinations": [
        *["V_1", "I_1", "V_2", "I_2", "V_series", "I_series", "V_parallel", "I_parallel"],
        *["R_1", "R_2", "R_series", "R_parallel", "predicted_series", "predicted_parallel"],
    ],
    "iv-characteristic": ["component", "V", "I", "R", "shape", "proportional"],
    "density-cuboid": ["l", "w", "h", "m", "V", "rho"],
    "density-displacement": ["m", "V", "rho"],
}


@pytest.mark.parametrize("file", CATALOGUE, ids=lambda file: file.stem)
def test_catalogue_file_is_sound(file: Path) -> None:
    """Every practical that comes with the program has no fault, and its file is named after it."""
    rubric = read_rubric(file)
    assert rubric.id == file.stem
    assert sum(criterion.marks for criterion in rubric.criteria) >= rubric.total > 0


@pytest.mark.parametrize("practical", PROMISED)
def test_item_names_that_people_hold_on_to(practical: str) -> None:
    """The names that class files use stay: they may be added to, never renamed."""
    assert set(PROMISED[practical]) <= set(load_catalogue()[practical].items)


@pytest.mark.parametrize("file", CATALOGUE, ids=lambda file: file.stem)
def test_catalogue_formulas_go_round(file: Path) -> None:
    """Each formula of the catalogue comes back from print as it was written."""
    rubric = read_rubric(file)
    formulas = [item.formula for item in rubric.answers if item.formula] + [f for i in rubric.answers for f in i.also]
    for formula in (*formulas, *(slip.formula for slip in rubric.slips)):
        assert plain_text(formula.tree) == formula.text


def test_catalogue_is_in_the_order_of_ids() -> None:
    """The catalogue lists its practicals in one fixed order, each under its own id."""
    catalogue = load_catalogue()
    assert list(catalogue) == sorted(catalogue) == sorted(file.stem for file in CATALOGUE)
    assert all(rubric.id == name for name, rubric in catalogue.items())


def test_answer_to_a_difference_of_temperatures_is_a_change() -> None:
    """40 °C of rise is 40 K: the unit of a difference carries no offset, that of a reading does."""
    items = load_catalogue()["specific-heat-block"].items
    assert (items["dT"].unit.symbol, items["dT"].unit.offset) == ("°C", 0.0)
    assert items["T_end"].unit.offset == pytest.approx(273.15)
    assert [unit.offset for unit in items["dT"].recorded_in] == [0.0, 0.0]
    assert items["dT"].role is Role.ANSWER


def test_defaults_carry_most_keys() -> None:
    """Edition, level, what earns a mark and the last caution are filled in where the author left them out."""
    rubric = read(
        """format = 1
id = "tube"
title = "Density of a tube"
purpose = "To find a density."
readings.m = { quantity = "mass", unit = "g" }
readings.V = { quantity = "volume", unit = "cm³" }
answers.rho = { quantity = "density", unit = "g/cm³", formula = "m / V" }
criteria = [
    { code = "F1", check = "value", items = ["rho"] },
    { code = "F2", check = "unit", items = ["rho"] },
]
"""
    )
    assert (rubric.edition, rubric.level) == (1, "14 to 18")
    assert [one.point for one in rubric.criteria] == ["Density follows from the readings", "Unit of the density"]
    assert rubric.cautions == ("Before you start, follow your school's own risk assessment and local rules.",)


def test_misspelt_key_is_told_with_the_one_that_was_meant() -> None:
    """A key one letter off is named with its neighbour, on its line."""
    text = changed(("recorded_in", "recorded_inn"))
    line = line_with(text, "recorded_inn")
    told = "readings.m.recorded_inn is no key of a rubric: check its spelling (recorded_in?), or leave it out"
    assert faults(text) == [f"{line}: {told}"]


def test_a_graph_that_is_not_marked_takes_its_marks_from_the_total() -> None:
    """Without the paper the criteria that only it shows are gone, one mark here, and nothing else."""
    whole = load_catalogue()["wire-resistance"]
    bare = load_catalogue().without_paper()["wire-resistance"]
    assert {one.code for one in whole.criteria} - {one.code for one in bare.criteria} == {"G1"}
    assert whole.total - bare.total == 1
    assert load_catalogue().without_paper().with_own([whole])["wire-resistance"] == bare

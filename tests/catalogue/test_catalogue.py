"""Promises about every practical of the catalogue, whatever it is about."""

from __future__ import annotations

from importlib import resources

import pytest

from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import CheckKind, Role, Rubric

FEWEST_PRACTICALS = 30
LONGEST_CODE = 3
"""Codes stand at the head of narrow columns."""
LONGEST_POINT = 110
"""What a criterion earns its mark for fits one line of the feedback sheet."""
SHORTEST_NOUN = 4
"""Letters; shorter words of an instrument say nothing of it."""
SUBJECTS = {
    "chemistry": {"titration", "neutralisation-enthalpy", "rate-disappearing-cross", "percentage-yield"},
    "biology": {"osmosis", "quadrat"},
}

FOLDER = resources.files("rubrics") / "catalogue"
FILES = sorted(file.name for file in FOLDER.iterdir() if file.name.endswith(".toml"))
RUBRICS = [pytest.param(rubric, id=name) for name, rubric in load_catalogue().items()]
WITH_SELECTOR = [one for one in RUBRICS if load_catalogue()[str(one.id)].selector is not None]
WITH_RESULT = [one for one in RUBRICS if load_catalogue()[str(one.id)].result is not None]


@pytest.mark.parametrize("name", FILES)
def test_file_is_sound_and_named_after_its_practical(name: str) -> None:
    """Every file is read without a fault, and bears the id of its practical."""
    assert read_rubric(FOLDER / name).id == name.removesuffix(".toml")


def test_catalogue_serves_a_department() -> None:
    """There are at least 30 practicals, with chemistry and biology among them."""
    known = set(load_catalogue())
    assert len(known) >= FEWEST_PRACTICALS
    assert all(subject <= known for subject in SUBJECTS.values())


@pytest.mark.parametrize("rubric", RUBRICS)
def test_mark_scheme_is_short_to_read(rubric: Rubric) -> None:
    """Codes fit their column, points fit a line, and a practical has 10 to 18 marks."""
    assert all(len(criterion.code) <= LONGEST_CODE for criterion in rubric.criteria)
    assert all(len(criterion.point) <= LONGEST_POINT for criterion in rubric.criteria)
    assert 10 <= rubric.total <= 18


@pytest.mark.parametrize("rubric", WITH_SELECTOR)
def test_each_choice_of_a_selector_has_about_as_many_marks(rubric: Rubric) -> None:
    """Whatever was tested, a practical is out of 10 to 18 marks."""
    for choice in rubric.items[str(rubric.selector)].choices:
        assert 10 <= sum(one.marks for one in rubric.criteria if not one.when or choice.word in one.when) <= 18


@pytest.mark.parametrize("rubric", RUBRICS)
def test_bench_and_instruments_are_told(rubric: Rubric) -> None:
    """Every practical lists its apparatus, and a reading with a resolution says what it is read on."""
    assert rubric.apparatus
    assert all(one.range for one in rubric.apparatus)
    assert all(item.instrument for item in rubric.items.values() if item.resolution is not None)


@pytest.mark.parametrize("rubric", RUBRICS)
def test_readings_have_limits(rubric: Rubric) -> None:
    """Every number read off an instrument has limits, which settle a comma or a missing unit."""
    assert all(item.limits for item in rubric.items.values() if item.role is Role.READING and not item.is_words)


@pytest.mark.parametrize("rubric", RUBRICS)
def test_accepted_values_and_constants_name_their_source(rubric: Rubric) -> None:
    """No value of nature stands without a source that can be looked up."""
    for accepted in rubric.result.accepted if rubric.result else ():
        assert len(accepted.source) > 10
        assert accepted.edition
    assert all(len(constant.source) > 10 for constant in rubric.constants.values())


@pytest.mark.parametrize("rubric", WITH_RESULT)
def test_the_final_answer_is_checked(rubric: Rubric) -> None:
    """Every final value is checked, and by more than a teacher's glance."""
    assert rubric.result is not None
    computed = [one for one in rubric.criteria if one.check is not CheckKind.TEACHER]
    assert any(rubric.result.answer in one.items for one in computed)


@pytest.mark.parametrize("rubric", RUBRICS)
def test_what_is_concluded_is_asked_for(rubric: Rubric) -> None:
    """No source of error, and no improvement, is left to paper: each has a question whose answer is read."""
    named = ("source of error", "An improvement", "How would")
    told = [one for one in rubric.criteria if any(words in one.point for words in named)]
    assert all(one.check is CheckKind.IDEAS for one in told)


def test_nothing_that_burns_is_heated() -> None:
    """Ethanol is no liquid for an electric heater, and where it is weighed the caution forbids a flame."""
    heated = load_catalogue()["specific-heat-liquid"]
    assert heated.result is not None
    assert not any("ethanol" in one.name for one in heated.result.accepted)
    assert any("Never heat ethanol" in one for one in heated.cautions)
    assert any("Ethanol burns: no flame" in one for one in load_catalogue()["density-liquid"].cautions)


def test_currents_are_limited() -> None:
    """A diode, a short length of wire, a cell and a small resistor have something in series, or a rating to keep."""
    known = load_catalogue()
    told = {name: " ".join(f"{one.name} {one.range}" for one in rubric.apparatus) for name, rubric in known.items()}
    assert "470 Ω, 0.5 W in series" in told["iv-characteristic"]
    assert "series resistor" in told["wire-resistance"]
    assert "always in series" in told["emf-internal-resistance"]
    assert told["resistor-combinations"].count("10 to 22 Ω, 2 W or more") == 2


@pytest.mark.parametrize("rubric", RUBRICS)
def test_no_step_is_free(rubric: Rubric) -> None:
    """An answer that others are worked out from has a criterion: else a slip in it, carried forward, costs nothing.

    Not so a step that only another right way needs: whoever goes the first way has nothing to write there.
    """
    paid = {name for one in rubric.criteria if one.check in (CheckKind.VALUE, CheckKind.METHOD) for name in one.items}
    built_on = {name for item in rubric.answers if item.formula is not None for name in item.formula.names}
    steps = {item.name for item in rubric.answers if item.formula is not None}
    assert steps & built_on <= paid


def test_ratings_are_kept() -> None:
    """At the highest p.d. that the list allows, no component is beyond the power that the list gives it."""
    known = load_catalogue()
    told = {name: " ".join(f"{one.name} {one.range}" for one in rubric.apparatus) for name, rubric in known.items()}
    assert "at most 6 V for the resistor" in told["iv-characteristic"]
    assert 6**2 / 10 <= 10
    assert "10 Ω, 10 W" in told["iv-characteristic"]


@pytest.mark.parametrize("rubric", RUBRICS)
def test_what_is_read_on_is_in_the_list(rubric: Rubric) -> None:
    """Each instrument that a reading names stands in the technician's list, and so does eye protection."""
    told = " ".join(f"{one.name} {one.range}" for one in rubric.apparatus).lower()
    for item in rubric.items.values():
        words = [word for word in (item.instrument or "").lower().split() if len(word) >= SHORTEST_NOUN]
        assert not words or any(word in told for word in words), item.name
    if "eye protection" in " ".join(rubric.cautions):
        assert "eye protection" in told


def test_solutions_last_for_the_repeats_that_are_asked_for() -> None:
    """Thiosulfate for every mixture as often as it is read, and acid for each run."""
    rubric = load_catalogue()["rate-disappearing-cross"]
    told = {one.name: one.range for one in rubric.apparatus}
    held = {name: float(text.split(", ")[1].split(" ")[0]) for name, text in told.items() if "mol/dm³" in text}
    runs = sum(1 for item in rubric.items.values() if item.repeat_of == "t")
    assert held["sodium thiosulfate solution"] >= runs * sum((50, 40, 30, 20, 10))
    assert held["dilute hydrochloric acid"] >= runs * 5 * 5


@pytest.mark.parametrize(("name", "most"), [("density-cylinder-sphere", 1), ("young-modulus", 2)])
def test_one_diameter_is_not_several(name: str, most: int) -> None:
    """Where several diameters are asked for, a mean of fewer does not show them."""
    rubric = load_catalogue()[name]
    asked = next(one for one in rubric.criteria if one.code == "R4")
    assert (asked.check, asked.items) == (CheckKind.ROWS, ("d",))
    assert asked.rows == most + 1

"""What speaks against an answer, in its own words, figures and boxes, leaves it to the teacher."""

from __future__ import annotations

import pytest

from marking.checking.short_answers.marked_before import Marked
from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal, Why
from rubrics.load import load_catalogue
from rubrics.model import Moves
from tests.short_answers.marked_hands import asked
from tests.short_answers.proposed_rows import WAYS, proposed

MOST_TRAPS = 1 / 50


@pytest.mark.campaign
@pytest.mark.parametrize(
    "turned",
    [
        "It is wrong to say that {}",
        "some people think {} but it isnt",
        "there is no need to {}",
        "leave it as it is instead of {}",
        "{} or maybe the other way round",
        "I am not sure but {}",
    ],
)
def test_a_right_answer_that_is_turned_round_is_left_to_the_teacher(turned: str) -> None:
    """What is proposed as it stands is hardly ever proposed when it is denied, or left open."""
    right = proposed()
    got = sum(read_answer(asked(row), turned.format(row["text"])).proposal is Proposal.AWARDED for row in right)
    assert got / len(right) <= MOST_TRAPS


def test_what_is_not_to_be_done_is_no_improvement() -> None:
    """'Don't' in front of an improvement leaves it to the teacher."""
    right = [row for row in proposed() if row["question"] == "improve"]
    got = sum(read_answer(asked(row), "dont " + row["text"]).proposal is Proposal.AWARDED for row in right)
    assert got / len(right) <= MOST_TRAPS


PRODUCTS = {"pV": [2010.0, 1998.0, 2025.0, 2004.0, 2015.0], "Vol": [40.0, 30.0, 20.0], "p": [50.3, 66.6, 101.2]}


@pytest.mark.parametrize(
    ("answer", "own", "proposal"),
    [
        pytest.param("pV is 2010, 1998, 2025", PRODUCTS, Proposal.AWARDED, id="own products, all alike"),
        pytest.param("pV is 2010, 1998, 2300", PRODUCTS, Proposal.UNSURE, id="one that is not the student's own"),
        pytest.param("pV is 2010, 1998, 2025", {}, Proposal.UNSURE, id="no table to hold them against"),
        pytest.param("pV stays the same", PRODUCTS, Proposal.AWARDED, id="in words"),
        pytest.param("pV stays the same", {"pV": [2000.0, 1500.0, 1200.0]}, Proposal.UNSURE, id="own column falls"),
        pytest.param("p v is 2010, 1600, 1300 so it stays constant", {}, Proposal.UNSURE, id="figures that fall"),
        pytest.param("at 40 it was 50.3 and at 20 it was 101.2", PRODUCTS, Proposal.AWARDED, id="half and twice"),
        pytest.param("at 40 it was 50.3 and at 30 it was 66.6", PRODUCTS, Proposal.UNSURE, id="too near to tell"),
        pytest.param("p against V is a straight line through the origin", {}, Proposal.WITHHELD, id="the wrong line"),
    ],
)
def test_own_figures_count_as_evidence(answer: str, own: dict[str, list[float]], proposal: Proposal) -> None:
    """Figures of the student's own table show that something stays the same, or halves; others show nothing."""
    question = load_catalogue()["boyle"].items["pattern"].question
    assert question is not None
    assert read_answer(question, answer, own).proposal is proposal


@pytest.mark.parametrize(
    ("way", "off", "proposal"),
    [
        (Moves.LOW, Moves.LOW, Proposal.AWARDED),
        (Moves.LOW, None, Proposal.AWARDED),
        (Moves.LOW, Moves.HIGH, Proposal.UNSURE),
    ],
)
def test_a_direction_agrees_with_the_own_result(way: Moves, off: Moves | None, proposal: Proposal) -> None:
    """'Below, because of friction' is not proposed where the student's own value lies above."""
    question = load_catalogue()["slope-acceleration"].items["compare"].question
    assert question is not None
    assert read_answer(question, Parts(what="friction", way=way), None, off).proposal is proposal


LOOP = {"R_parallel": [6.1], "R_series": [24.9], "R_1": [10.0], "R_2": [15.0]}


@pytest.mark.parametrize(
    ("answer", "own", "proposal"),
    [
        pytest.param("series is more than each, parallel is less than each", LOOP, Proposal.AWARDED, id="as measured"),
        pytest.param(
            "series is more than each, parallel is less than each",
            LOOP | {"R_parallel": [12.4]},
            Proposal.UNSURE,
            id="own value lies between",
        ),
        pytest.param(
            "series is more than each, parallel is less than each. parallel 12.4, R1 10.0",
            {},
            Proposal.UNSURE,
            id="quoted",
        ),
    ],
)
def test_what_is_above_or_below_is_held_against_the_figures(
    answer: str, own: dict[str, list[float]], proposal: Proposal
) -> None:
    """Single values speak against a comparison, and never for it."""
    question = load_catalogue()["resistor-combinations"].items["compare"].question
    assert question is not None
    assert read_answer(question, answer, own).proposal is proposal


@pytest.mark.parametrize(
    ("answer", "proposal"),
    [
        pytest.param("a = 0.90 and gh/D = 0.98 so mine is below it because of friction", Proposal.AWARDED, id="below"),
        pytest.param("a = 1.32 and gh/D = 0.98 so mine is below it because of friction", Proposal.UNSURE, id="above"),
        pytest.param("mine is below it because of friction in the axles", Proposal.AWARDED, id="no figures"),
    ],
)
def test_two_figures_that_are_quoted_say_which_is_larger(answer: str, proposal: Proposal) -> None:
    """'Below' beside figures that say above is left to the teacher."""
    question = load_catalogue()["slope-acceleration"].items["compare"].question
    assert question is not None
    assert read_answer(question, answer).proposal is proposal


OTHERWISE = [
    pytest.param(
        "boyle", "pattern", "100 x 40 = 4000, 130 x 35 = 4550, 180 x 30 = 5400 so p times V is constant", id="sums"
    ),
    pytest.param(
        "cooling-insulation",
        "kept",
        "I kept changing the amount of water and the starting temp and what cup I used",
        id="all words of right ones",
    ),
    pytest.param(
        "trolley-force",
        "pattern",
        "straight, misses 0 due to friction, mass from line 0.6 kg, balance 1.2 kg so they agree",
        id="two that do not agree",
    ),
    pytest.param(
        "density-cuboid", "why_off", "Paint on all the sides adds mass so the density comes out too high", id="paint"
    ),
    pytest.param(
        "density-cuboid",
        "why_off",
        "Balance showed 0.4 g with nothing on it and we didn't zero it, so the density came out too low",
        id="zero error shown",
    ),
    pytest.param(
        "iv-characteristic",
        "why_off",
        "voltmeter was across the ammeter as well so V was too big, which makes V/I too small",
        id="quotient",
    ),
    pytest.param(
        "density-cylinder-sphere",
        "why_off",
        "calipers were tilted on the ball so the diameter was too big and the density too low",
        id="of a ball",
    ),
    pytest.param(
        "sound-speed", "why_off", "in the echo one the wind was blowing so the speed is too high", id="of an echo"
    ),
    pytest.param(
        "boyle",
        "pattern",
        "10 cm3 gave 200 kPa and 20 cm3 gave 150 kPa so when volume doubles the pressure halves",
        id="pairs",
    ),
    pytest.param(
        "lens-focal-length",
        "why_off",
        "distances were measured from the edge of the holder so they were too small and f too big",
        id="they",
    ),
    pytest.param(
        "specific-heat-block", "why_off", "heat escaped so the block got hotter and c is too big", id="hotter"
    ),
    pytest.param("specific-heat-block", "why_off", "heat escaped so the block went up more, c too big", id="went up"),
    pytest.param("quadrat", "trust", "nearly the same number in each, 1, 13, 4 and 22, counts are alike", id="counts"),
    pytest.param("cooling-insulation", "kept", "volume of water 100 ml, 140 ml and 120 ml, start temperature", id="ml"),
    pytest.param("cooling-insulation", "kept", "starting temperature 85, 79 and 70 and the volume of water", id="list"),
    pytest.param(
        "slope-acceleration", "compare", "0.81 from timing, 0.75 from theory, so mine is lower, friction", id="above"
    ),
    pytest.param("specific-heat-block", "when_read", "highest temperature, right when it was turned off", id="when"),
    pytest.param("titration", "improve", "rinse the burette with acid and finally with water", id="order"),
    pytest.param("osmosis", "why", "osmosis, water goes from the sugar solution into the potato", id="backwards"),
    pytest.param("led-planck", "evaluate", "have the room lights on so you can see the led", id="lights, and a can"),
    pytest.param("quadrat", "improve", "use random coordinates unless there are no plants there", id="exception"),
    pytest.param(
        "density-displacement",
        "how",
        "volume is how much space it takes up so I got how much space it takes",
        id="circle",
    ),
]
LIKEWISE = [
    pytest.param(
        "density-cuboid",
        "why_off",
        "Balance showed 0.4 g with nothing on it and we didn't zero it, so the density came out too high",
        id="zero error shown",
    ),
    pytest.param(
        "density-cylinder-sphere",
        "why_off",
        "calipers were tilted on the rod so the diameter was too big and the density too low",
        id="of a rod",
    ),
    pytest.param(
        "boyle",
        "pattern",
        "at 10 cm3 it was 200 kPa, at 20 cm3 101 kPa so doubling the volume halves the pressure",
        id="pairs",
    ),
    pytest.param("quadrat", "trust", "counts were close, 5, 6, 4 and 6, so not much variation", id="counts"),
    pytest.param("cooling-insulation", "kept", "volume 150 ml, starting temperature 80 and the time 10 min", id="kept"),
    pytest.param(
        "slope-acceleration", "compare", "0.70 from timing, 0.75 from theory, so mine is lower, friction", id="below"
    ),
    pytest.param(
        "specific-heat-block", "when_read", "after switching off I waited until it was at its highest", id="when"
    ),
    pytest.param("osmosis", "why", "osmosis, water goes from the potato into the sugar solution", id="forwards"),
]


@pytest.mark.parametrize(("practical", "question", "text"), OTHERWISE)
def test_what_denies_itself_is_left_to_the_teacher(practical: str, question: str, text: str) -> None:
    """Own figures, an order, a way or an exception that do not go with what is said."""
    assert read_answer(asked({"practical": practical, "question": question}), text).proposal is not Proposal.AWARDED


@pytest.mark.parametrize(("practical", "question", "text"), LIKEWISE)
def test_what_agrees_with_itself_is_proposed(practical: str, question: str, text: str) -> None:
    """The same words, where figures and way go with what is said: by what is said alone, and no answers before."""
    found = read_answer(asked({"practical": practical, "question": question}), text, marked=Marked((), ()))
    assert found.proposal is Proposal.AWARDED or found.why is Why.UNLIKE


@pytest.mark.parametrize(
    ("practical", "what", "way", "because", "is_sure"),
    [
        ("sound-speed", "wind behind the sound", "too high", "it arrives sooner", True),
        ("sound-speed", "wind behind the sound", "too low", "it arrives sooner", False),
        ("specific-heat-block-vit", "heat lost to the room", "too high", "the air took heat from it", True),
        ("specific-heat-block-vit", "heat moved to the block", "too high", "it took heat from the air", False),
    ],
)
def test_the_reason_has_to_go_with_the_way(practical: str, what: str, way: str, because: str, is_sure: bool) -> None:
    """What comes early took a short time, and what takes heat in loses none."""
    question = asked({"practical": practical, "question": "why_off"})
    found = read_answer(question, Parts(what=what, way=WAYS[way], because=because))
    assert (found.proposal is Proposal.AWARDED) is is_sure

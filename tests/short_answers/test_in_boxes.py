"""A source of error in its box: which of several it is, and what of its words means something else."""

from __future__ import annotations

import pytest

from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal
from rubrics.load import load_catalogue
from rubrics.model import Moves


@pytest.mark.parametrize(
    ("practical", "name", "parts", "proposal"),
    [
        pytest.param(
            "density-displacement",
            "why_off",
            Parts(what="fat string went in the water as well", way=Moves.LOW, because="makes the volume look bigger"),
            Proposal.AWARDED,
            id="a splash is not meant",
        ),
        pytest.param(
            "osmosis",
            "evaluate",
            Parts(what="chip pressed in the towel hard", way=Moves.LOW, because="juice came out"),
            Proposal.AWARDED,
            id="no improvement that makes it worse",
        ),
        pytest.param(
            "osmosis",
            "evaluate",
            Parts(what="chip pressed in the towel hard", way=Moves.HIGH, because="juice came out"),
            Proposal.UNSURE,
            id="the other way",
        ),
        pytest.param(
            "specific-heat-block",
            "why_off",
            Parts(what="heat lost to the room", way=Moves.HIGH, because="the rise is too big"),
            Proposal.UNSURE,
            id="a reason against it",
        ),
        pytest.param(
            "sound-speed",
            "why_off",
            Parts(what="the number", way=Moves.LOW, because="sound is slower when it is cold"),
            Proposal.UNSURE,
            id="the reason alone names nothing",
        ),
    ],
)
def test_a_source_among_others(practical: str, name: str, parts: Parts, proposal: Proposal) -> None:
    """The words of both boxes together say which source is meant; a reason against it is still against it."""
    question = load_catalogue()[practical].items[name].question
    assert question is not None
    assert read_answer(question, parts).proposal is proposal

"""Facts are made when a sentence asks for them, and no earlier."""

from __future__ import annotations

import pickle
from collections.abc import Mapping

import pytest

from marking.checking.case.lazy_facts import Facts
from tests.checking.rows import HEAT, changed, found

ALL = {"formula": "c = E ÷ (m × ΔT)", "wrote": "900", "working": "1 ÷ 2"}


class Asked:
    """Counts how often facts were made."""

    def __init__(self) -> None:
        """Start with none."""
        self.times = 0

    def make(self) -> Mapping[str, str]:
        """Return all facts."""
        self.times += 1
        return ALL


def test_facts_are_made_once_and_at_the_first_look() -> None:
    """Whatever is asked for first, and however often; one that is not there is missed then."""
    asked = Asked()
    one = Facts(asked.make)
    assert asked.times == 0
    with pytest.raises(KeyError):
        one["readings"]
    assert (one["working"], one.get("wrote"), one.get("unheard of", ""), asked.times) == ("1 ÷ 2", "900", "", 1)


def test_facts_are_a_mapping_like_others() -> None:
    """Looked at or not, here or in another process."""
    one = Facts(Asked().make)
    assert dict(one) == ALL
    assert (len(one), "working" in one) == (3, True)
    assert pickle.loads(pickle.dumps(Facts(lambda: ALL))) == ALL


def test_facts_of_an_answer_asked_for_one_by_one_are_those_of_the_whole() -> None:
    """Each has the words that the mapping has, in its order; one that cannot be told is not there."""
    facts = found("specific-heat-block", changed(HEAT, c="123"), "F1")[0].facts
    whole = dict(facts)
    assert list(whole) == ["quantity", "symbol", "unit", "wrote", "formula", "expected", "readings", "working"]
    assert all(facts[name] == facts.get(name) == words for name, words in whole.items())
    assert (len(facts), "carried" in facts, facts.get("carried", "none")) == (8, False, "none")
    assert pickle.loads(pickle.dumps(facts)) == whole


def test_facts_that_cannot_be_told_of_an_answer_are_not_there() -> None:
    """Without all of its readings an answer has a formula, and neither value nor working."""
    facts = found("specific-heat-block", "E,,20400,J\nc,,123,J/(kg °C)", "F1")[0].facts
    assert list(facts) == ["quantity", "symbol", "unit", "wrote", "formula", "readings"]
    with pytest.raises(KeyError):
        facts["working"]


def test_more_facts_stand_behind_those_of_the_formula() -> None:
    """What the check itself adds comes last, and is there like the others."""
    facts = found("specific-heat-block", changed(HEAT, dT="20.0", c="1022"), "F1")[0].facts
    assert list(facts)[-1] == "carried"
    assert facts["carried"] == facts.get("carried") == "your ΔT of 20.0 °C"

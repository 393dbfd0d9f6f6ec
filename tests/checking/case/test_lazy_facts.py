"""Facts are made when a sentence asks for them, the few that most ask for before the others."""

from __future__ import annotations

import pickle
from collections.abc import Mapping

import pytest

from marking.checking.case.lazy_facts import Facts

ALL = {"formula": "c = E ÷ (m × ΔT)", "wrote": "900", "working": "1 ÷ 2"}


class Asked:
    """Counts how often facts were made."""

    def __init__(self) -> None:
        """Start with none."""
        self.few = self.all = 0

    def make_few(self) -> Mapping[str, str]:
        """Return the few."""
        self.few += 1
        return {name: fact for name, fact in ALL.items() if name != "working"}

    def make_all(self) -> Mapping[str, str]:
        """Return all."""
        self.all += 1
        return ALL


def facts(asked: Asked) -> Facts:
    """Return facts in two parts."""
    return Facts(asked.make_all, asked.make_few, frozenset({"working", "readings"}))


def test_the_few_are_had_without_the_others() -> None:
    """A sentence that names the formula waits for no working; a fact that is not there is missed as cheaply."""
    asked = Asked()
    one = facts(asked)
    assert (one["formula"], one.get("wrote"), one.get("unheard of", "")) == (ALL["formula"], "900", "")
    assert (asked.few, asked.all) == (1, 0)


def test_the_others_bring_all() -> None:
    """Once all are made, nothing is made again; one of the others that is not there is missed then."""
    asked = Asked()
    one = facts(asked)
    with pytest.raises(KeyError):
        one["readings"]
    assert (one["working"], one["formula"]) == ("1 ÷ 2", ALL["formula"])
    assert (asked.few, asked.all) == (0, 1)


def test_both_ways_lead_to_the_same_mapping() -> None:
    """In one part or two, looked at or not, here or in another process."""
    whole = Facts(lambda: ALL)
    assert dict(whole) == dict(facts(Asked())) == ALL
    assert (len(whole), "working" in facts(Asked())) == (3, True)
    assert pickle.loads(pickle.dumps(facts(Asked()))) == ALL

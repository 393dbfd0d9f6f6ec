"""Records that are quick to make are in all that shows the dataclasses of the standard library."""

from __future__ import annotations

import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from rubrics.records.quick_records import dataclass as quick

Maker = Callable[..., Any]


class _Written:
    """As the fields of a record are written down."""

    item: str
    row: int = 1
    facts: dict[str, str] = dataclasses.field(default_factory=dict, compare=False, repr=False)


def made(maker: Maker, **options: bool) -> Any:  # noqa: ANN401 (a class that is made here)
    """Return a record class made by *maker*."""
    return maker(**options)(type("Record", (), {**dict(_Written.__dict__), "__qualname__": "Record"}))


@pytest.mark.parametrize("slots", [True, False], ids=["slots", "dict"])
@pytest.mark.parametrize("frozen", [True, False], ids=["frozen", "open"])
def test_they_show_compare_and_hash_alike(frozen: bool, slots: bool) -> None:
    """Shown, equal, unequal, hashed or not: as the standard library has it, field by field."""
    classes = [made(maker, frozen=frozen, slots=slots, kw_only=True) for maker in (dataclasses.dataclass, quick)]
    shown = []
    for one in classes:
        first, same, other = one(item="m"), one(item="m", facts={"a": "b"}), one(item="m", row=2)
        assert first == same != other
        assert first != classes[0 if one is classes[1] else 1](item="m")
        assert dataclasses.replace(first, row=2) == other
        shown.append((repr(first), dataclasses.asdict(other)))
        if frozen:
            assert hash(first) == hash(same)
            assert len({first, same, other}) == 2
        else:
            with pytest.raises(TypeError):
                hash(first)
    assert shown[0] == shown[1]


def test_what_a_class_has_of_its_own_stays() -> None:
    """A class that says how it is shown, compared or hashed is left to it."""

    @quick(frozen=True, slots=True)
    class Own:
        item: str

        def __repr__(self) -> str:
            return "mine"

        def __eq__(self, other: object) -> bool:
            return True

        def __hash__(self) -> int:
            return 7

    assert repr(Own("a")) == "mine"
    assert Own("a") == 3
    assert hash(Own("a")) == 7


def test_a_record_without_fields_and_one_with_an_order() -> None:
    """Nothing in it makes two records equal; those with an order are sorted field by field."""

    @quick(frozen=True, slots=True)
    class Nothing:
        pass

    @quick(frozen=True, slots=True, order=True)
    class Ranked:
        rank: int
        name: str

    assert Nothing() == Nothing()
    assert hash(Nothing()) == hash(Nothing())
    assert sorted([Ranked(2, "a"), Ranked(1, "z"), Ranked(1, "b")])[0] == Ranked(1, "b")


@quick(frozen=True, slots=True, kw_only=True)
class Sent:
    """What goes to another process."""

    item: str
    row: int = 1


def test_a_record_goes_to_another_process_and_back() -> None:
    """Pickled and read again it is what it was."""
    assert pickle.loads(pickle.dumps(Sent(item="m", row=3))) == Sent(item="m", row=3)

"""Scripts that are made when they are asked for are those of the whole set."""

from __future__ import annotations

from msgspec.structs import replace

from marking.checking import count, mark_set, no_values, scripts_of, still_open
from marking.checking.settling_class import settle
from tests.checking.rows import HEAT, changed, read_class


def test_some_at_a_time_and_in_any_order_they_are_those_of_the_set() -> None:
    """Marked with the same settled shares, each script is the one at its place in the set, but for what paper shows."""
    lines = {f"S{number}": changed(HEAT, c=one) for number, one in enumerate(("973", "0.997", "9734", "917"))}
    rubric, class_set = read_class("specific-heat-block", lines)
    settled = settle(rubric, [count(rubric, class_set.write_ups)])
    scripts = scripts_of(rubric, class_set.write_ups, settled)
    whole = mark_set(rubric, class_set, settled).scripts
    bare = [replace(one, plot=None, result=None) for one in whole]
    assert [*scripts([3]), *scripts([1, 0]), *scripts(()), *scripts([2])] == [bare[place] for place in (3, 1, 0, 2)]
    assert all(one.result is not None for one in whole)
    assert mark_set(rubric, class_set).scripts == whole  # a class settles its shares itself


def test_remarks_stand_but_for_words_where_no_number_can() -> None:
    """A remark on a cell that rightly holds words goes; one on any other cell, or on none, stays."""
    rubric, class_set = read_class("specific-heat-block", {"S0": changed(HEAT, c="very large")})
    places = [one.place for one in class_set.remarks]
    assert any(places)
    assert still_open(class_set.remarks, set()) == class_set.remarks
    assert all(one.place is None for one in still_open(class_set.remarks, set(places)))
    assert list(no_values(mark_set(rubric, class_set).scripts[0])) == []

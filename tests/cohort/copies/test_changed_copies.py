"""Copied pages whose figures were changed are found by what does not fit together any more; honest slips are not."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from marking.cohort.copies import Alike, alike_pages
from marking.cohort.copies.page_slips import page_slips, rarity
from marking.cohort.copies.written_cells import reading_pages
from marking.cohort.evidence import partners_of
from marking.write_up import WriteUp
from tests.cohort.altered import WAYS, handed_in
from tests.cohort.answered import answered
from tests.cohort.simulated import as_marked, rubric_of, simulate, written
from tests.cohort.slipped import slipped

BLOCK = "specific-heat-block"
LIMIT = 0.001


def block_class(seed: int) -> list[WriteUp]:
    """Return thirty pages of blocks with right answers."""
    return [answered(one) for one in simulate(BLOCK, seed)]


def pairs(works: list[WriteUp], practical: str = BLOCK) -> tuple[Alike, ...]:
    """Return the pages of a class that are alike."""
    return alike_pages(rubric_of(practical), partners_of(as_marked(practical, works)), LIMIT)


def rewritten(one: WriteUp, **cells: str) -> WriteUp:
    """Return a page with some single numbers written over."""
    return replace(
        one,
        singles={
            name: written((cells[name], entry.unit_raw)) if name in cells else entry
            for name, entry in one.singles.items()
        },
    )


def as_copied(works: list[WriteUp], **cells: str) -> list[WriteUp]:
    """Return the class with the third page handed in by the eighth, some numbers changed."""
    return [
        rewritten(replace(works[2], student=one.student), **cells) if n == 7 else one for n, one in enumerate(works)
    ]


def test_answers_that_go_with_the_figures_before_they_were_changed() -> None:
    """Start and energy changed, the rise and the capacity as copied: nobody's luck."""
    works = block_class(5012)
    assert pairs(works) == ()
    (found,) = pairs(as_copied(works, T_start="29.5", E="71060"))
    assert (found.first, found.second) == (2, 7)
    assert found.chance <= LIMIT
    assert found.explains


def test_the_same_changes_with_answers_of_their_own_say_less() -> None:
    """What is left alike then is mass and end, and some figures."""
    works = block_class(5012)
    changed = as_copied(works, T_start="20.0", E="23100")
    changed[7] = answered(changed[7])
    assert pairs(changed) == ()


def test_one_odd_reading_on_an_honest_page_is_no_lead() -> None:
    """A mass misread in its first digit, temperatures like another bench's."""
    works = block_class(5002)
    honest = rewritten(
        works[7], m="2.004", T_start=works[2].singles["T_start"].raw, T_end=works[2].singles["T_end"].raw
    )
    assert pairs([answered(honest) if n == 7 else one for n, one in enumerate(works)]) == ()


def test_figures_that_no_instrument_shows_are_slips() -> None:
    """A joulemeter that shows hundreds, a thermometer that is read to half a degree."""
    works = as_copied(block_class(5002), T_start="20.3", E="20917")
    rubric, partners = rubric_of(BLOCK), partners_of(as_marked(BLOCK, works))
    pages = reading_pages(rubric, partners)
    odd = page_slips(rubric, pages).odd
    assert [pages.cells[cell][0] for cell in np.flatnonzero(odd[7])] == ["T_start", "E"]
    assert odd.sum() == 2


def test_answers_that_carry_a_wrong_one_on_are_no_slips_of_their_own() -> None:
    """A rise that is wrong, and a capacity that follows from it."""
    works = block_class(5002)
    one = works[4].singles
    values = [float(one[name].raw) for name in ("E", "m", "T_end", "T_start")]
    rise = values[2] - values[3] + 9
    works[4] = rewritten(works[4], dT=f"{rise:.1f}", c=f"{values[0] / (values[1] * rise):.0f}")
    rubric, partners = rubric_of(BLOCK), partners_of(as_marked(BLOCK, works))
    slips = page_slips(rubric, reading_pages(rubric, partners))
    assert slips.wrong_answers.tolist() == [int(n == 4) for n in range(30)]


@settings(deadline=None)
@given(st.lists(st.integers(0, 6), min_size=3, max_size=40), st.integers(0, 8))
def test_slips_are_the_less_rare_the_more_pages_have_them(counts: list[int], slips: int) -> None:
    """Never rarer than one page in the class, but for slips beyond the worst of the others; more are never commoner."""
    pages = np.array(counts)
    share = rarity(pages, 0, 1, slips)
    others = counts[2:]
    assert 0 < share <= 1
    assert rarity(pages, 0, 1, slips + 1) <= share
    assert rarity(pages, 0, 1, 0) == 1
    if slips <= max(others):
        assert share >= (1 + sum(one >= slips for one in others)) / (len(others) + 1) - 1e-9


@pytest.mark.parametrize("practical", ["resistor-combinations", BLOCK])
def test_honest_pages_with_slips_carry_no_lead(practical: str) -> None:
    """Half of the pages with a slip or more; few classes, since the campaign has many."""
    for seed in range(4):
        chance = Random(seed)
        assert pairs([slipped(one, chance) for one in simulate(practical, seed)], practical) == ()


@pytest.mark.parametrize(("practical", "classes", "enough"), [("resistor-combinations", 4, 3), (BLOCK, 12, 6)])
def test_most_pages_with_a_fifth_of_the_digits_changed_are_found(practical: str, classes: int, enough: int) -> None:
    """Nobody else is named with them."""
    found = 0
    for seed in range(5010, 5010 + classes):
        works = [answered(one) for one in simulate(practical, seed)]
        works[7] = handed_in(works[2], works[7].student, WAYS["each digit at 1 in 5, answers too"], Random(seed))
        named = [(one.first, one.second) for one in pairs(works, practical)]
        assert not [pair for pair in named if pair != (2, 7) and {2, 7} & {*pair}]
        found += (2, 7) in named
    assert found >= enough

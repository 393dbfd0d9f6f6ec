"""Jobs done alone and with others: the same outcomes in the same order, whoever did them."""

from __future__ import annotations

import os
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from marking.hands import Shared, hands
from marking.hands.jobs import Job
from rubrics.faults import InputError
from tests.hands import work


@pytest.fixture(scope="module")
def helped() -> Iterator[Shared]:
    """This process and one that helps it, which is ready."""
    with hands(100, 2) as those:
        those.finished(_given(those))
        yield those


def _given(those: Shared) -> Job[int]:
    """Wait until the helper has taken a job."""
    begun = those.begun(work.slow, [0.0])
    for _ in range(1000):
        if begun.jobs[0].is_over:
            break
        time.sleep(0.01)
    return begun.jobs[0]


@given(st.lists(st.integers(0, 100)))
def test_alone_everything_is_done_in_order(numbers: list[int]) -> None:
    """One after the other, each when its turn comes."""
    assert list(Shared(5).each(work.squared, numbers)) == [(5 + one * one, os.getpid()) for one in numbers]


def test_alone_nothing_is_done_before_it_is_asked_for() -> None:
    """What is begun waits until somebody wants it; what somebody waits for comes first."""
    those, done = Shared(None), []
    begun = those.begun(lambda _, one: done.append(one), [1, 2])
    assert done == []
    list(those.each(lambda _, one: done.append(one), [3]))
    assert done == [3]
    list(begun.all())
    assert done == [3, 1, 2]


def test_alone_a_part_is_made_when_the_one_before_is_used() -> None:
    """So that no more than one is in memory."""
    made: list[int] = []

    def items() -> Iterator[int]:
        for number in range(5):
            made.append(number)
            yield number

    for number, found in enumerate(Shared(None).each(lambda _, one: one, items())):
        assert found == number
        assert len(made) == number + 1


def test_two_processes_share_the_work_and_keep_the_order(helped: Shared) -> None:
    """Both have done some of it."""
    found = list(helped.each(work.slow, [0.02] * 12))
    assert len(found) == 12
    assert len(set(found)) == 2
    assert os.getpid() in found
    assert [one for one, _ in helped.each(work.squared, range(50))] == [100 + one * one for one in range(50)]


def test_few_parts_are_under_way(helped: Shared) -> None:
    """However many there are, hardly more are made than are used."""
    made: list[int] = []

    def items() -> Iterator[int]:
        for number in range(40):
            made.append(number)
            yield number

    for number, _ in enumerate(helped.each(work.squared, items())):
        assert len(made) <= number + 1 + 4


def test_what_was_begun_is_done_meanwhile(helped: Shared) -> None:
    """A helper does it while this process does something else."""
    begun = helped.begun(work.squared, range(4))
    deadline = time.monotonic() + 20
    while not all(job.is_over for job in begun.jobs) and time.monotonic() < deadline:
        time.sleep(0.01)
    found = list(begun.all())
    assert [one for one, _ in found] == [100, 101, 104, 109]
    assert os.getpid() not in {who for _, who in found}


def test_the_last_of_it_is_left_to_a_helper(helped: Shared) -> None:
    """Whoever asks for most of it goes on while the last is still being done, and then gets the rest, each once."""
    begun = helped.begun(work.slow, [0.02] * 35 + [0.2] * 5)
    most = list(begun.most())
    assert os.getpid() in most
    assert 0 < len(begun.jobs) < 40
    assert not begun.jobs[-1].is_over
    rest = list(begun.all())
    assert len(most) + len(rest) == 40
    assert os.getpid() not in rest
    assert list(begun.all()) == []
    assert list(helped.each(work.squared, range(9))) != []


def test_what_all_jobs_need_may_be_told_once_all_are_started() -> None:
    """Both sides know it by their first job, though neither did while it loaded."""
    with hands(None, 2, work.unknown) as those:
        those.finished(_given(those))
        those.know(1000)
        found = list(those.each(work.with_common, [0.02] * 12))
    assert {common for common, _ in found} == {1000}
    assert len({who for _, who in found}) == 2


def test_alone_nothing_is_left_for_later() -> None:
    """Most of it is all of it."""
    begun = Shared(5).begun(work.squared, range(30))
    assert [one for one, _ in begun.most()] == [5 + one * one for one in range(30)]
    assert list(begun.all()) == []


def test_what_somebody_waits_for_is_not_put_behind_spare_work(helped: Shared) -> None:
    """A part stays here where a helper has something long to do that nobody waits for."""
    long = helped.begun(work.slow, [0.5])
    start = time.monotonic()
    assert list(helped.each(work.slow, [0.0, 0.0])) == [os.getpid()] * 2
    assert time.monotonic() - start < 0.4
    list(long.all())


def test_much_waits_on_the_disk_and_is_gone_afterwards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is left, even of what nobody took up."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with hands(None, 2) as those:
        begun = those.begun(work.large, [1_000_000, 10, 1_000_000])
        for _ in range(1000):
            if all(job.is_over for job in begun.jobs):
                break
            time.sleep(0.01)
        assert sum(file.is_file() for file in tmp_path.rglob("*")) == 2
        assert len(next(begun.all())) == 1_000_000
        assert sum(file.is_file() for file in tmp_path.rglob("*")) == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("workers", [1, 2])
def test_what_goes_wrong_comes_up_in_its_turn(workers: int, helped: Shared) -> None:
    """What was before it is yielded, whoever met it."""
    done = (Shared(None) if workers == 1 else helped).each(work.refused, range(6))
    assert [next(done) for _ in range(3)] == [0, 1, 2]
    with pytest.raises(ValueError, match="3"):
        next(done)


def test_an_interrupt_comes_up_at_once() -> None:
    """It is nobody's outcome."""

    def interrupted(_: object, __: int) -> int:
        raise KeyboardInterrupt

    job: Job[int] = Job(interrupted, 1)
    with pytest.raises(KeyboardInterrupt):
        job.do(None)
    assert not job.is_over


def test_a_helper_that_is_ended_from_outside_is_told_in_one_line(tmp_path: Path) -> None:
    """And all that it had is told so, whatever was given to it later."""
    with hands(None, 2) as those:
        begun = those.begun(work.ended, [str(tmp_path / "gone")])
        for _ in range(1000):
            if begun.jobs[0].is_over:
                break
            time.sleep(0.01)
        with pytest.raises(InputError, match="ended from outside"):
            list(begun.all())
    assert threading.active_count() < 20

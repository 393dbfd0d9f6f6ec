"""Killed in the middle of decisions: all that was acknowledged is there, nothing is there by half, the chain checks."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from marking.record.chain import breaks
from marking.record.opening import open_record

ROOT = Path(__file__).resolve().parents[2]


def killed_in_the_middle(address: str, window: str, seconds: float, *, has_decided: bool) -> list[str]:
    """Let a process decide for so many seconds, kill it, and return the ids that it had acknowledged.

    With *has_decided* the seconds start at the first decision, which a busy machine takes its time for.
    """
    with subprocess.Popen(
        [sys.executable, "-m", "tests.record.deciding", address, window],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "open\n"
        first = [process.stdout.readline()] if has_decided else []
        time.sleep(seconds)
        process.kill()
        # The last line may be cut off; what was not said whole was not acknowledged.
        said = [*first, *process.stdout.read().splitlines(keepends=True)]
        return [line[:-1] for line in said if line.endswith("\n")]


def try_kills(address: str, kills: int) -> None:
    """Kill so many processes, one after the other, at moments of all kinds."""
    chance = random.Random(7)
    acknowledged: list[str] = []
    for kill in range(kills):
        acknowledged += killed_in_the_middle(address, f"k{kill}", chance.uniform(0, 0.5), has_decided=kill == 0)
        record = open_record(address, may_begin=False)
        held = record.whole()
        record.close()
        assert breaks(held) == ()
        assert {line.id for line in held.lines} >= set(acknowledged)
        assert all(line.particulars is not None for line in held.lines)
    # At most the one in each process that was written and not yet said.
    assert len(acknowledged) <= len(held.lines) <= len(acknowledged) + kills
    assert acknowledged


def test_nothing_acknowledged_is_lost(address: str) -> None:
    """A few kills, on both databases."""
    try_kills(address, 2)


@pytest.mark.campaign
def test_two_hundred_kills(address: str) -> None:
    """Many more."""
    try_kills(address, 200)

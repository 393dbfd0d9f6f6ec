"""The next edition of a scheme, beside the round of scripts that all have marked."""

from __future__ import annotations

from pathlib import Path

from marking.outputs import put_file
from marking.rounds import next_edition, scheme_text
from marking.staffroom.rounds_at_hand import Round
from rubrics.faults import InputError
from rubrics.load import read_rubric

NEXT = "next-edition.toml"


def next_scheme(one: Round) -> Path:
    """Return where the next edition of a round's scheme is kept."""
    return one.first.folder / NEXT


def settle(one: Round, *, criterion: str, new: str, who: str, day: str) -> None:
    """Keep a wording that a meeting has settled; several go into one next edition.

    Raises:
        InputError: No wording, no such criterion, or the scheme would not be sound.
    """
    if not new:
        raise InputError(criterion, "no wording is written", "write what earns the mark from now on")
    path = next_scheme(one)
    before = path.read_text(encoding="utf-8") if path.is_file() else scheme_text(one.first.key.practical)
    text = next_edition(before, NEXT, one.first.key, criterion=criterion, new=new[:500], who=who, day=day)
    trial = path.with_name("next-edition.trial.toml")
    put_file(trial, text.encode())
    try:
        read_rubric(trial)  # a scheme that is not sound takes no other's place
    finally:
        trial.unlink()
    put_file(path, text.encode())

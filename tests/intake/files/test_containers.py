"""What is turned away before any reader sees it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from marking.intake.files.containers import MAX_BYTES, Kind, open_container
from rubrics.faults.errors import InputError


def refusal(path: Path) -> str:
    """Return why a file is turned away."""
    with pytest.raises(InputError) as refused:
        open_container(path, path.name)
    return refused.value.problem


@pytest.mark.parametrize(("size", "is_taken"), [(MAX_BYTES, True), (MAX_BYTES + 1, False)])
def test_a_file_is_taken_up_to_a_limit(size: int, is_taken: bool, tmp_path: Path) -> None:
    """A larger one is refused by its size on the disk, unread."""
    path = tmp_path / "class.csv"
    with path.open("wb") as file:
        file.write(b"student,m\n" * (MAX_BYTES // 10))
        file.truncate(size)
    if is_taken:
        assert open_container(path, path.name).kind is Kind.TEXT
    else:
        assert refusal(path) == "over 20 MB"


def test_a_file_that_is_not_there_is_told() -> None:
    """The commonest slip at the prompt has the shortest message."""
    assert refusal(Path("gone.xlsx")) == "there is no such file"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_named_pipe_does_not_hang_the_run(tmp_path: Path) -> None:
    """What is no regular file is never opened, for it may never end."""
    os.mkfifo(tmp_path / "class.csv")
    assert refusal(tmp_path / "class.csv") == "not a file"


def test_the_digest_is_that_of_the_bytes(tmp_path: Path) -> None:
    """What was read can be told again from its SHA-256."""
    path = tmp_path / "class.csv"
    path.write_bytes(b"student\n")
    wanted = "8827bc20c501a8b240a93ddd7d227b55c46cf3e225a7a0bf3d5f2c8567630df3"
    assert open_container(path, path.name).sha256 == wanted


@pytest.mark.parametrize("name", ["CLASS.CSV", "class.tsv", "class.txt"])
def test_capitals_in_an_ending_do_not_matter(name: str, tmp_path: Path) -> None:
    """Text is text under any of the usual endings."""
    (tmp_path / name).write_bytes(b"student,m\n")
    assert open_container(tmp_path / name, name).kind is Kind.TEXT

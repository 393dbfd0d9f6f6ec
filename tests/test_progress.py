"""How far a long run is: told on a terminal, and nowhere else."""

from __future__ import annotations

import io
import sys

import pytest

from marking.progress import progress


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("stream", [io.StringIO, _Terminal])
def test_only_a_terminal_is_told(stream: type[io.StringIO], monkeypatch: pytest.MonkeyPatch) -> None:
    """Every step may be counted, whoever looks."""
    shown = stream()
    monkeypatch.setattr(sys, "stderr", shown)
    with progress(3, "marking", after=0.0) as bar:
        for _ in range(3):
            bar.update(1)
    assert ("marking" in shown.getvalue()) == (stream is _Terminal)

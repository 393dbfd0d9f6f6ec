"""Completion in the shell: the Tab key finishes verbs, options, file names and practicals."""

from __future__ import annotations

import argparse
import os

SHELLS = ("bash", "zsh", "fish", "tcsh", "powershell")


def practicals(action: argparse.Action) -> argparse.Action:
    """Let the Tab key finish the names of the catalogue for *action*, and file names beside them."""
    action.completer = _practicals  # type: ignore[attr-defined]  # looked for by argcomplete
    return action


def is_completing() -> bool:
    """Tell whether a shell asks what may come next."""
    return "_ARGCOMPLETE" in os.environ


def offer_completion(parser: argparse.ArgumentParser) -> None:
    """Answer a shell that asks what may come next, and end; do nothing where none asks."""
    if is_completing():
        import argcomplete

        argcomplete.autocomplete(parser)


def shell_words(shell: str) -> str:
    """Return what a shell has to be told so that its Tab key works."""
    from argcomplete.shell_integration import shellcode

    return str(shellcode(["writeups"], shell=shell))


def _practicals(prefix: str, **_: object) -> list[str]:
    from importlib import resources

    from argcomplete.completers import FilesCompleter

    folder = resources.files("rubrics") / "catalogue"
    names = sorted(file.name.removesuffix(".toml") for file in folder.iterdir() if file.name.endswith(".toml"))
    return [name for name in names if name.startswith(prefix)] + list(FilesCompleter(["toml", "xlsx"])(prefix))

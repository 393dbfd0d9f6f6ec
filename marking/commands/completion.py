"""``writeups completion``: what a shell has to be told so that its Tab key knows this program."""

from __future__ import annotations

import argparse
import sys

from marking.terminal import shell_words

_HOW = {
    "bash": 'eval "$(writeups completion bash)"    in ~/.bashrc',
    "zsh": 'eval "$(writeups completion zsh)"    in ~/.zshrc, below compinit',
    "fish": "writeups completion fish | source    in ~/.config/fish/config.fish",
    "tcsh": "eval `writeups completion tcsh`    in ~/.tcshrc",
    "powershell": "writeups completion powershell | Out-String | Invoke-Expression    in $PROFILE",
}


def run(arguments: argparse.Namespace) -> int:
    """Print the lines for a shell; on a terminal also where they belong."""
    print(shell_words(arguments.shell))
    if sys.stdout.isatty():
        print(f"\n# To have this each time: {_HOW[arguments.shell]}")
    return 0

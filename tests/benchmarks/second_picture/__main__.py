"""How well causes are found on write-ups by another hand.

    python -m tests.benchmarks.second_picture FOLDER... [--practical ID] [--misses KIND]

Each FOLDER holds tidy files, one a practical, and ``truth.csv``.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks.second_picture.picture_tally import told
from tests.benchmarks.second_picture.said_of_slips import hear


def main(arguments: Sequence[str] | None = None) -> int:
    """Print what is found; return 1 where a right answer was withheld."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.second_picture")
    parser.add_argument("folders", nargs="+", type=Path, metavar="FOLDER")
    parser.add_argument("--practical", action="append", default=[], help="may be given several times")
    parser.add_argument("--misses", action="store_true", help="every one that is not as it was planted")
    chosen = parser.parse_args(arguments)
    heard = hear(chosen.folders, chosen.practical)
    print(told(heard, misses=chosen.misses))
    return 1 if heard.lost else 0


if __name__ == "__main__":
    sys.exit(main())

"""Decides mark after mark in a record, and says each that was acknowledged; run in a process that gets killed."""

from __future__ import annotations

import sys

from marking.record.opening import open_record
from tests.record.making import a_mark


def main(address: str, window: str) -> None:
    """Decide until killed."""
    record = open_record(address, may_begin=True)
    print("open", flush=True)
    number = 0
    while True:
        number += 1
        decision = a_mark(1, id=f"{window}-{number}", student=f"S{number:03}", criterion=window)
        record.add([decision])
        print(decision.id, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])

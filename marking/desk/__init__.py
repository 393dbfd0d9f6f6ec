"""The face in the browser: pages rendered here, for this machine only; every decision goes to the record."""

from marking.desk.app import desk_app

__all__ = [
    "desk_app",
]

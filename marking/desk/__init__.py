"""The face in the browser: pages rendered here, for this machine only; every decision goes to the record."""

from marking.desk.answers_paper import as_file
from marking.desk.app import NO_ROOM, SHOWN, TAKEN, desk_app, no_room
from marking.desk.doors import MOST_BYTES, SAFE_METHODS, Secret, is_asked_as, is_own, is_too_long, limited, with_headers
from marking.desk.forms import Sent, read_form
from marking.desk.frame import Desk, Way, environment

__all__ = [
    "MOST_BYTES",
    "NO_ROOM",
    "SAFE_METHODS",
    "SHOWN",
    "TAKEN",
    "Desk",
    "Secret",
    "Sent",
    "Way",
    "as_file",
    "desk_app",
    "environment",
    "is_asked_as",
    "is_own",
    "is_too_long",
    "limited",
    "no_room",
    "read_form",
    "with_headers",
]

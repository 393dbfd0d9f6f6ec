"""``writeups desk``: a page in the browser of this machine, in which a whole round is done."""

from __future__ import annotations

import argparse
import secrets
import socket
import sys
import threading
import webbrowser
from pathlib import Path

import uvicorn

from marking.commands.mark import known_rubrics
from marking.commands.record_use import folder_beside, now
from marking.commands.serving import asks_for_people, people, serve
from marking.desk import desk_app
from marking.record import (
    Record,
    open_record,
)
from marking.version import VERSION

HOST = "127.0.0.1"
"""Only this machine can reach it."""
GRACE = 2


def run(arguments: argparse.Namespace) -> int:
    """Open the desk and stay until Ctrl-C; return the exit status."""
    if asks_for_people(arguments):
        return people(arguments, now)
    record = open_record(arguments.record, may_begin=True)
    if record.was_begun:
        print(f"{record.name}: a new record was begun here.", file=sys.stderr)
    folder = Path(arguments.sets) if arguments.sets else folder_beside(arguments.record)
    try:
        if arguments.serve:
            rubrics = known_rubrics(arguments.rubric)
            serve(arguments, record, folder, rubrics=rubrics, program=VERSION, now=now)
            return 0
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as door:
            _serve(door, record, folder, arguments)
    except KeyboardInterrupt:
        pass  # Ctrl-C is the way to close it
    finally:
        record.close()
    return 0


def _serve(door: socket.socket, record: Record, folder: Path, arguments: argparse.Namespace) -> None:
    """Say the address, and answer until told to end."""
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    door.bind((HOST, arguments.port))
    door.listen()  # whoever follows the address at once waits at the door instead of finding none
    port, secret = door.getsockname()[1], secrets.token_urlsafe(24)
    app = desk_app(
        record,
        known_rubrics(arguments.rubric),
        secret,
        hosts=frozenset({f"{HOST}:{port}", f"localhost:{port}"}),
        folder=folder,
        now=now,
        fresh=lambda: secrets.token_hex(16),
        program=VERSION,
        who=arguments.by,
    )
    address = f"http://{HOST}:{port}/?key={secret}"
    print(f"The desk is open at {address}\nCtrl-C closes it; everything decided is kept.", flush=True)
    if not arguments.no_browser:
        threading.Timer(0.3, webbrowser.open, [address]).start()
    config = uvicorn.Config(app, log_level="error", access_log=False, timeout_graceful_shutdown=GRACE, ws="none")
    uvicorn.Server(config).run(sockets=[door])

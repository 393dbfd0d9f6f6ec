"""A PostgreSQL cluster of our own, in a temporary folder, for as long as the tests run."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

FOLDERS = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
NOBODY = "nobody"
"""PostgreSQL refuses to run as root."""


def binaries() -> Path | None:
    """Return the folder of the newest server on this machine; None where there is none."""
    found = next((folder for folder in FOLDERS if (folder / "initdb").is_file()), None)
    on_path = shutil.which("initdb")
    return found or (Path(on_path).parent if on_path else None)


def must_run() -> bool:
    """Tell whether this is the run in which nothing may be left out."""
    return os.environ.get("WRITEUPS_CI") == "1"


@contextmanager
def cluster(folder: Path) -> Iterator[str]:
    """Give the address of a new cluster's database, reached through a socket in a folder and no network."""
    # The name of a socket may not be longer than 107 bytes, so it lies beside the others, not below *folder*.
    home = Path(tempfile.mkdtemp(prefix="pg-"))
    user = NOBODY if os.geteuid() == 0 else None
    if user is not None:
        shutil.chown(home, user)
    data = home / "data"

    def run(program: str, *arguments: str) -> None:
        subprocess.run(
            [str(folder / program), *arguments],
            user=user,
            cwd=home,
            env={"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "HOME": str(home)},
            check=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            timeout=120,
        )

    try:
        run("initdb", "-D", str(data), "-U", "teacher", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = f"-c listen_addresses='' -c unix_socket_directories='{home}' -c max_connections=30"
        run("pg_ctl", "-D", str(data), "-w", "-l", str(home / "log"), "-o", options, "start")
        try:
            yield f"postgresql://teacher@/postgres?host={home}"
        finally:
            run("pg_ctl", "-D", str(data), "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)

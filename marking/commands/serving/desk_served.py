"""``writeups desk --serve``: the desk of a department, behind names and passwords."""

from __future__ import annotations

import argparse
import ipaddress
import secrets
import socket
import ssl
import time
from collections.abc import Callable, Mapping
from pathlib import Path

import uvicorn
from msgspec import Struct

from marking.accounts import AccountBook
from marking.moderation.department import read_department
from marking.record import Record
from marking.staffroom import House, ServedFolders, served_app
from reports.wording import fill, wording
from rubrics.faults import InputError
from rubrics.model import Rubric

GRACE = 2
USUAL_PORT = {True: 443, False: 80}
"""Of https and http: browsers leave it out of the host that they ask for."""


class Address(Struct, frozen=True, kw_only=True):
    """Where to listen."""

    host: str
    port: int

    @property
    def is_here(self) -> bool:
        """Tell whether only this machine can reach it."""
        try:
            return ipaddress.ip_address(self.host).is_loopback
        except ValueError:
            return self.host == "localhost"

    @property
    def is_any(self) -> bool:
        """Tell whether it is every address of this machine."""
        return self.host in ("0.0.0.0", "::")


def read_address(said: str) -> Address:
    """Return what follows ``--serve``: an address, and a port after a colon; in brackets for IPv6.

    Raises:
        InputError: It is none.
    """
    host, port = said, "0"
    if said.startswith("["):
        host, _, rest = said[1:].partition("]")
        port = rest.removeprefix(":") or "0"
    elif said.count(":") == 1:
        host, port = said.split(":")
    if not host or not (port.isascii() and port.isdecimal() and int(port) < 65536):
        raise InputError(said, "this is no address", "write one like 192.0.2.7:8443 or desk.school.example:8443")
    return Address(host=host.lower(), port=int(port))


def serve(
    arguments: argparse.Namespace,
    record: Record,
    folder: Path,
    *,
    rubrics: Mapping[str, Rubric],
    program: str,
    now: Callable[[], str],
) -> None:
    """Open the desk of a department and stay until told to end.

    Raises:
        InputError: Nobody may sign in yet, the address cannot be had, or passwords would travel in the open.
    """
    address = read_address(arguments.serve)
    is_secure = _is_secure(arguments, address)
    if not any(one.is_open for one in AccountBook(record.engine, now).all()):
        mend = "let somebody in first: writeups desk --add 'Dr Hale' --role head-of-department"
        raise InputError(record.name, "nobody may sign in here yet", mend)
    names = [name.lower() for name in arguments.name] or ([] if address.is_any else [address.host])
    if not names:
        mend = "say after --name under which name browsers ask for it; may repeat"
        raise InputError(arguments.serve, "this is every address of the machine", mend)
    classes = read_department(Path(arguments.department)) if arguments.department else ()
    with _door(address) as door:
        port = int(door.getsockname()[1])
        hosts = frozenset(host for name in names for host in _asked_as(name, port, is_secure=is_secure))
        app = served_app(
            record,
            rubrics,
            house=House(hosts=hosts, is_secure=is_secure, port=port),
            folders=ServedFolders(sets=folder, rounds=folder.with_suffix(".rounds"), classes=classes),
            now=now,
            clock=time.time,
            fresh=lambda: secrets.token_hex(16),
            program=program,
        )
        words = wording("staffroom")["terminal"]
        shown = f"{'https' if is_secure else 'http'}://{_asked_as(names[0], port, is_secure=is_secure)[0]}/"
        print(f"{fill([words['served']], {'address': shown})}\n{words['stays']}", flush=True)
        config = uvicorn.Config(
            app,
            log_level="error",
            access_log=False,
            timeout_graceful_shutdown=GRACE,
            ws="none",
            # What stands before it is not to be believed about who asks: waits are counted by place.
            proxy_headers=False,
            server_header=False,
            ssl_certfile=arguments.certificate,
            ssl_keyfile=arguments.key,
        )
        uvicorn.Server(config).run(sockets=[door])


def _is_secure(arguments: argparse.Namespace, address: Address) -> bool:
    """Tell whether it is reached by TLS.

    Raises:
        InputError: Half of what that takes is there, it cannot be used, or passwords would travel in the open.
    """
    if bool(arguments.certificate) != bool(arguments.key):
        raise InputError("--certificate", "a certificate and its key come together", "name both files")
    if not arguments.certificate:
        if address.is_here:
            return False
        problem = "beyond this machine names and passwords would travel in the open"
        raise InputError(arguments.serve, problem, "give --certificate FILE and --key FILE, or serve 127.0.0.1")
    try:
        # An empty password: a key that wants one is told instead of asked for in the middle of nowhere.
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(arguments.certificate, arguments.key, password="")
    except (OSError, ssl.SSLError, ValueError) as error:
        problem = f"certificate and key cannot be used together ({getattr(error, 'reason', None) or error})"
        raise InputError(Path(arguments.certificate).name, problem, "name the files of one certificate, PEM") from error
    return True


def _door(address: Address) -> socket.socket:
    """Return a socket that listens.

    Raises:
        InputError: The address cannot be had.
    """
    try:
        (family, kind, _, _, where), *_ = socket.getaddrinfo(
            address.host, address.port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )
        door = socket.socket(family, kind)
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind(where)
        door.listen()
    except OSError as error:
        raise InputError(address.host, f"this address cannot be had ({error.strerror})", "choose another") from error
    return door


def _asked_as(name: str, port: int, *, is_secure: bool) -> tuple[str, ...]:
    """Return what a browser may send as its host for *name*, the one to show first."""
    host = f"[{name}]" if ":" in name else name
    return (host, f"{host}:{port}") if port == USUAL_PORT[is_secure] else (f"{host}:{port}",)

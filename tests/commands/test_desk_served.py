"""``writeups desk`` for a department, from the terminal: people let in, addresses, certificates, names proved."""

from __future__ import annotations

import io
import re
import shutil
import socket
import ssl
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from marking.accounts import AccountBook, Role
from marking.decided.decisions import ModerationSigned, department_set
from marking.record.opening import open_record
from tests.commands.running import ROOT, SAMPLES, run_here
from tests.staffroom.serving import PASSWORD, QUICK, Clock

TYPED = f"{PASSWORD}\n{PASSWORD}\n"


def add(monkeypatch: pytest.MonkeyPatch, record: Path, name: str, role: str, typed: str = TYPED):  # type: ignore[no-untyped-def]  # noqa: ANN201
    """Let somebody in, the password piped in."""
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    return run_here("desk", "--record", str(record), "--add", name, "--role", role)


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A record with one account."""
    where = tmp_path / "department.record"
    assert add(monkeypatch, where, "Dr Hale", "head-of-department").status == 0
    return where


def test_people_are_let_in_listed_and_shut_out(record: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No password is shown; a phrase is, once."""
    told = run_here("desk", "--record", str(record), "--add", "Ms Calloway", "--role", "teacher", "--phrase")
    phrase = re.search(r"\b[a-z]{4}(-[a-z]{4}){4}\b", told.out)
    assert phrase is not None
    listed = run_here("desk", "--record", str(record), "--people").out
    assert "Dr Hale, head-of-department: may sign in" in listed
    assert "Ms Calloway, teacher: has a phrase, and no password yet" in listed
    assert phrase[0] not in listed
    assert run_here("desk", "--record", str(record), "--shut-out", "ms calloway").status == 0
    assert "Ms Calloway, teacher: shut out" in run_here("desk", "--record", str(record), "--people").out
    monkeypatch.setattr(sys, "stdin", io.StringIO(TYPED))
    assert run_here("desk", "--record", str(record), "--new-password", "Ms Calloway").status == 0
    assert "Ms Calloway, teacher: may sign in" in run_here("desk", "--record", str(record), "--people").out
    for one in (told, run_here("desk", "--record", str(record), "--people")):
        assert PASSWORD not in one.out + one.err
    assert PASSWORD.encode() not in record.read_bytes()


@pytest.mark.parametrize(
    ("name", "role", "typed", "told"),
    [
        ("DR HALE", "teacher", TYPED, "somebody of this name"),
        ("Mr New", "teacher", "short\nshort\n", "too short"),
        ("Mr New", "teacher", f"{PASSWORD}\n{PASSWORD}x\n", "not the same"),
        ("Mr <New>", "teacher", TYPED, "in no name"),
        ("Nobody", "caretaker", TYPED, "caretaker"),
    ],
)
def test_what_lets_nobody_in(
    record: Path, monkeypatch: pytest.MonkeyPatch, name: str, role: str, typed: str, told: str
) -> None:
    """With one clear line; nothing is written."""
    done = add(monkeypatch, record, name, role, typed)
    assert done.status == 2
    assert told in done.err
    assert run_here("desk", "--record", str(record), "--people").out.count("\n") == 1


@pytest.mark.parametrize(
    "address", ["0.0.0.0:0", "192.0.2.1:8443", "desk.school.example", "[2001:db8::1]:1", "10.1.2.3"]
)
def test_beyond_this_machine_only_by_tls(record: Path, address: str) -> None:
    """Names and passwords never travel in the open."""
    done = run_here("desk", "--record", str(record), "--serve", address)
    assert done.status == 2
    assert "--certificate" in done.err


def test_nobody_may_sign_in_yet_is_told(tmp_path: Path) -> None:
    """Before anything listens."""
    done = run_here("desk", "--record", str(tmp_path / "new.record"), "--serve", "127.0.0.1:0")
    assert done.status == 2
    assert "--add" in done.err


def test_half_a_certificate_or_a_broken_one_is_told(record: Path, tmp_path: Path) -> None:
    """Which file, and what to name."""
    broken = tmp_path / "broken.pem"
    broken.write_text("no certificate")
    done = run_here("desk", "--record", str(record), "--serve", "127.0.0.1:0", "--certificate", str(broken))
    assert "come together" in done.err
    both = ["--certificate", str(broken), "--key", str(broken)]
    done = run_here("desk", "--record", str(record), "--serve", "127.0.0.1:0", *both)
    assert (done.status, "broken.pem" in done.err) == (2, True)


@contextmanager
def served(*arguments: str) -> Iterator[str]:
    """Give the address of a desk in a process of its own."""
    command = [sys.executable, "-m", "marking", "desk", *arguments]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as desk:
        try:
            assert desk.stdout is not None
            found = re.search(r"https?://\S+", desk.stdout.readline())
            assert found is not None
            yield found[0]
        finally:
            desk.terminate()
            assert desk.wait(timeout=30) in (0, -15)


def test_by_tls_with_a_certificate(record: Path, tmp_path: Path) -> None:
    """A browser that trusts it gets the page; a plain one gets nothing; no line says which program answers."""
    if shutil.which("openssl") is None:
        pytest.skip("no openssl on this machine")
    certificate, key = tmp_path / "desk.pem", tmp_path / "desk.key"
    made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost"]
    made += ["-addext", "subjectAltName=DNS:localhost", "-out", str(certificate), "-keyout", str(key)]
    subprocess.run(made, check=True, capture_output=True)
    both = ["--certificate", str(certificate), "--key", str(key), "--name", "localhost"]
    with served("--record", str(record), "--serve", "0.0.0.0:0", *both) as address:
        assert address.startswith("https://localhost:")
        trusting = ssl.create_default_context(cafile=str(certificate))
        with urllib.request.urlopen(address, context=trusting) as answer:
            assert answer.url.endswith("/sign-in")
            assert answer.headers["Strict-Transport-Security"]
            assert "Secure" in answer.headers["Set-Cookie"]
            assert answer.headers["Server"] is None
            assert "Sign in" in answer.read().decode()
        host, port = address.removeprefix("https://").rstrip("/").split(":")
        with socket.create_connection((host, int(port)), timeout=20) as plain:
            plain.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
            with pytest.raises((AssertionError, OSError)):
                assert plain.recv(200).startswith(b"HTTP")


def test_a_name_on_the_terminal_is_proved_where_there_are_accounts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the password nobody signs as somebody; with it the signature holds the account."""
    record = tmp_path / "department.record"
    held = open_record(str(record), may_begin=True)
    book = AccountBook(held.engine, Clock().now, QUICK)
    account = book.add("Mr Brandt", Role.TEACHER, PASSWORD)
    sample = SAMPLES / "department"
    deed = ["moderate", str(sample / "round"), "--marked", str(sample / "returned"), "--record", str(record)]
    signing = [*deed, "--sign", "first-marker", "--by"]
    for name, typed in (("Mr Brandt", "wrong and wrong\n"), ("Mr Brandt", ""), ("Ms Calloway", f"{PASSWORD}\n")):
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        done = run_here(*signing, name)
        assert done.status == 2, (name, typed)
        assert "not the name and password" in done.err
    practical = "density-displacement"
    assert held.decisions(department_set(practical)) == ()
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{PASSWORD}\n"))
    assert run_here(*signing, "Mr Brandt").status in (0, 1)
    signed = [one for one in held.decisions(department_set(practical)) if isinstance(one, ModerationSigned)]
    assert [(one.who, one.account) for one in signed] == [("Mr Brandt", account.id)]
    held.close()

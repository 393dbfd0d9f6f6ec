"""What is typed is understood, or answered with what was most likely meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.__main__ import VERBS
from tests.commands.running import run, run_here


def test_the_bare_command_says_what_to_do_next() -> None:
    """Whoever types the name alone is shown the round of a class."""
    done = run_here()
    assert (done.status, done.out) == (2, "")
    for verb in ("catalogue", "prepare", "mark", "help"):
        assert f"writeups {verb}" in done.err


def test_the_version_is_told() -> None:
    """For a question to whoever looks after the program."""
    done = run_here("--version")
    assert done.status == 0
    assert done.out.startswith("writeups")


@pytest.mark.parametrize("verb", VERBS)
def test_help_tells_all_about_a_verb(verb: str) -> None:
    """``help VERB`` is ``VERB --help``."""
    done = run_here("help", verb)
    assert done.status == 0
    assert done.out == run_here(verb, "--help").out


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (["markk", "10A.xlsx"], "Did you mean mark?"),
        (["Mark"], "Did you mean mark?"),
        (["explian"], "Did you mean explain?"),
        (["help", "prepair"], "Did you mean prepare?"),
        (["mark", "10A.xlsx", "--outt", "results"], "did you mean --out?"),
        (["mark", "10A.xlsx", "--out", "results", "--roaster", "r.csv"], "did you mean --roster?"),
        (
            ["mark", "10A.xlsx", "--out", "results", "--marks", "smal"],
            "is not one of shown, small, hidden; did you mean",
        ),
        (["mark", "10A.xlsx", "--out"], "--out needs something behind it"),
        (["catalogue", "wire-resistence"], "The nearest is wire-resistance"),
        (["prepare", "pendulum", "--print", "sheet.pdf"], "The nearest is pendulum-g"),
        (["mark", "10A.xlsx", "--out", "results", "--practical", "titrasion"], "The nearest is titration"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_a_slip_of_typing_is_answered_with_the_nearest(typed: list[str], meant: str) -> None:
    """One line says what is not known and what was most likely meant."""
    done = run_here(*typed)
    assert (done.status, done.out) == (2, "")
    assert meant in done.err.splitlines()[0]


@pytest.mark.parametrize("typed", ["grade", "zzz"])
def test_no_guess_is_made_of_what_is_like_nothing(typed: str) -> None:
    """A wrong guess would puzzle more than none; the verbs are listed."""
    done = run_here(typed)
    assert "Did you mean" not in done.err
    assert "mark" in done.err


@pytest.mark.parametrize("number", ["two", "0", "-1", "1.5", "²"])
def test_a_number_that_is_none_is_told_in_words(number: str) -> None:
    """No word of the program's own inside stands in the message."""
    done = run_here("mark", "10A.xlsx", "--out", "results", f"--preview={number}")
    assert done.status == 2
    assert "is no whole number" in done.err
    assert "_whole" not in done.err


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_is_told_how_to_complete(shell: str) -> None:
    """The lines name the program."""
    done = run_here("completion", shell)
    assert done.status == 0
    assert "writeups" in done.out


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("writeups pre", ["prepare"]),
        ("writeups catalogue wire", ["wire-resistance"]),
        ("writeups mark --pre", ["--preview"]),
    ],
)
def test_the_tab_key_finishes_words(line: str, offered: list[str], tmp_path: Path) -> None:
    """Verbs, options and practicals are finished, as a shell would ask for them."""
    told = tmp_path / "told"
    asked = {
        "_ARGCOMPLETE": "1",
        "_ARGCOMPLETE_STDOUT_FILENAME": str(told),
        "_ARGCOMPLETE_IFS": "\n",
        "COMP_LINE": line,
        "COMP_POINT": str(len(line)),
    }
    run(env=asked)
    assert told.read_text(encoding="utf-8").split() == offered

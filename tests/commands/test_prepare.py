from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from pypdf import PdfReader

from marking.commands.new_practical import id_of, nearest
from rubrics.load import load_catalogue, read_rubric
from tests.commands.running import SAMPLES, run_here

CATALOGUE = load_catalogue()
ROSTER = str(SAMPLES / "wire-resistance" / "roster.csv")


def test_all_papers_of_a_lesson_in_one_call(tmp_path: Path) -> None:
    """Workbook, results sheets, technician's list and the form for trial values, each for the same benches."""
    names = ("10A.xlsx", "sheets.pdf", "kit.pdf", "trials.csv")
    book, sheets, kit, trials = (str(tmp_path / "lesson" / name) for name in names)
    done = run_here(
        *("prepare", "wire-resistance", "--roster", ROSTER, "--benches", "12"),
        *("--out", book, "--print", sheets, "--kit", kit, "--trials", trials),
    )
    assert (done.status, done.err) == (0, "")
    assert all(name in done.out for name in names)
    assert "Trial values" in openpyxl.load_workbook(book).sheetnames
    assert len(PdfReader(sheets).pages) >= 28
    assert Path(trials).read_text(encoding="utf-8-sig").splitlines()[-1].startswith("wire-resistance,12,3,")


def test_a_blank_sheet_needs_no_roster(tmp_path: Path) -> None:
    """Where no student appears, nobody has to be named; where one does, the message says what is missing."""
    sheet = str(tmp_path / "sheet.pdf")
    assert run_here("prepare", "titration", "--print", sheet, "--kit", str(tmp_path / "kit.pdf")).status == 0
    for option in ("--out", "--each"):
        done = run_here("prepare", "titration", option, str(tmp_path / "10A.xlsx"))
        assert done.status == 2
        assert "--roster" in done.err
    done = run_here("prepare", "titration", "--trials", str(tmp_path / "trials.csv"))
    assert done.status == 2
    assert "--benches" in done.err


def test_a_rubric_file_will_do(tmp_path: Path) -> None:
    """A practical of one's own has its sheet and its list like one of the catalogue."""
    own = tmp_path / "own.toml"
    assert run_here("prepare", "--new", "glow of a lamp", "--like", "iv-characteristic", "--out", str(own)).status == 0
    done = run_here("prepare", str(own), "--print", str(tmp_path / "s.pdf"), "--kit", str(tmp_path / "k.pdf"))
    assert (done.status, done.err) == (0, "")
    assert "Glow of a lamp" in PdfReader(tmp_path / "s.pdf").pages[0].extract_text()


@pytest.mark.parametrize("practical", CATALOGUE)
def test_a_new_practical_is_sound_as_it_stands(practical: str, tmp_path: Path) -> None:
    """Started from any practical, the file passes rubric-check, under its own name, in its first edition."""
    out = tmp_path / "mine.toml"
    done = run_here("prepare", "--new", "My own: a 'first' try", "--like", practical, "--out", str(out))
    assert done.status == 0
    assert f"started from {practical} " in done.out
    assert run_here("rubric-check", str(out)).status == 0
    rubric, source = read_rubric(out), CATALOGUE[practical]
    assert (rubric.id, rubric.edition, rubric.title) == ("my-own-a-first-try", 1, "My own: a 'first' try")
    assert [*rubric.items] == [*source.items]
    assert rubric.criteria == source.criteria
    hints = [line for line in out.read_text(encoding="utf-8").splitlines() if line.startswith("# ")]
    assert len(hints) >= 5
    assert practical in hints[0]


@pytest.mark.parametrize(
    ("words", "practical"),
    [
        ("resistance of a thermistor", "thermistor"),
        ("cooling of coffee", "cooling-insulation"),
        ("spring constant of two springs", "spring-extension"),
        ("density of a stone by displacement", "density-displacement"),
        ("refractive index of water", "refraction-index"),
        ("conductive putty: resistance against length", "wire-resistance"),
        ("specific heat capacity of cooking oil, a liquid", "specific-heat-liquid"),
        ("half-life of foam", "half-life-model"),
        ("pendulum with a large swing", "pendulum-g"),
        ("my-own-titration", "titration"),
    ],
)
def test_the_nearest_is_found_by_its_words(words: str, practical: str) -> None:
    """Rare words count for more than common ones, and so do titles (expected values: what a teacher would pick)."""
    assert nearest(words, CATALOGUE) == practical


@pytest.mark.parametrize("words", ["water of crystallisation", "nettle leaves and light", "viscosity of oil"])
def test_one_common_word_is_not_near(words: str) -> None:
    """A plain frame is a better start than a practical on something else."""
    assert nearest(words, CATALOGUE) is None


def test_the_one_that_was_taken_is_named(tmp_path: Path) -> None:
    """Where the program picks, it says which it took and why."""
    done = run_here("prepare", "--new", "resistance of a thermistor", "--out", str(tmp_path / "mine.toml"))
    assert "started from thermistor" in done.out
    assert "the nearest to these words" in done.out


@pytest.mark.parametrize("words", ["efficiency of a motor", "growth of cress seedlings", "xyzzy"])
def test_what_nothing_is_like_starts_from_a_plain_frame(words: str, tmp_path: Path) -> None:
    """It is said that none is like it, and the file is sound and short."""
    out = tmp_path / "mine.toml"
    done = run_here("prepare", "--new", words, "--out", str(out))
    assert done.status == 0
    assert "no practical is like this" in done.out
    assert "--like" in done.out
    assert run_here("rubric-check", str(out)).status == 0
    assert len(out.read_text(encoding="utf-8").splitlines()) < 60


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--new", "boyle"), "already"),
        (("--new", "!?"), "no letter"),
        (("--new", "mine", "--like", "nothing-such"), "no practical of this name"),
        (("--new", "mine", "--like", "boyle", "--out", "mine.xlsx"), "TOML"),
    ],
)
def test_what_cannot_be_started_is_told(arguments: tuple[str, ...], told: str) -> None:
    """Nothing is written, and the message says what to do instead."""
    done = run_here("prepare", *arguments)
    assert done.status == 2
    assert told in done.err


def test_a_file_that_is_there_is_never_written_over(tmp_path: Path) -> None:
    """Somebody's half-written practical stays as it is."""
    out = tmp_path / "mine.toml"
    out.write_text("half-written", encoding="utf-8")
    done = run_here("prepare", "--new", "mine", "--like", "boyle", "--out", str(out))
    assert done.status == 2
    assert out.read_text(encoding="utf-8") == "half-written"


def test_names_of_practicals_are_plain() -> None:
    """Small letters, digits and hyphens, whatever was typed."""
    assert id_of("  Café: E = mv² again ") == "cafe-e-mv2-again"


def test_the_roster_that_lies_there_is_found_and_what_comes_next_is_said(tmp_path: Path) -> None:
    """As mark finds it; the line that follows can be typed as it stands."""
    (tmp_path / "roster.csv").write_text("student,name,bench\nA01,Ada Ames,1\n", encoding="utf-8")
    book = tmp_path / "10 A.xlsx"
    done = run_here("prepare", "titration", "--out", str(book))
    assert (done.status, done.err) == (0, "")
    assert f"Roster: {tmp_path / 'roster.csv'}." in done.out
    assert f"writeups mark '{book}' --out results" in done.out

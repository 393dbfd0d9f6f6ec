"""A whole round by files: blind packs go out, come back, are checked, compared, decided and signed."""

from __future__ import annotations

import csv
import datetime
import json
import re
import shutil
import zipfile
from pathlib import Path

import openpyxl
import pypdf
import pytest

from rubrics.load import load_catalogue, read_rubric
from samples.filled_packs import fill_pack
from tests.commands.running import SAMPLES, files_in, run_here

NAMES = {"X01": "Amelia Thornley", "X02": "Oskar Winter", "Y01": "Rohan Deshpande", "Y02": "Zofia Nowicka"}
CELLS = {"m": ("151.1", "g"), "V": ("19.5", "cm³"), "rho": ("7.75", "g/cm³"), "rho_si": ("7750", "kg/m³")}
EYE = ("R3", "R2", "P1", "R4", "K2", "V1", "V2")
FIRST_MARK = {"Ms Quill": "1", "Mr Vane": "0"}


def write_class(folder: Path, codes: list[str], marker: str) -> None:
    """Write one class; its students sign their answers."""
    folder.mkdir()
    rows = [("student", "bench", "practical", "item", "row", "entry", "unit")]
    for code in codes:
        for item, (entry, unit) in CELLS.items():
            rows.append((code, "4", "density-displacement", item, "", entry, unit))
        said = f"{NAMES[code]} ({code}, {folder.name}, {marker}): water lost, so the volume is low"
        rows.append((code, "4", "density-displacement", "why_off", "", said, ""))
        rows += [(code, "4", "density-displacement", f"tick {one}", "", FIRST_MARK[marker], "") for one in EYE]
    with (folder / "set.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    roster = ["student,name,bench", *(f"{code},{NAMES[code]},4" for code in codes)]
    (folder / "roster.csv").write_text("\n".join(roster) + "\n", encoding="utf-8")


@pytest.fixture
def made(tmp_path: Path) -> Path:
    """A round of two markers, four scripts."""
    write_class(tmp_path / "11Kestrel", ["X01", "X02"], "Ms Quill")
    write_class(tmp_path / "11Merlin", ["Y01", "Y02"], "Mr Vane")
    listed = "marker,class,set\nMs Quill,11Kestrel,11Kestrel\nMr Vane,11Merlin,11Merlin\n"
    (tmp_path / "department.csv").write_text(listed, encoding="utf-8")
    done = run_here("sample", str(tmp_path / "department.csv"), "--seed", "s", "--out", str(tmp_path / "round"))
    assert (done.status, done.err) == (0, "")
    return tmp_path


def key_of(made: Path) -> dict[str, list[dict[str, object]]]:
    """Return the key of the round."""
    held: dict[str, list[dict[str, object]]] = json.loads((made / "round/key/key.json").read_text(encoding="utf-8"))
    return held


def filled(made: Path, mark: int = 1) -> Path:
    """Fill every pack in with one mark throughout; return the folder."""
    folder = made / "back"
    folder.mkdir(exist_ok=True)
    own = {str(line["code"]): dict.fromkeys(EYE, mark) for line in key_of(made)["lines"]}
    for pack in (made / "round/packs").glob("*.xlsx"):
        fill_pack(pack, folder / pack.name, own)
    return folder


def test_blind_means_blind(made: Path) -> None:
    """No name, code, class or first marker in any part of a pack, its properties included; no first mark either."""
    own = {"MsQuill": "Ms Quill", "MrVane": "Mr Vane"}
    for pack in sorted((made / "round/packs").iterdir()):
        if pack.suffix == ".xlsx":
            with zipfile.ZipFile(pack) as parts:
                text = "\n".join(parts.read(name).decode("utf-8", "replace") for name in parts.namelist())
            marks = openpyxl.load_workbook(pack)["Marks"]
            cells = [cell.value for row in marks.iter_rows(min_row=4, min_col=2) for cell in row]
            assert set(cells) <= {None, "–"}
        else:
            reader = pypdf.PdfReader(pack)
            text = " ".join([*(" ".join(page.extract_text().split()) for page in reader.pages), str(reader.metadata)])
        assert "water lost" in text
        second = next(name for stem, name in own.items() if pack.name.startswith(stem))
        hidden = [*NAMES, *NAMES.values(), "Thornley", "Amelia", "11Kestrel", "11Merlin", "set.csv"]
        hidden += [name for name in own.values() if name != second]
        found = [word for word in hidden if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text, re.IGNORECASE)]
        assert found == []


def test_the_key_says_whose_and_why(made: Path) -> None:
    """What a code stands for is with the moderator, and nobody marks an own script again."""
    lines = key_of(made)["lines"]
    assert {str(line["student"]) for line in lines} == set(NAMES)
    assert all(line["first_marker"] != line["second_marker"] for line in lines)
    listed = (made / "round/key/sample.csv").read_text(encoding="utf-8")
    assert "drawn by lot" in listed


def test_the_same_seed_gives_the_same_bytes_and_another_seed_other_codes(made: Path) -> None:
    """Packs and key, byte for byte."""
    for seed, name in (("s", "again"), ("t", "other")):
        run_here("sample", str(made / "department.csv"), "--seed", seed, "--out", str(made / name))
    assert files_in(made / "again") == files_in(made / "round")
    codes = {
        name: re.findall(r'"code": "([A-Z]{2}\d\d)"', (made / name / "key/key.json").read_text())
        for name in ("again", "other")
    }
    assert set(codes["again"]).isdisjoint(codes["other"])


def test_a_round_is_not_written_over(made: Path) -> None:
    """Packs in it may have been filled in."""
    done = run_here("sample", str(made / "department.csv"), "--seed", "s", "--out", str(made / "round"))
    assert done.status == 2
    assert "--replace" in done.err


def change(path: Path, sheet: str, row: int, column: int, value: object) -> None:
    """Change one cell of a workbook."""
    book = openpyxl.load_workbook(path)
    book[sheet].cell(row, column).value = value  # type: ignore[union-attr]
    book.save(path)


def test_packs_that_are_not_what_went_out_are_refused(made: Path) -> None:
    """Changed, missing, doubled, foreign, not filled in: each is told with its file and what to do."""
    back = filled(made)
    one = sorted(back.iterdir())[0]
    sound = one.read_bytes()
    code = openpyxl.load_workbook(one)["Marks"].cell(4, 1).value
    cases = [
        (("Scripts", 4, 5, "999 g"), f"what script {code} says was changed"),
        (("Marks", 5, 1, code), f"script {code} stands there 2 times"),
        (("Marks", 4, 1, None), f"script {code} is missing"),
        (("Marks", 4, 1, "ZZ99"), "script ZZ99 on the sheet Marks is not of this pack"),
        (("Marks", 4, 2, None), "has no mark for R3"),
        (("Marks", 4, 2, 2), "'2' is not a whole mark from 0 to 1"),
        (("Marks", 4, 2, 0.5), "'0.5' is not a whole mark from 0 to 1"),
        (("Pack", 6, 2, "0" * 64), "another round"),
        (("Pack", 5, 2, "0" * 64), "edition"),
    ]
    for (sheet, row, column, value), told in cases:
        one.write_bytes(sound)
        change(one, sheet, row, column, value)
        done = run_here("moderate", str(made / "round"), "--marked", str(back))
        assert done.status == 2, told
        assert one.name in done.err
        assert told in done.err
    one.write_bytes(sound)
    shutil.copy(one, back / "copy.xlsx")
    assert "the same pack as" in run_here("moderate", str(made / "round"), "--marked", str(back)).err
    (back / "copy.xlsx").write_bytes(b"no workbook")
    assert "cannot be opened" in run_here("moderate", str(made / "round"), "--marked", str(back)).err


def test_a_pack_that_nobody_has_filled_in_is_told_in_a_line(made: Path) -> None:
    """As it went out: no list of every criterion of every script."""
    done = run_here("moderate", str(made / "round"), "--marked", str(made / "round" / "packs"))
    assert done.status == 2
    assert {line.partition(": ")[2] for line in done.err.splitlines()} == {
        "there is no mark in this pack yet. Fill in its sheet Marks, and send it again."
    }


def test_a_pack_of_another_round_is_refused(made: Path) -> None:
    """The same class, another seed: its codes stand for others."""
    back = filled(made)
    run_here("sample", str(made / "department.csv"), "--seed", "t", "--out", str(made / "other"))
    done = run_here("moderate", str(made / "other"), "--marked", str(back))
    assert done.status == 2
    assert "another round" in done.err


def test_results_have_to_be_those_of_the_set(made: Path) -> None:
    """Results of writeups mark are taken where they fit, and refused where the set was changed since."""
    run_here("mark", str(made / "11Kestrel"), "--out", str(made / "res"))
    listed = "marker,class,set,results\nMs Quill,11Kestrel,11Kestrel,res\nMr Vane,11Merlin,11Merlin,\n"
    (made / "with.csv").write_text(listed, encoding="utf-8")
    done = run_here("sample", str(made / "with.csv"), "--seed", "s", "--out", str(made / "r1"))
    assert done.status == 0, done.err
    text = (made / "11Kestrel/set.csv").read_text(encoding="utf-8")
    (made / "11Kestrel/set.csv").write_text(text.replace("151.1", "151.2"), encoding="utf-8")
    done = run_here("sample", str(made / "with.csv"), "--seed", "s", "--out", str(made / "r2"))
    assert done.status == 2
    assert "changed since these results were made" in done.err


def test_scripts_to_mark_together(made: Path) -> None:
    """Everybody gets the same scripts under the same codes; the page tells where they differ."""
    listed = str(made / "department.csv")
    done = run_here("sample", listed, "--seed", "s", "--together", "3", "--out", str(made / "first"))
    assert done.status == 0, done.err
    packs = sorted((made / "first/packs").glob("*.xlsx"))
    codes = [[row[0].value for row in openpyxl.load_workbook(one)["Marks"].iter_rows(min_row=4)] for one in packs]
    assert codes[0] == codes[1]
    assert len(codes[0]) == 3
    back = made / "together"
    back.mkdir()
    for mark, pack in enumerate(packs):
        fill_pack(pack, back / pack.name, {str(code): dict.fromkeys(EYE, mark) for code in codes[0]})
    done = run_here("moderate", str(made / "first"), "--marked", str(back), "--out", str(made / "page"))
    assert done.status == 0, done.err
    assert "R3: all agree on 0 of 3 scripts" in done.out
    assert (made / "page/marked-together.pdf").stat().st_size > 0
    words = ("--settle", "K2", "--wording", "Compared with a value whose source is named", "--by", "Dr Hale")
    wrong = run_here("moderate", str(made / "first"), "--marked", str(back), *words)
    assert wrong.status == 2
    assert "--next" in wrong.err
    file = made / "next.toml"
    done = run_here("moderate", str(made / "first"), "--marked", str(back), *words, "--next", str(file))
    assert done.status == 0, done.err
    rubric = read_rubric(file)
    assert rubric.edition == load_catalogue()["density-displacement"].edition + 1
    (settled,) = [one.point for one in rubric.criteria if one.code == "K2"]
    assert settled == "Compared with a value whose source is named"
    (before,) = [one.point for one in load_catalogue()["density-displacement"].criteria if one.code == "K2"]
    assert f"Dr Hale; was: {before}" in file.read_text(encoding="utf-8")


MARKERS = ("Dr Osei", "Mr Brandt", "Mr Fenn", "Mrs Whitlock", "Ms Calloway")
ROUND = (str(SAMPLES / "department/round"), str(SAMPLES / "department/round-second-stage"))
BACK = tuple(
    word for name in ("returned", "returned-second-stage") for word in ("--marked", str(SAMPLES / "department" / name))
)


@pytest.mark.campaign
def test_the_sample_department_from_the_draw_to_the_signatures(tmp_path: Path) -> None:
    """The marker a mark severe comes into doubt, is named, adjusted with a reason, signed for, and locked."""
    first = run_here("moderate", ROUND[0], *BACK[:2], "--json")
    assert first.status == 1
    assert json.loads(first.out)["doubts"] == ["Mr Brandt"]
    whole = json.loads(run_here("moderate", *ROUND, *BACK, "--json").out)
    assert [one["marker"] for one in whole["named"]] == ["Mr Brandt"]
    assert whole["named"][0]["shift"] == pytest.approx(-1, abs=0.4)
    record = ("--record", str(tmp_path / "record.db"))
    ruled = ("--rule", "adjust", "--marker", "Mr Brandt", "--by", "Dr Hale", "--reason", "a mark severe throughout")
    shown = run_here("moderate", *ROUND, *BACK, *record, *ruled)
    assert (shown.status, shown.err) == (0, "")
    assert "41 of 44 totals change" in shown.out
    assert not (tmp_path / "record.db").exists()
    run_here("moderate", *ROUND, *BACK, *record, *ruled, "--confirm")
    early = run_here("moderate", *ROUND, *BACK, *record, "--sign", "second-marker", "--by", "Dr Osei")
    assert early.status == 2
    assert "no signature yet of" in early.err
    signing = [
        *(("first-marker", who) for who in MARKERS),
        ("second-marker", "Dr Osei"),
        ("head-of-department", "Dr Hale"),
    ]
    for role, who in signing:
        out = ("--out", str(tmp_path / "out")) if who == "Dr Hale" else ()
        done = run_here("moderate", *ROUND, *BACK, *record, "--sign", role, "--by", who, *out)
        assert done.status == 0, done.err
    locked = run_here("moderate", *ROUND, *BACK, *record, "--undo", "1", "--by", "Dr Hale", "--reason", "x")
    assert locked.status == 2
    assert "locked" in locked.err
    with (tmp_path / "out/final-marks.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["marker"] for row in rows if row["first_total"] != row["moderated_total"]} == {"Mr Brandt"}
    assert {row["marker"] for row in rows if row["ruling"].startswith("1: Dr Hale, ")} == {"Mr Brandt"}
    assert {row["ruling"] for row in rows if row["marker"] != "Mr Brandt"} == {""}
    pages = pypdf.PdfReader(tmp_path / "out/moderation.pdf").pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    for said in ("Signed in full and locked", "Seed of the sample: 7", "Dr Hale", "a mark severe throughout"):
        assert said in text


def test_a_marker_page_is_about_one_marker(tmp_path: Path) -> None:
    """Nobody else's name, and none of their students."""
    run_here("moderate", *ROUND, *BACK, "--out", str(tmp_path / "out"))
    others = {"Ms Calloway", "Dr Osei", "Mrs Whitlock", "Mr Fenn"}
    (page,) = [one for one in (tmp_path / "out/markers").iterdir() if one.name.startswith("MrBrandt")]
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(page).pages)
    assert "For Mr Brandt alone" in text
    assert not [name for name in others if name in text]
    codes = set(re.findall(r"P\d{3}", text))
    assert codes <= {f"P{number:03}" for number in range(45, 89)}
    assert codes


def test_the_sample_department_can_be_sampled_anew(tmp_path: Path) -> None:
    """The list and the classes of the samples give a round by whatever edition of the scheme there is now.

    No script waits: what people mark is on paper, and every mark of it is ticked.
    """
    listed = str(SAMPLES / "department/department.csv")
    done = run_here("sample", listed, "--seed", "7", "--boundaries", "4,7,10", "--out", str(tmp_path / "round"))
    assert done.status == 0, done.err
    assert len(list((tmp_path / "round/packs").glob("*.xlsx"))) == 5


def test_marks_that_stand_in_files_alone_are_kept_before_anything_is_decided(made: Path) -> None:
    """A record that is begun by a signature or a question: ticks count before and after, and a review outlasts them."""
    listed = str(made / "department.csv")
    record = ["--record", str(made / "department.record")]
    deed = ["moderate", str(made / "round"), "--marked", str(filled(made)), "--department", listed, *record]
    signing = [("first-marker", who) for who in FIRST_MARK]
    for role, who in (*signing, ("second-marker", "Mr Vane"), ("head-of-department", "Dr Hale")):
        done = run_here(*deed, "--sign", role, "--by", who, "--out", str(made / "out"))
        assert (done.status, done.err) == (0, ""), role
    before = totals_in(made / "out")
    assert (set(before), "" in before.values()) == (set(NAMES), False)
    today = datetime.datetime.now(datetime.UTC).date().isoformat()
    about = ["appeal", listed, "X01", "K2", *record, "--reason", "it is not named"]
    asked = run_here(*about, "--by", "Ms Quill", "--released", today, "--reviewer", "Mr Vane")
    assert (asked.status, asked.err) == (0, "")
    assert "Mr Vane is to look at it" in asked.out
    for who, told in (("Dr Hale", "given to Mr Vane"), ("Ms Quill", "did not mark it first")):
        refused = run_here(*about, "--by", who, "--outcome", "lowered", "--marks", "0")
        assert refused.status == 2
        assert told in refused.err
    letter = made / "letter.pdf"
    done = run_here(*about, "--by", "Mr Vane", "--outcome", "lowered", "--marks", "0", "--letter", str(letter))
    assert (done.status, done.err) == (0, "")
    assert letter.stat().st_size > 0
    told = run_here(*deed, "--out", str(made / "out"), "--json")
    assert json.loads(told.out)["locked"] is True
    after = totals_in(made / "out")
    assert {code: int(before[code]) - int(after[code]) for code in before} == {**dict.fromkeys(NAMES, 0), "X01": 1}
    marked = run_here("mark", str(made / "11Kestrel"), *record, "--out", str(made / "res"), "--no-paper")
    assert "not used" not in marked.err
    found = (made / "res/findings.csv").read_text(encoding="utf-8")
    rows = [one for one in csv.DictReader(found.splitlines()) if (one["student"], one["criterion"]) == ("X01", "K2")]
    assert sum(int(one["marks"]) for one in rows) == 0
    changed = (made / "11Kestrel/set.csv").read_text(encoding="utf-8").replace("tick P1,,1", "tick P1,,0")
    (made / "11Kestrel/set.csv").write_text(changed, encoding="utf-8")
    late = run_here(*deed, "--out", str(made / "out"), "--json")
    assert json.loads(late.out)["locked"] is True  # closed: a tick that comes later counts for nothing
    assert totals_in(made / "out") == after


def test_a_mark_that_is_changed_before_the_sets_are_closed_takes_the_signatures_away(made: Path) -> None:
    """Who signed before is told, and signs again what stands now."""
    record = ["--record", str(made / "department.record")]
    deed = ["moderate", str(made / "round"), "--marked", str(filled(made)), *record]
    deed += ["--department", str(made / "department.csv")]
    assert run_here(*deed, "--sign", "first-marker", "--by", "Ms Quill").status == 0
    changed = (made / "11Kestrel/set.csv").read_text(encoding="utf-8").replace("tick P1,,1", "tick P1,,0")
    (made / "11Kestrel/set.csv").write_text(changed, encoding="utf-8")
    told = run_here(*deed, "--out", str(made / "out"))
    assert "Signed before, and counts no more since a mark or a decision has changed: Ms Quill." in told.out
    assert run_here(*deed, "--sign", "first-marker", "--by", "Ms Quill").status == 0


def totals_in(folder: Path) -> dict[str, str]:
    """Return everybody's total after moderation."""
    with (folder / "final-marks.csv").open(encoding="utf-8", newline="") as file:
        return {row["student"]: row["moderated_total"] for row in csv.DictReader(file)}

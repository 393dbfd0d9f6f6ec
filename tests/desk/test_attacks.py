"""Attacks on the desk: bombs, names that look like addresses, cookies of another session, windows that cross."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import openpyxl
import pytest
from starlette.testclient import TestClient

from marking.decided.decisions import CellMended, CommentWritten
from marking.desk.doors import Secret
from marking.record.chain import breaks
from tests.checking.rows import CUBOID
from tests.desk.sitting import HOST, Sitting
from tests.desk.test_desk_sets import class_csv, drop


def packed(size: int) -> bytes:
    """Return a workbook whose sheet unpacks to so many MB of noughts."""
    book = io.BytesIO()
    openpyxl.Workbook().save(book)
    bomb = io.BytesIO()
    with zipfile.ZipFile(book) as plain, zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as out:
        for name in plain.namelist():
            data = plain.read(name)
            out.writestr(name, b"0" * (size * 2**20) if name.endswith("sheet1.xml") else data)
    return bomb.getvalue()


def test_a_bomb_costs_one_file(empty: Sitting) -> None:
    """It is refused with a sentence, and the next set is read."""
    page = drop(empty, ("bomb.xlsx", packed(300)))
    assert 'role="alert"' in page
    assert "bomb.xlsx" in page
    assert "Decide marks" in drop(empty, ("11C.csv", class_csv({"A03": CUBOID})))


@pytest.mark.parametrize(
    "name", ["who", "sets", "static", "set", "..", "department", "con", "key=1", "%2e%2e", "a/b?c#d"]
)
def test_names_that_look_like_addresses(empty: Sitting, name: str) -> None:
    """Classes, files and students of such names are a class, a file and a student."""
    page = drop(empty, (f"11C{name}.csv", class_csv({name: CUBOID, "words": CUBOID, "0": CUBOID})))
    held = empty.held()
    assert f"/set/{held.sid}/" in page
    codes = [one.write_up.student.code for one in held.marked.scripts]
    assert codes == [name, "words", "0"]
    for at in range(3):
        for path in ("", "/words", "/evening"):
            assert codes[at] in empty.get(f"/set/{held.sid}/student/{at}{path}").replace("&#34;", '"')
    _, _, page = empty.press(empty.get(f"/set/{held.sid}/decide"), "give:1")
    assert breaks(empty.desk.shelf.record.whole()) == ()
    assert empty.desk.shelf.folder in held.folder.parents


def test_the_cookie_of_another_session_opens_nothing(sample: Sitting) -> None:
    """Nor does ours under another name, nor the token in its place."""
    own, other = sample.desk.secret, Secret("another session")
    words = (other.derived("cookie"), own.token, own.text, "", "x")
    for cookie in (*(f"desk-{HOST}={word}" for word in words), f"desk-other={own.derived('cookie')}"):
        client = TestClient(sample.client.app, base_url=f"http://{HOST}", headers={"cookie": cookie})
        assert client.get("/").status_code == 403


def test_two_windows_on_one_cell_and_on_one_comment(empty: Sitting) -> None:
    """The later is told and shown both; a second press of one button is one decision."""
    bad = class_csv({"A03": CUBOID.replace("V,,24.2,cm³", "V,,2a.2,cm³")})
    drop(empty, ("11C.csv", bad))
    sid = empty.held().sid
    cells, script = f"/set/{sid}/cells", f"/set/{sid}/student/0"
    mine, theirs = empty.get(cells), empty.get(cells)
    assert empty.press(theirs, "", entry="24.2")[0] == 200
    assert empty.press(theirs, "", entry="24.2")[0] == 200
    status, _, page = empty.press(mine, "", entry="24.3")
    assert status == 409
    assert "24.2" in page
    assert "24.3" in page
    mine, theirs = empty.get(script), empty.get(script)
    assert empty.press(theirs, "", text="Well drawn.")[0] == 200
    assert empty.press(theirs, "", text="Well drawn.")[0] == 200
    status, _, page = empty.press(mine, "", text="Look again.")
    assert status == 409
    assert "Well drawn." in page
    assert "Look again." in page
    kinds = [type(one) for one in empty.held().decisions]
    assert (kinds.count(CellMended), kinds.count(CommentWritten)) == (1, 1)


def test_a_formula_stays_text_in_all_that_is_taken_away(empty: Sitting) -> None:
    """Codes, answers and comments that a spreadsheet program would run."""
    evil = "=1+cmd|'/c calc'!A0"
    drop(empty, ("11C.csv", class_csv({"@A03": CUBOID.replace("24.2,cm³", f"{evil},cm³")})))
    held = empty.held()
    empty.press(empty.get(f"/set/{held.sid}/student/0"), "", text=evil)
    book = openpyxl.load_workbook(io.BytesIO(empty.client.get(f"/set/{held.sid}/paper/marks.xlsx").content))
    assert all(cell.data_type != "f" for sheet in book for row in sheet.iter_rows() for cell in row)
    for name in ("mark-book.csv", "findings.csv"):
        text = empty.client.get(f"/set/{held.sid}/paper/{name}").text
        cells = [cell.strip('"') for line in text.splitlines() for cell in line.split(",")]
        assert not any(cell.startswith(("=", "@")) for cell in cells), name


def test_a_class_is_named_where_the_file_does_not_say_it(empty: Sitting, tmp_path: Path) -> None:
    """Two practicals of one class in files of any name are one class, and stay so when the desk opens anew."""
    token = empty.desk.secret.token
    data = class_csv({"A03": CUBOID})
    empty.client.post(
        "/", data={"token": token, "class": "  11C "}, files={"files": ("export (4).csv", data, "text/csv")}
    )
    while empty.desk.shelf.reading:
        pass
    assert str(empty.held().name) == "11C, density-cuboid"
    empty.desk.shelf.begin()
    while empty.desk.shelf.reading:
        pass
    assert [str(one.name) for one in empty.desk.shelf.sets()] == ["11C, density-cuboid"]
    assert tmp_path.exists()

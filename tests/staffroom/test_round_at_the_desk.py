"""A whole round on pages: drawn, marked a second time, ruled on, signed; the same record as by files."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from msgspec import structs

from marking.decided.decisions import Decision, ModerationSigned, PackHandedIn, SecondMarkGiven, department_set
from marking.moderation.packs import read_key, read_packs
from marking.record.chain import breaks
from marking.record.opening import open_record
from marking.rounds.round_folders import KEY
from tests.commands.running import run_here
from tests.staffroom.serving import HEAD, TEACHERS, Served, press, sample_department

SEVERE = "Mr Brandt"
WHY = "a mark severe throughout"


def first_back() -> Path:
    """Return the packs of the first stage, as they came back."""
    return sample_department() / "returned"


def second_back() -> Path:
    """Return those of the second stage."""
    return sample_department() / "returned-second-stage"


def rounds_by_files() -> list[str]:
    """Return both stages and their packs, as a command line names them."""
    folders = [str(sample_department() / name) for name in ("round", "round-second-stage")]
    return [*folders, "--marked", str(first_back()), "--marked", str(second_back())]


def draw(served: Served) -> str:
    """Draw the round of the samples at the desk; return its address."""
    head = served.of(HEAD)
    practical = served.room.shelf.sets()[0].rubric.id
    page = head.get("/moderation").text
    answer = press(head, page, "", at="/moderation", practical=practical, kind="sample", seed="7", boundaries="4,7,10")
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def words_of(served: Served, name: str) -> list[str]:
    """Return how addresses call the packs of a second marker that are open."""
    page = served.of(name).get("/second").text
    return [
        word for word, state in re.findall(r'href="/second/([0-9a-f]+)"[^>]*>(Mark|Look)<', page) if state == "Mark"
    ]


def hand_in_files(served: Served, folder: Path, names: tuple[str, ...]) -> None:
    """Hand every pack in *folder* in, each by its own second marker."""
    for name in names:
        for word in words_of(served, name):
            stem = name.replace(" ", "")
            (path,) = folder.glob(f"{stem}-*.xlsx")
            client = served.of(name)
            page = client.get(f"/second/{word}").text
            fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
            button = fields["button"]
            data = {"token": fields["token"], "button": button, "deed": "file"}
            answer = client.post(f"/second/{word}", data=data, files={"files": ("any.xlsx", path.read_bytes())})
            assert answer.status_code == 303, answer.text
            assert "handed in" in client.get(f"/second/{word}").text


def mark_by_hand(served: Served, name: str, marks: dict[str, dict[str, int]]) -> int:
    """Mark the open pack of *name* on pages, one criterion after the other; return how many marks were given."""
    client = served.of(name)
    (word,) = words_of(served, name)
    address, given = re.findall(rf'href="(/second/{word}/\d+)"', client.get(f"/second/{word}").text)[0], 0
    while address != f"/second/{word}":
        page = client.get(address).text
        found = re.search(r"<title>Second marking: (\w+), (\w+)</title>", page)
        assert found is not None
        answer = press(client, page, f"give:{marks[found[1]][found[2]]}")
        assert answer.status_code == 303, answer.text
        address, given = answer.headers["location"], given + 1
    assert press(client, client.get(address).text, "hand-in").status_code == 303
    return given


def what_was_decided(decisions: tuple[Decision, ...]) -> list[str]:
    """Return decisions without what differs from one run to the next: ids, clock, version, files, account."""
    bare = [structs.replace(one, id="", when="", source="", program="", **_less(one)) for one in decisions]
    # People mark at once; what has to be the same is what each decided, and each thing's own order.
    return sorted(repr(one) for one in bare)


def _less(one: Decision) -> dict[str, str]:
    return {"account": ""} if isinstance(one, ModerationSigned) else {}


def signing_in_turn() -> list[tuple[str, str]]:
    """Return who signs as what: every first marker, a second marker, the head of department."""
    first = [(name, "first-marker") for name in TEACHERS]
    return [*first, ("Dr Osei", "second-marker"), (HEAD, "head-of-department")]


def sign(served: Served, name: str, role: str) -> int:
    """Sign the one round as *role*; return the status."""
    client = served.of(name)
    page = client.get("/signatures").text
    assert f'value="{role}"' in page, name
    (at,) = set(re.findall(r'action="(/signatures/[^"]+)"', page))
    return int(press(client, page, "", at=at).status_code)


@pytest.mark.campaign
def test_pages_and_files_leave_the_same_record(department: Served, tmp_path: Path) -> None:
    """The department of the samples, both stages: packs, second marks, ruling and signatures are alike."""
    where = draw(department)
    name = where.rsplit("/", 1)[1]
    made = read_key(department.room.rounds.folder / name / KEY)
    kept = read_key(sample_department() / "round" / KEY)
    assert made.packs == kept.packs
    assert made.cohort == kept.cohort

    by_hand = "Ms Calloway"
    back = read_packs([first_back()], [kept])
    marks = {script.code: dict(script.marks) for one in back if one.second_marker == by_hand for script in one.scripts}
    assert mark_by_hand(department, by_hand, marks) == sum(map(len, marks.values()))
    hand_in_files(department, first_back(), tuple(one for one in TEACHERS if one != by_hand))
    head = department.of(HEAD)
    page = head.get(where).text
    assert "Mean difference" in page
    assert (
        page.index("Mean difference") < page.index("One test over all markers") < page.index("What the figures suggest")
    )
    assert press(head, page, "more").status_code == 303
    hand_in_files(department, second_back(), TEACHERS)
    page = head.get(where).text
    assert f"{SEVERE}: adjust all marks" in page

    look = head.get(f"{where}/rule", params={"ruling": "adjust", "marker": SEVERE}).text
    assert "Order among them: kept" in look
    assert "boundary" in look
    assert press(head, look, "", at=f"{where}/rule", why="").status_code == 409
    assert press(head, look, "", at=f"{where}/rule", why=WHY).status_code == 303
    assert press(head, look, "", at=f"{where}/rule", why=WHY).status_code == 303  # a second press is the same decision
    for who, role in signing_in_turn():
        assert sign(department, who, role) == 303
    assert "locked" in head.get(where).text

    record = str(tmp_path / "files.record")
    rule = ["--rule", "adjust", "--marker", SEVERE, "--by", HEAD, "--reason", WHY, "--confirm"]
    for deed in (
        rule,
        *(["--sign", role, "--by", who] for who, role in signing_in_turn()),
    ):
        done = run_here("moderate", *rounds_by_files(), "--record", record, *deed)
        assert done.status == 0, done.err
    files = open_record(record, may_begin=False)
    department_wide = department_set(made.practical)
    at_desk, by_files = (one.decisions(department_wide) for one in (department.record, files))
    assert what_was_decided(at_desk) == what_was_decided(by_files)
    assert {one.account != "" for one in at_desk if isinstance(one, ModerationSigned)} == {True}
    assert {one.account for one in by_files if isinstance(one, ModerationSigned)} == {""}
    assert sum(isinstance(one, PackHandedIn) for one in at_desk) == len(list(first_back().iterdir())) + len(
        list(second_back().iterdir())
    )
    assert breaks(department.record.whole()) == ()
    files.close()
    adjusted_everywhere(department, where)


def adjusted_everywhere(served: Served, where: str) -> None:
    """Totals after the ruling: class page, write-up, mark book and the department's own list say the same."""
    head = served.of(HEAD)
    rows = [line.split(",") for line in head.get(f"{where}/paper/final-marks.csv").text.splitlines()[1:]]
    final = {(row[0], row[1]): int(row[4]) for row in rows}
    assert any(int(row[3]) != int(row[4]) for row in rows)
    for held in served.room.shelf.sets():
        for script in held.marked.scripts:
            key = (held.name.class_name, script.write_up.student.code)
            if key in final:
                assert script.total == final[key]
                assert (script.moderated is not None) == (held.owner == SEVERE)
    severe = next(held for held in served.room.shelf.sets() if held.owner == SEVERE)
    own = served.of(SEVERE)
    page = own.get(f"/set/{severe.sid}/class").text
    assert WHY in page
    assert HEAD in page
    book = own.get(f"/set/{severe.sid}/paper/mark-book.csv").text
    assert WHY in book
    changed = next(script for script in severe.marked.scripts if script.moderated)
    at = severe.marked.scripts.index(changed)
    assert f"Total after moderation: {changed.total} of" in own.get(f"/set/{severe.sid}/student/{at}").text


@pytest.mark.campaign
def test_a_department_by_files_shows_the_ruling_in_the_class(tmp_path: Path) -> None:
    """mark, explain and marks.xlsx of one class name the ruling, and the findings stay."""
    record, set_9c = str(tmp_path / "files.record"), str(sample_department() / "9C")
    plain = tmp_path / "plain"
    done = run_here(
        "mark",
        set_9c,
        "--out",
        str(plain),
        "--record",
        record,
        "--class",
        "9C",
        "--by",
        SEVERE,
    )
    assert done.status in (0, 1), done.err
    rule = ["--rule", "adjust", "--marker", SEVERE, "--by", HEAD, "--reason", WHY, "--confirm"]
    assert run_here("moderate", *rounds_by_files(), "--record", record, *rule).status == 0
    ruled = tmp_path / "ruled"
    assert run_here("mark", set_9c, "--out", str(ruled), "--record", record).status in (0, 1)
    import openpyxl

    sheets = [openpyxl.load_workbook(folder / "marks.xlsx")["Marks"] for folder in (plain, ruled)]
    heads = [[cell.value for cell in sheet[1]] for sheet in sheets]
    assert heads[1][: len(heads[0])] == heads[0]
    assert heads[1][-2:] == ["total after moderation", "by which ruling"]
    assert sum(WHY in str(row[-1].value) and HEAD in str(row[-1].value) for row in sheets[1].iter_rows(min_row=2)) > 10
    assert (plain / "findings.csv").read_bytes() == (ruled / "findings.csv").read_bytes()
    student = next(str(row[0].value) for row in sheets[1].iter_rows(min_row=2) if row[-1].value)
    criterion = next(str(name) for name in heads[0] if re.fullmatch(r"[A-Z]\d", str(name)))
    told = run_here("explain", set_9c, student, criterion, "--record", record)
    assert "Total after moderation" in told.out
    assert WHY in told.out
    data = json.loads(run_here("explain", set_9c, student, criterion, "--record", record, "--json").out)
    assert WHY in json.dumps(data, ensure_ascii=False)
    undo = ["--undo", "1", "--by", HEAD, "--reason", "looked at again"]
    assert run_here("moderate", *rounds_by_files(), "--record", record, *undo).status == 0
    undone = tmp_path / "undone"
    assert run_here("mark", set_9c, "--out", str(undone), "--record", record).status in (0, 1)
    assert (undone / "marks.xlsx").read_bytes() == (plain / "marks.xlsx").read_bytes()


@pytest.mark.campaign
def test_a_pack_of_another_round_is_refused(department: Served) -> None:
    """Somebody else's, one of the second stage, one that is no pack: nothing is taken down."""
    draw(department)
    client = department.of("Ms Calloway")
    (word,) = words_of(department, "Ms Calloway")
    page = client.get(f"/second/{word}").text
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    others = [
        *first_back().glob("DrOsei-*.xlsx"),
        *second_back().glob("MsCalloway-*.xlsx"),
        sample_department() / "department.csv",
    ]
    for path in others:
        data = {"token": fields["token"], "button": f"b{path.name}", "deed": "file"}
        answer = client.post(f"/second/{word}", data=data, files={"files": ("MsCalloway.xlsx", path.read_bytes())})
        assert answer.status_code == 409, path.name
    kinds = (SecondMarkGiven, PackHandedIn)
    practical = department.room.shelf.sets()[0].rubric.id
    assert not [one for one in department.record.decisions(department_set(practical)) if isinstance(one, kinds)]


@pytest.mark.campaign
def test_scripts_marked_together_settle_a_wording(department: Served) -> None:
    """Everybody's marks stand side by side, and the new words are in the scheme's next edition."""
    head = department.of(HEAD)
    practical = department.room.shelf.sets()[0].rubric.id
    page = head.get("/moderation").text
    answer = press(head, page, "", at="/moderation", practical=practical, kind="together", seed="autumn", together="4")
    where = answer.headers["location"]
    for number, name in enumerate(TEACHERS):
        client = department.of(name)
        (word,) = words_of(department, name)
        address = re.findall(rf'href="(/second/{word}/\d+)"', client.get(f"/second/{word}").text)[0]
        while address != f"/second/{word}":
            address = press(client, client.get(address).text, f"give:{int(number == 2)}").headers["location"]
        assert press(client, client.get(address).text, "hand-in").status_code == 303
    page = head.get(where).text
    assert "all agree on 0 of" in page
    code = re.findall(r'value="settle:(\w+)"', page)[0]
    assert press(head, page, f"settle:{code}", **{f"wording-{code}": ""}).status_code == 409
    words = "Names the reading that is off, and says which way."
    assert press(head, page, f"settle:{code}", **{f"wording-{code}": words}).status_code == 303
    text = head.get(f"{where}/paper/next-edition.toml").text
    assert words in text
    assert f"edition = {department.room.shelf.sets()[0].rubric.edition + 1}" in text
    assert head.get(f"{where}/paper/marked-together.pdf").content.startswith(b"%PDF")


@pytest.mark.campaign
def test_a_mark_given_in_two_windows_is_told(department: Served) -> None:
    """The second window is refused and shows what stands; a double press is one mark; half a pack is not handed in."""
    draw(department)
    client = department.of(TEACHERS[0])
    (word,) = words_of(department, TEACHERS[0])
    address = re.findall(rf'href="(/second/{word}/\d+)"', client.get(f"/second/{word}").text)[0]
    one, other = client.get(address).text, client.get(address).text
    assert press(client, one, "give:1").status_code == 303
    assert press(client, one, "give:1").status_code == 303
    late = press(client, other, "give:0")
    assert late.status_code == 409
    assert "in another window" in late.text
    practical = department.room.shelf.sets()[0].rubric.id
    given = [one for one in department.record.decisions(department_set(practical)) if isinstance(one, SecondMarkGiven)]
    assert [one.marks for one in given] == [1]
    fields = dict(re.findall(r'name="(token|button)" value="([^"]*)"', client.get(f"/second/{word}").text))
    assert client.post(f"/second/{word}", data={**fields, "deed": "hand-in"}).status_code == 409

"""Class lists as schools save them: who is a student, which rows go together, which columns are a table."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.intake import read_inputs
from marking.write_up import ClassSet, State, Weight
from rubrics.faults import InputError
from rubrics.load import load_catalogue

BLOCK = "specific-heat-block"
WIRE = "wire-resistance"
HEAD = "student,m / kg,T_start / °C,T_end / °C,E / J,c"
LINE = "0.998,20.5,41.5,20400,973 J/(kg °C)"


def read(tmp_path: Path, text: str, practical: str = BLOCK) -> ClassSet:
    """Return the set that a file with *text* becomes."""
    file = tmp_path / "class.csv"
    file.write_text(text, encoding="utf-8")
    (one,) = read_inputs([file], load_catalogue(), practical=practical)
    return one


def codes(one: ClassSet) -> list[str]:
    """Return the students of a set."""
    return [work.student.code for work in one.write_ups]


@pytest.mark.parametrize(
    "name",
    [
        *("AVG", "SD", "Range", "Max", "Mean", "Total", "EXAMPLE", "Teacher", "Accepted value", "Worked example"),
        *("Mittelwert", "Moyenne", "Promedio", "Beispiel", "stdev.s", "σ", "n =", "Grand total", "Lehrerin"),
        *("Écart-type", "Desviación estándar", "Somma", "Ortalama", "Toplam", "Mediana", "Máximo", "Std.-Abw."),
        *("Highest", "Lowest", "Number done", "Checked by", "EXAMPLE (from the board)", "Example: do it like this"),
        *("Sample answer", "Miss Smith (example)", "Test row", "Beispielschüler", "dummy"),
    ],
)
def test_a_row_about_the_class_is_no_student_and_is_told(name: str, tmp_path: Path) -> None:
    """What sums up, shows how, or gives the book's value is passed over with a word."""
    one = read(tmp_path, f"{HEAD}\nA01,{LINE}\nA02,{LINE}\n{name},{LINE}\n")
    assert codes(one) == ["A01", "A02"]
    assert any(name in remark.message for remark in one.remarks)


def test_lines_about_the_class_in_a_tidy_file_are_passed_over(tmp_path: Path) -> None:
    """Each name is told once, however many lines it has."""
    lines = [f"{code},{item},{entry}" for code in ("A01", "Teacher") for item, entry in (("m", "1 kg"), ("E", "9 kJ"))]
    one = read(tmp_path, "\n".join(["student,item,entry", *lines]))
    assert codes(one) == ["A01"]
    assert len([remark for remark in one.remarks if "Teacher" in remark.message]) == 1


def test_a_name_of_the_roster_is_a_student_whatever_it_is(tmp_path: Path) -> None:
    """A student called Max is one where the roster says so."""
    (tmp_path / "roster.csv").write_text("student\nMax\nA01\n", encoding="utf-8")
    (tmp_path / "class.csv").write_text(f"{HEAD}\nMax,{LINE}\nA01,{LINE}\n", encoding="utf-8")
    (one,) = read_inputs([tmp_path], load_catalogue(), practical=BLOCK)
    assert codes(one) == ["Max", "A01"]


def test_a_code_typed_once_above_its_block_goes_for_all_of_it(tmp_path: Path) -> None:
    """Rows below a code without one of their own are more rows of the same student, told once."""
    lines = [
        "student,L / m,V / V,I / A",
        "A01,0.10,1.1,0.5",
        ",0.20,1.2,0.5",
        ",0.30,1.3,0.5",
        "A02,0.1,1.1,0.5",
        ",0.2,1,1",
    ]
    one = read(tmp_path, "\n".join(lines), WIRE)
    assert {work.student.code: sorted(work.columns["L"]) for work in one.write_ups} == {"A01": [1, 2, 3], "A02": [1, 2]}
    assert len([remark for remark in one.remarks if "stands above" in remark.message]) == 2


def test_a_line_without_a_code_that_is_no_table_is_nobodys(tmp_path: Path) -> None:
    """A single reading without a code is never given to the student above."""
    one = read(tmp_path, f"{HEAD}\nA01,{LINE}\n,{LINE}\n")
    assert codes(one) == ["A01"]
    assert any(remark.weight is Weight.QUERY and "no student's code" in remark.message for remark in one.remarks)


@pytest.mark.parametrize(
    ("heading", "who", "code"),
    [
        ("Pupil", "A01", "A01"),
        ("First name,Surname", "Ada,Hill", "Ada Hill"),
        ("Forename,Last name", "Ada,Hill", "Ada Hill"),
    ],
)
def test_other_headings_for_a_student(heading: str, who: str, code: str, tmp_path: Path) -> None:
    """Pupil is a student, and two parts of a name are one name."""
    one = read(tmp_path, f"{HEAD.replace('student', heading)}\n{who},{LINE}\n")
    assert codes(one) == [code]


def test_a_table_written_across(tmp_path: Path) -> None:
    """L1 V1 I1 L2 V2 I2: a number behind a column's name is its row."""
    one = read(tmp_path, "student,L1 (m),V1 (V),I1 (A),L2 (m),V2 (V),I2 (A)\nA01,0.1,1.1,0.5,0.2,1.2,0.6\n", WIRE)
    (work,) = one.write_ups
    assert {row: entry.value for row, entry in work.columns["V"].items()} == {1: 1.1, 2: 1.2}


def test_two_entries_that_differ_in_unit_only_are_a_conflict(tmp_path: Path) -> None:
    """0.998 kg and 0.998 g: neither is used, and the units are shown."""
    lines = ["student,item,entry,unit", "A01,m,0.998,kg", "A01,m,0.998,g", "A01,E,20400,J"]
    one = read(tmp_path, "\n".join(lines))
    (work,) = one.write_ups
    assert (work.singles["m"].state, work.singles["E"].state) == (State.UNREADABLE, State.NUMBER)
    assert any("0.998 kg" in remark.message and "0.998 g" in remark.message for remark in one.remarks)


@pytest.mark.parametrize(("item", "entry"), [("I", "250 MA"), ("I", "45 M"), ("E", "24.5k")])
def test_an_unknown_unit_beside_a_reading_is_asked(item: str, entry: str, tmp_path: Path) -> None:
    """Never the unit of the column with a note: a capital may be a thousand million."""
    practical = WIRE if item == "I" else BLOCK
    unit = "A" if item == "I" else "J"
    row = "1" if item == "I" else ""
    one = read(tmp_path, f"student,item,row,entry,unit\nA01,{item},{row},{entry},{unit}\n", practical)
    (told,) = [remark for remark in one.remarks if remark.item == item]
    assert told.weight is Weight.QUERY


@pytest.mark.parametrize(
    ("energy", "value"), [("22.100", None), ("20.400", 20400), ("20400,5", 20400.5), ("20.400,5", 20400.5)]
)
def test_a_point_in_a_file_of_decimal_commas_may_part_thousands(
    energy: str, value: float | None, tmp_path: Path
) -> None:
    """22.100 is 22.1 or 22 100: where the limits allow only one of them it is that, and else a person is asked."""
    lines = [HEAD.replace(",", ";"), f"A01;0,998;20,5;41,5;{energy};973 J/(kg °C)", "A02;0,998;20,5;41,5;20400;973"]
    file = tmp_path / "class.csv"
    file.write_text("\n".join(lines), encoding="utf-8")
    catalogue = load_catalogue()
    if value is None:
        block = catalogue[BLOCK]
        energy_item = replace(block.items["E"], limits=None)
        catalogue = {**catalogue, BLOCK: replace(block, items={**block.items, "E": energy_item})}
    (one,) = read_inputs([file], catalogue, practical=BLOCK)
    assert one.write_ups[0].singles["E"].value == value
    assert one.write_ups[0].singles["T_start"].value == 20.5


_TWO_BLOCKS = [
    "student,L / m,V / V,I / A",
    "A01,0.10,1.1,0.5",
    "A01,0.20,1.2,0.5",
    "A02,0.1,1.1,0.5",
    "A02,0.2,1.2,0.5",
]


def test_a_table_pasted_twice_is_used_once(tmp_path: Path) -> None:
    """The same block again adds no rows."""
    one = read(tmp_path, "\n".join([*_TWO_BLOCKS, *_TWO_BLOCKS]), WIRE)
    assert [sorted(work.columns["L"]) for work in one.write_ups] == [[1, 2], [1, 2]]
    assert any("the same again" in remark.message for remark in one.remarks)


def test_a_second_attempt_is_not_merged_into_the_first(tmp_path: Path) -> None:
    """Other readings in a second block of one student are a conflict, told with both."""
    one = read(tmp_path, "\n".join([*_TWO_BLOCKS, "A01,0.10,1.3,0.6", "A01,0.20,1.4,0.7"]), WIRE)
    first = one.write_ups[0]
    assert sorted(first.columns["L"]) == [1, 2]
    assert first.columns["V"][1].state is State.UNREADABLE
    assert any("not the same" in remark.message for remark in one.remarks)


def test_rows_that_alternate_between_students_go_on(tmp_path: Path) -> None:
    """Row 1 of everybody, then row 2 of everybody: no second attempt."""
    lines = [_TWO_BLOCKS[0], *(f"{code},0.{row},1.{row},0.5" for row in (1, 2, 3) for code in ("A01", "A02"))]
    one = read(tmp_path, "\n".join(lines), WIRE)
    assert [len(work.columns["L"]) for work in one.write_ups] == [3, 3]


@pytest.mark.parametrize(
    ("student", "entry", "is_read"),
    [
        ("A01", "20,5", True),
        ("A02", "1,002", False),  # everything else of hers stands behind points
        ("A01", "1,002", True),  # everything else of his stands behind commas
        ("A02", "22.100", True),
    ],
)
def test_a_comma_in_a_tidy_file_is_read_as_its_writer_writes(
    student: str, entry: str, is_read: bool, tmp_path: Path
) -> None:
    """Two students of one class may have two keyboards; what could be either is asked."""
    his, hers = ['A01,m,"0,998",kg', 'A01,T_start,"20,5",°C'], ["A02,m,0.998,kg", "A02,T_start,20.5,°C"]
    one = read(tmp_path, "\n".join(["student,item,entry,unit", *his, *hers, f'{student},c,"{entry}",J/(kg K)']))
    found = next(work for work in one.write_ups if work.student.code == student).singles["c"]
    assert (found.state is State.NUMBER) is is_read


_QUESTIONS = {
    "Timestamp": "2025-05-01",
    "How much energy did the meter show? (J)": "20400",
    "Email Address": "a@x.example",
    "Your code": "A01",
    "What is the mass of your block in kg?": "0.998",
    "Specific heat capacity of the metal": "973 J/(kg °C)",
    "Temperature at the start (°C)": "20.5",
    "Highest temperature after switching off (°C)": "41.5",
}


@pytest.mark.parametrize("turn", [0, 3, 5])
def test_a_form_is_offered_its_map_and_read_with_it(turn: int, tmp_path: Path) -> None:
    """Given with the practical alone, in whatever order its columns stand: refused with a map that reads it."""
    names = [*_QUESTIONS][turn:] + [*_QUESTIONS][:turn]
    file = tmp_path / "form.csv"
    file.write_text(f"{','.join(names)}\n{','.join(_QUESTIONS[name] for name in names)}\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"save these lines as map\.toml") as refused:
        read_inputs([file], load_catalogue(), practical=BLOCK)
    offered = str(refused.value).partition("--columns map.toml:\n")[2]
    (tmp_path / "map.toml").write_text(offered, encoding="utf-8")
    (one,) = read_inputs([file], load_catalogue(), practical=BLOCK, columns=tmp_path / "map.toml")
    (work,) = one.write_ups
    assert work.student.code == "A01"
    values = {name: entry.value for name, entry in work.singles.items()}
    assert values == {"m": 0.998, "T_start": 20.5, "T_end": 41.5, "E": 20400, "c": 973}


def test_ticks_and_their_reasons_alone_are_read_without_a_word(tmp_path: Path) -> None:
    """A sheet of ticks has no columns for readings, and a reason is no number; nothing is said of either."""
    one = read(tmp_path, "student,tick R1,why R1\nA01,x,balance read 3 g high\n")
    assert {code: (tick.marks, tick.why) for code, tick in one.write_ups[0].ticks.items()} == {
        "R1": (0, "balance read 3 g high")
    }
    assert one.remarks == ()


SHORT_LINE = "0.998,20.5,41.5,20400,973"


@pytest.mark.parametrize("odd", ["Arithmetisches Mittel", "Marks", "Mr Ash", "Attempt 2"])
def test_a_code_unlike_the_others_is_asked_about(odd: str, tmp_path: Path) -> None:
    """Whether words among codes with numbers are a student's, only a person can say."""
    one = read(tmp_path, "\n".join([HEAD, *(f"{code},{LINE}" for code in ("A01", "A02", "A 03", odd))]))
    (query,) = [remark for remark in one.remarks if remark.weight is Weight.QUERY]
    assert odd in query.message
    assert odd in codes(one)


@pytest.mark.parametrize("words", ["Notes: the balance on bench 3 was broken", "Second try", "checked"])
def test_words_without_entries_are_no_student(words: str, tmp_path: Path) -> None:
    """What stands below or between the rows is passed over with a word."""
    one = read(tmp_path, f"{HEAD}\nA01,{LINE}\nA02,{LINE}\n{words}\nA03,{LINE}\n")
    assert codes(one) == ["A01", "A02", "A03"]
    assert any(words in remark.message for remark in one.remarks)


@pytest.mark.parametrize("names", [("Ada", "Ben Oak", "Cy", "Di"), ("A01", "A02", "Ada"), ("A01", "A02", "Ada", "Ben")])
def test_a_class_by_names_has_no_odd_codes(names: tuple[str, ...], tmp_path: Path) -> None:
    """Nothing tells a student from a remark there, and so nothing is said."""
    one = read(tmp_path, "\n".join([HEAD, *(f"{name},{LINE}" for name in names)]))
    assert codes(one) == list(names)
    assert not [remark for remark in one.remarks if "no code like" in remark.message]


def test_an_answer_under_a_question_is_not_left_out_in_silence(tmp_path: Path) -> None:
    """Of a form whose readings are headed like items, the answer is asked for."""
    head = HEAD.replace(",c", ",Your answer for c,Comment")
    one = read(tmp_path, f"{head}\nA01,{SHORT_LINE},none\n")
    (query,) = [remark for remark in one.remarks if remark.weight is Weight.QUERY]
    assert '"Your answer for c" like c' in query.message
    assert "Comment" not in query.message
    (work,) = one.write_ups
    assert work.singles["c"].state is State.UNREADABLE


def test_who_is_said_to_belong_to_the_class_belongs_to_it(tmp_path: Path) -> None:
    """A tidy line with a student and no item is no remark, whatever the other codes look like."""
    lines = [f"{code},m,1 kg" for code in ("A01", "A02", "A03")]
    assert codes(read(tmp_path, "\n".join(["student,item,entry", *lines, "Amy,,"]))) == ["A01", "A02", "A03", "Amy"]


def test_a_unit_behind_a_comma_is_the_unit_of_its_heading(tmp_path: Path) -> None:
    """E, kJ is how many countries head a column."""
    head = "student;Mass, kg;T_start, °C;T_end - °C;E, kJ;c"
    (work,) = read(tmp_path, f"{head}\nA01;0.998;20.5;41.5;20.4;973 J/(kg °C)\n").write_ups
    assert {name: entry.unit.unit.symbol for name, entry in work.singles.items() if entry.unit and entry.unit.unit} == {
        "m": "kg",
        "T_start": "°C",
        "T_end": "°C",
        "E": "kJ",
        "c": "J/(kg °C)",
    }


def test_a_code_with_the_word_absent_is_that_student(tmp_path: Path) -> None:
    """Away, with a word about it; and where the work stands all the same, it is marked."""
    one = read(tmp_path, f"{HEAD}\nA01,{LINE}\nA02 (absent),,,,,\nA03 [away],{LINE}\n")
    assert [(work.student.code, work.student.absent) for work in one.write_ups] == [
        ("A01", False),
        ("A02", True),
        ("A03", False),
    ]
    assert any("read as absent" in remark.message for remark in one.remarks)


@pytest.mark.parametrize("cell", ["A01 & A02", "A01/A02", "A01 and A02", '"A01, A02"'])
def test_two_codes_in_one_cell_are_asked_about(cell: str, tmp_path: Path) -> None:
    """Whose work it is, only the teacher knows."""
    one = read(tmp_path, f"{HEAD}\n{cell},{LINE}\nA03,{LINE}\n")
    assert len(one.write_ups) == 2
    assert any("codes of 2 students" in remark.message and remark.weight is Weight.QUERY for remark in one.remarks)


def test_notes_under_a_table_are_no_students(tmp_path: Path) -> None:
    """A sentence without entries is passed over with a word, in a small class too."""
    note = "NB balance no. 3 reads 2 g high,,,,,"
    one = read(tmp_path, f"{HEAD}\nA01,{LINE}\nA02,{LINE}\n{note}\n")
    assert codes(one) == ["A01", "A02"]
    assert any("balance no. 3" in remark.message for remark in one.remarks)

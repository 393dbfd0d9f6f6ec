"""What each workbook as schools save it should come to, written down before it was read."""

from __future__ import annotations

from tests.intake import school_books as books
from tests.intake.school_books import ASKED, WIRE, Case

CASES = (
    Case(
        name="a comma country, one cell with a point",
        make=books.comma_country_with_a_point,
        holds={("A01", "E", 0): 20400.5, ("A02", "E", 0): 22100, ("A02", "m", 0): 0.998},
    ),
    Case(
        name="a comma country, an answer with a point",
        make=books.comma_country_answers,
        holds={("A01", "c", 0): 973.5, ("A02", "c", 0): ASKED, ("A03", "c", 0): 985.2},
    ),
    Case(
        name="the table pasted again below, one row changed",
        make=books.pasted_below,
        holds={("A01", "E", 0): 20400, ("A02", "E", 0): ASKED, ("A02", "m", 0): 1.002, ("A03", "E", 0): 20100},
        says=("not the same",),
    ),
    Case(name="two classes on two sheets", make=books.two_classes, students=("A01", "A02", "A03", "B01")),
    Case(
        name="two classes on two sheets, with one numbering",
        make=books.two_classes_with_one_numbering,
        students=("1", "2", "3"),
        holds={("1", "m", 0): ASKED, ("1", "c", 0): ASKED, ("2", "m", 0): 1.002, ("3", "m", 0): 1.0},
        says=("not the same",),
    ),
    *(
        Case(name=f"a row called {name}", make=books.summary_rows(name), says=(name,))
        for name in (
            *(
                "Average",
                "AVERAGE:",
                "Class average",
                "Class mean",
                "St. dev.",
                "Std Dev",
                "Stdev",
                "Standard deviation",
            ),
            *("Min", "Minimum", "Maximum", "Sum", "Count", "Median", "Mode", "Uncertainty", "% error"),
            *("Expected", "Expected value", "True value", "Textbook value", "Literature value", "Model answer"),
            *("e.g.", "Sample", "Example row", "Worked example", "Demo", "Teacher's values", "Teacher demo", "Answers"),
            *("Mark scheme", "Max mark", "Correct answer", "Totals", "Range", "Mean (all)", "Overall", "Target"),
        )
    ),
    Case(
        name="a code once for each block",
        make=books.blocks,
        students=("A01", "A02"),
        holds={("A01", "V", 3): 3.3, ("A02", "V", 1): 1.1},
        practical=WIRE,
    ),
    Case(
        name="codes merged over their blocks",
        make=books.merged_codes,
        students=("A01", "A02"),
        holds={("A01", "V", 3): 3.3, ("A02", "V", 2): 2.2},
        practical=WIRE,
    ),
    Case(
        name="blocks with empty rows between",
        make=books.blocks_with_gaps,
        students=("A01", "A02"),
        holds={("A01", "V", 3): 3.3, ("A02", "V", 3): 3.3},
        practical=WIRE,
    ),
    Case(
        name="a reading merged over two students",
        make=books.merged_reading,
        holds={("A01", "m", 0): 0.998, ("A02", "m", 0): ASKED},
        says=("merged",),
    ),
    Case(
        name="numbers turned into dates",
        make=books.dates,
        holds={("A01", "m", 0): ASKED, ("A02", "c", 0): ASKED},
        says=("B2", "F3", "date"),
    ),
    Case(name="a cell shown as a percentage", make=books.percent, holds={("A01", "m", 0): ASKED}, says=("B2",)),
    Case(
        name="numbers as text with spaces and apostrophes",
        make=books.spaced_numbers,
        holds={("A01", "E", 0): 20400, ("A02", "E", 0): 20600, ("A03", "E", 0): 20100, ("A01", "m", 0): 0.998},
    ),
    Case(name="a formula never worked out", make=books.never_calculated, holds={("A01", "E", 0): ASKED}, says=("E2",)),
    *(
        Case(
            name=f"across: {', '.join(headings)}",
            make=books.across(*headings),
            students=("A01", "A02"),
            holds={("A01", "V", 1): 1.1, ("A01", "V", 2): 1.2, ("A02", "I", 2): 0.6},
            practical=WIRE,
        )
        for headings in (
            ("L1", "V1", "I1", "L2", "V2", "I2"),
            ("L 1 (m)", "V 1 (V)", "I 1 (A)", "L 2 (m)", "V 2 (V)", "I 2 (A)"),
            ("L_1", "V_1", "I_1", "L_2", "V_2", "I_2"),
            ("L(1)", "V(1)", "I(1)", "L(2)", "V(2)", "I(2)"),
            ("L #1", "V #1", "I #1", "L #2", "V #2", "I #2"),
            ("Reading 1 L", "Reading 1 V", "Reading 1 I", "Reading 2 L", "Reading 2 V", "Reading 2 I"),
            ("L reading 1", "V reading 1", "I reading 1", "L reading 2", "V reading 2", "I reading 2"),
            ("L / m (1)", "V / V (1)", "I / A (1)", "L / m (2)", "V / V (2)", "I / A (2)"),
        )
    ),
    Case(name="a sheet a student", make=books.sheet_a_student(), holds={("A02", "E", 0): 20600}),
    Case(
        name="a sheet a student, with a title",
        make=books.sheet_a_student("Specific heat of a block", "Period 3"),
        holds={("A03", "c", 0): 985},
    ),
    Case(name="headings in groups", make=books.group_headings, holds={("A01", "m", 0): 0.998}),
    *(
        Case(name=f"students under {heading!r}", make=books.named(heading), holds={("A01", "m", 0): 0.998})
        for heading in (
            *("Pupil", "PUPIL NAME", "Name of student", "Student's name", "Student Name/Code", "ID", "Student ID no."),
            *("Initials", "Candidate #", "Cand. no.", "Reg. no.", "Learner", "Learner name", "Your name"),
            *("Student(s)", "Username", "Email", "E-mail address", "Pupil Ref"),
        )
    ),
    Case(name="lines about the class above", make=books.lines_about_the_class_above, holds={("A01", "m", 0): 0.998}),
    Case(name="an average without a name below", make=books.average_without_a_name, says=("row 5",)),
    Case(name="a student who was absent", make=books.all_absent),
    Case(name="a column of comments", make=books.notes_behind, says=("comments",)),
    Case(
        name="units in a row below the headings",
        make=books.units_in_a_row_below,
        students=("A01",),
        holds={("A01", "m", 0): 998, ("A01", "E", 0): 20.4},
    ),
    Case(
        name="two numbers in a cell",
        make=books.two_numbers_in_a_cell,
        holds={("A01", "T_start", 0): ASKED, ("A02", "T_start", 0): ASKED, ("A03", "T_start", 0): ASKED},
    ),
    Case(name="cells with errors", make=books.error_cells, holds={("A01", "E", 0): ASKED, ("A02", "E", 0): ASKED}),
    Case(
        name="codes that became dates",
        make=books.codes_made_dates,
        students=("2026-03-01", "2026-03-02", "2026-03-03"),
        says=("made a date of the code", "A2"),
    ),
    Case(name="grams by their format under kg", make=books.grams_under_kilograms, holds={("A01", "m", 0): 998}),
    Case(name="a reading shown as money", make=books.money, holds={("A01", "E", 0): ASKED, ("A02", "E", 0): 20600}),
    Case(name="an old copy on a hidden sheet", make=books.old_copy_hidden, holds={("A01", "m", 0): 0.998}),
    Case(name="a corrected copy on a second sheet", make=books.corrected_copy, holds={("A01", "m", 0): ASKED}),
)

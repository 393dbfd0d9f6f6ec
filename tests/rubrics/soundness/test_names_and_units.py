"""What can be wrong with a rubric that its keys alone do not show: every fault, its line and its mending."""

from __future__ import annotations

import pytest

from tests.rubrics.small_rubric import SOUND, Change, changed, faults, line_with

MEND_DIMENSION = "mend the formula, or the unit of the answer"
MEND_PARTS = "mend the formula, or the units of its items"
MEND_FORMULA = "see the formula language in rubrics/catalogue/README.md"
UNUSED = "is used by no formula and no criterion: use it, or leave it out"
SECOND = '[[criteria]]\ncode = "F2"'
CRITERION = '[[criteria]]\ncode = "X"\npoint = "More"\n'
CHOICES = 'choices = [{ word = "yes" }, { word = "no" }]'

Case = tuple[str, list[Change], list[tuple[str, str]]]
"""(name, changes to the sound rubric, [(text on the faulty line, 'problem: mend')])"""

BROKEN: list[Case] = [
    (
        "formula names no item",
        [('"m / V"', '"m / v"')],
        [
            ("[readings.V]", f"V {UNUSED}"),
            (
                '"m / v"',
                "the formula of rho names v, which is no item here (items: m, V, rho): "
                "add it under readings, answers or constants, or mend the name (V?)",
            ),
        ],
    ),
    (
        "formula cannot be read",
        [('"m / V"', '"m ^ V"')],
        [('"m ^ V"', f"'^' is not a power here: write ** for it: {MEND_FORMULA}")],
    ),
    ("dimension", [('"m / V"', '"m * V"')], [('"m * V"', f"the formula of rho does not give g/cm³: {MEND_DIMENSION}")]),
    (
        "parts do not fit",
        [('"m / V"', '"(m + V) / V"')],
        [('"(m + V) / V"', f"in the formula of rho, m + V adds or subtracts two different quantities: {MEND_PARTS}")],
    ),
    (
        "a hundred twice",
        [('"m / V"', '"100 * m / m * V / V"'), ('unit = "g/cm³"', 'unit = "%"')],
        [
            (
                '"100 * m / m * V / V"',
                "the formula of rho multiplies by 100, and its unit % does so already: leave out the 100",
            )
        ],
    ),
    (
        "another way gives another quantity",
        [("figures = [2, 3]", 'also = ["V / m"]')],
        [("also =", f"the formula of rho does not give g/cm³: {MEND_DIMENSION}")],
    ),
    (
        "temperature taken for a change",
        [('unit = "cm³"', 'unit = "°C"'), ('unit = "g/cm³"', 'unit = "g/K"')],
        [
            (
                '"m / V"',
                "in the formula of rho, V is a temperature, not a change: subtract two temperatures first: "
                + MEND_PARTS,
            )
        ],
    ),
    (
        "unit unknown",
        [('unit = "cm³"', 'unit = "blobs"')],
        [('"blobs"', "'blobs': blobs is not a unit we know: mend it, or add it to rubrics/units/spellings.toml")],
    ),
    (
        "other unit of another quantity",
        [('["kg"]', '["kg", "cm"]')],
        [('["kg", "cm"]', "cm is not a unit of the same quantity as g: mend the list")],
    ),
    (
        "item used by nothing",
        [("[readings.V]", '[readings.T]\nquantity = "temperature"\nunit = "°C"\n\n[readings.V]')],
        [("[readings.T]", f"T {UNUSED}")],
    ),
    (
        "constant used by nothing",
        [("[answers.rho]", '[constants.g]\nquantity = "g"\nvalues = [9.8]\nsource = "s"\n\n[answers.rho]')],
        [("[constants.g]", "g is used by no formula: use it, or leave it out")],
    ),
    (
        "circle of one",
        [('"m / V"', '"rho * m / m * V / V"')],
        [('"rho *', "the formula of rho leads back to itself: work it out from readings")],
    ),
    (
        "circle of two",
        [
            ('"m / V"', '"k * m / V"'),
            ("[[criteria]]", '[answers.k]\nquantity = "share"\nformula = "rho * V / m"\n\n[[criteria]]'),
        ],
        [
            ('"k * m', "the formula of rho leads back to itself: work it out from readings"),
            ('"rho * V', "the formula of k leads back to itself: work it out from readings"),
        ],
    ),
    (
        "name stands twice",
        [("[answers.rho]", '[answers.m]\nquantity = "x"\nunit = "g"\nformula = "m"\n\n[answers.rho]')],
        [
            ("[answers.m]", "m stands twice in the file: give one of them another name"),
            ('formula = "m"', "the formula of m leads back to itself: work it out from readings"),
        ],
    ),
    (
        "capitals only",
        [
            ('"m / V"', '"(m + M) / V"'),
            ("[readings.V]", '[readings.M]\nquantity = "other"\nunit = "g"\n\n[readings.V]'),
        ],
        [("[readings.M]", 'M differs from m only by capitals: rename one of them; symbol = "M" prints it as before')],
    ),
    (
        "name is pi",
        [
            ('"m / V"', '"m / V * pi / pi"'),
            ("[readings.V]", '[constants.pi]\nquantity = "π"\nvalues = [3.14]\nsource = "s"\n\n[readings.V]'),
        ],
        [
            ("[constants.pi]", "formulas cannot use pi as a name: choose another name"),
            ("[constants.pi]", "pi is used by no formula: use it, or leave it out"),
        ],
    ),
    (
        "name is a word of Python",
        [('"m / V"', '"m / lambda"'), ("[readings.V]", "[readings.lambda]")],
        [
            ("[readings.lambda]", "formulas cannot use lambda as a name: choose another name"),
            (
                '"m / lambda"',
                f"the formula 'm / lambda' cannot be read: check brackets and signs: {MEND_FORMULA}",
            ),
        ],
    ),
    (
        "words in a formula",
        [('unit = "cm³"', CHOICES)],
        [
            (
                '"m / V"',
                "the formula of rho names V, which is no item here (items: m, rho): "
                "add it under readings, answers or constants, or mend the name",
            ),
        ],
    ),
    (
        "column as one value",
        [('unit = "cm³"', 'unit = "cm³"\ntable = "t"')],
        [
            (
                '"m / V"',
                "the formula of rho uses the column V as if it were one value: "
                "give rho the same table, or write mean(V)",
            )
        ],
    ),
    (
        "one value as a column",
        [('"m / V"', '"mean(m) / V"')],
        [
            (
                '"mean(m)',
                "mean in the formula of rho needs a column, and m is none: "
                "give the item a table, or leave the function out",
            )
        ],
    ),
    (
        "criterion names no item",
        [(SECOND, CRITERION + 'check = "value"\nitems = ["roh"]\n\n' + SECOND)],
        [('["roh"]', "the criterion X names roh, which is no item here (items: m, V, rho): mend the name")],
    ),
    (
        "code twice",
        [('code = "F2"', 'code = "F1"')],
        [
            ('code = "F1"', "the code F1 stands twice: give each criterion its own code"),
            ('code = "F1"', "the code F1 stands twice: give each criterion its own code"),
        ],
    ),
    (
        "criterion without items",
        [(SECOND, CRITERION + 'check = "value"\n\n' + SECOND)],
        [("[[criteria]]", "the criterion X has no items: name the items that it looks at")],
    ),
    (
        "value of a reading",
        [(SECOND, CRITERION + 'check = "value"\nitems = ["m"]\n\n' + SECOND)],
        [('["m"]', "the check value of X is for answers: choose other items")],
    ),
    (
        "reading of an answer",
        [(SECOND, CRITERION + 'check = "reading"\nitems = ["rho"]\n\n' + SECOND)],
        [('items = ["rho"]', "the check reading of X is for readings: choose other items")],
    ),
    (
        "rows of one value",
        [(SECOND, CRITERION + 'check = "rows"\nitems = ["m"]\nrows = 3\n\n' + SECOND)],
        [('["m"]', "X needs columns of a table: give the items a table")],
    ),
    (
        "rows with no wish",
        [
            (SECOND, CRITERION + 'check = "rows"\nitems = ["T"]\n\n' + SECOND),
            ("[answers.rho]", '[readings.T]\nquantity = "temperature"\nunit = "°C"\ntable = "t"\n\n[answers.rho]'),
        ],
        [("[[criteria]]", "X asks nothing of its columns: add one of rows, span, each_way, within, near")],
    ),
    (
        "rows wished of a value",
        [('check = "value"', 'check = "value"\nrows = 6')],
        [("rows = 6", "rows of F1 has no effect with the check value: use the check rows, or leave it out")],
    ),
    (
        "words looked at as numbers",
        [
            (SECOND, CRITERION + 'check = "places"\nitems = ["kind"]\n\n' + SECOND),
            ("[answers.rho]", f'[readings.kind]\nquantity = "kind"\n{CHOICES}\n\n[answers.rho]'),
        ],
        [('["kind"]', "X looks at words as if they were numbers: use choice")],
    ),
    (
        "choice of a number",
        [('check = "value"', 'check = "choice"')],
        [('items = ["rho"]', "F1 needs answers with choices and a curve: add them")],
    ),
    (
        "more marks than there are",
        [('check = "value"', 'check = "value"\naward = { 1 = 2 }')],
        [("award", "F1 awards more than its 1: mend the marks")],
    ),
    (
        "applies to no choice",
        [('check = "value"', 'check = "value"\nwhen = ["lamp"]')],
        [("when", "F1 applies to 'lamp', which the selector does not offer: use one of a selector with choices")],
    ),
    (
        "selector without choices",
        [("edition = 1", 'edition = 1\nselector = "m"')],
        [("selector", "m offers no choices: name an item with choices")],
    ),
    (
        "graph of single items",
        [("[[criteria]]", '[graph]\nx = "m"\ny = "V"\nfit = "line"\n\n[[criteria]]')],
        [
            ('x = "m"', "m is no column here: name a column of a table"),
            ('y = "V"', "V is no column here: name a column of a table"),
        ],
    ),
    (
        "result is a reading",
        [("[[criteria]]", '[result]\nanswer = "m"\n\n[[criteria]]')],
        [('answer = "m"', "m is no answer with a formula: name the final answer")],
    ),
    (
        "slip of nothing",
        [
            (
                "[[criteria]]",
                '[[slips]]\nanswer = "c"\nformula = "m * q"\ncause = "rearrangement"\ndetail = "d"\n\n[[criteria]]',
            )
        ],
        [
            ('answer = "c"', "c is no answer with a formula: mend the name"),
            (
                '"m * q"',
                "the formula of the slip of c names q, which is no item here (items: m, V, rho): "
                "add it under readings, answers or constants, or mend the name",
            ),
        ],
    ),
    (
        "limits the wrong way round",
        [("[1, 500]", "[500, 1]")],
        [("limits", "the limits of m are the wrong way round: smaller first")],
    ),
    (
        "figures the wrong way round",
        [("[2, 3]", "[3, 2]")],
        [("figures", "the figures of rho are the wrong way round: fewer first")],
    ),
    (
        "answer with nothing to check",
        [('formula = "m / V"\n', ""), ('check = "value"', 'check = "figures"'), ("[1, 500]", "[1, 500]")],
        [
            ("[readings.m]", f"m {UNUSED}"),
            ("[readings.V]", f"V {UNUSED}"),
            ("[answers.rho]", "rho has neither a formula nor choices: add one of them"),
        ],
    ),
    (
        "a teacher's point without words",
        [(SECOND, '[[criteria]]\ncode = "X"\ncheck = "teacher"\n\n' + SECOND)],
        [("[[criteria]]", 'X does not say what earns it: add point = "what you look for"')],
    ),
    (
        "steps of a reading without a resolution",
        [(SECOND, CRITERION + 'check = "places"\nsteps = true\nitems = ["m"]\n\n' + SECOND)],
        [("items", "X asks for whole steps, and no item has a resolution: add resolution to the reading")],
    ),
]


@pytest.mark.parametrize(("changes", "told"), [case[1:] for case in BROKEN], ids=[case[0] for case in BROKEN])
def test_fault_is_told_with_line_and_mending(changes: list[Change], told: list[tuple[str, str]]) -> None:
    """Each kind of fault is told once, on its line, with how to mend it, and nothing else is told."""
    text = changed(*changes)
    found = faults(text)
    assert sorted(fault.partition(": ")[2] for fault in found) == sorted(words for _, words in told)
    for part, words in told:
        lines = {number for number, line in enumerate(text.split("\n"), 1) if part in line}
        assert any(f"{line}: {words}" in found for line in lines)


def test_all_faults_in_one_go() -> None:
    """Faults in different places are told together, in the order of the file."""
    text = changed(
        ("[1, 500]", "[500, 1]"),
        ('unit = "cm³"', 'unit = "blobs"'),
        ("[2, 3]", "[3, 2]"),
        ('check = "unit"\nitems = ["rho"]', 'check = "unit"\nitems = ["roh"]'),
    )
    lines = [int(fault.partition(":")[0]) for fault in faults(text)]
    wanted = ["[500, 1]", '"blobs"', "[3, 2]", '["roh"]']
    assert lines == [line_with(text, part) for part in wanted]


def test_what_follows_from_a_fault_is_no_second_fault() -> None:
    """A unit and a formula that cannot be read are told once each, not again through all that uses them."""
    text = changed(('unit = "g"', 'unit = "blobs"'), ('"m / V"', '"m / V +"'))
    assert [int(fault.partition(":")[0]) for fault in faults(text)] == [
        line_with(text, '"blobs"'),
        line_with(text, '"m / V +"'),
    ]


@pytest.mark.parametrize(
    "changes",
    [
        [
            ("[2, 3]", '[2, 3]\nalso = ["m * T / (V * T)"]'),
            ("[readings.V]", '[readings.T]\nquantity = "time"\nunit = "s"\n\n[readings.V]'),
        ],
        [
            (
                "[[criteria]]",
                '[[slips]]\nanswer = "rho"\nformula = "m * T"\ncause = "rearrangement"\ndetail = "d"\n\n'
                '[readings.T]\nquantity = "time"\nunit = "s"\n\n[[criteria]]',
            )
        ],
        [("rules.", "rules")],
        [("[2, 3]", "[3, 3]")],
        [('check = "value"', 'check = "value"\naward = { 1 = 1 }')],
    ],
    ids=["used-in-another-way", "used-in-a-slip", "no-full-stop", "one-number-of-figures", "all-for-all"],
)
def test_what_looks_like_a_fault_and_is_none(changes: list[Change]) -> None:
    """Rubrics that are unusual but sound are read."""
    assert faults(changed(*changes)) == []


def test_the_rubric_that_all_this_starts_from_is_sound() -> None:
    """The faults above come from the changes, not from the rubric that was changed."""
    assert faults(SOUND) == []

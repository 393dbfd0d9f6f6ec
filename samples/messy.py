"""Cells that were filled in untidily, as they come in any class: what was meant is right, how it stands is not."""

from __future__ import annotations

from collections.abc import Iterable

from samples.recording import Written
from samples.scenario import Mess
from samples.sheet import WriteUp

NUMBER = "spreadsheet number"
"""Typed into a cell that is not text: the spreadsheet keeps the value and forgets the zeros at its end."""
NOT_MEASURED = "not measured"
_LETTERS = (("0", "O"), ("5", "S"), ("1", "l"))
"""Figures and the letters that are typed for them."""
_NEEDS = {
    "E": ("c",),
    "m": ("c", "rho", "rho_si"),
    "V": ("rho", "rho_si"),
    "I_parallel": ("R_parallel", "difference"),
}
"""Reading to the answers that nobody can work out without it."""


def make_untidy(work: WriteUp, mess: Iterable[Mess]) -> None:
    """Change the cells named by *mess* in the write-up of one student.

    Raises:
        ValueError: The cell holds nothing that this kind of mess could befall.
    """
    for one in mess:
        cell = work.cells[one.item]
        changed = _changed(one, cell[one.row] if isinstance(cell, dict) else cell)
        if isinstance(cell, dict):
            cell[one.row] = changed
        else:
            work.cells[one.item] = changed
        if one.kind == NOT_MEASURED:
            _leave_out(work, one)


def _changed(mess: Mess, written: Written) -> Written:
    text, unit = written
    match mess.kind:
        case "decimal comma":
            new = (text.replace(".", ","), unit)
        case "unit in the cell":
            new = (f"{text} {unit}", "")
        case "letter for a figure":
            new = (_with_letter(text), unit)
        case "typographic minus":
            new = (text.replace("-", "−"), unit)
        case "spreadsheet number":
            new = (f"{float(text):.12g}", unit)
        case "not measured":
            new = ("-", unit)
        case "left blank":
            new = ("", unit)
        case _:
            raise ValueError(f"{mess.kind!r} is no kind of mess")
    if new == written and mess.kind != NUMBER:
        raise ValueError(f"{mess.student}, {mess.item} {mess.row}: {text!r} cannot get {mess.kind!r}")
    return new


def _with_letter(text: str) -> str:
    figure, letter = next(((one, other) for one, other in _LETTERS if one in text), ("", ""))
    before, _, after = text.rpartition(figure) if figure else (text, "", "")
    return f"{before}{letter}{after}"


def _leave_out(work: WriteUp, mess: Mess) -> None:
    resistances = work.cells.get("R")
    if mess.row and isinstance(resistances, dict):
        resistances[mess.row] = ("", resistances[mess.row][1])
        lost: set[tuple[str, int | None]] = {("R", mess.row)}
    else:
        lost = {(item, None) for item in _NEEDS.get(mess.item, ()) if item in work.cells}
        for item, _ in lost:
            work.cells[item] = ("", "")
    work.planted = [one for one in work.planted if (one.item, one.row) not in lost]

"""CSV files as spreadsheets of many countries save them, and as hands spoil them."""

from __future__ import annotations

from marking.write_up import State
from tests.intake.awkward.case import Case, as_text, table

UNREADABLE = State.UNREADABLE


def csv_cases() -> tuple[Case, ...]:
    """Return the cases about CSV files."""
    return (*_dialects(), *_fields(), *_bytes())


def _dialects() -> tuple[Case, ...]:
    commas = [
        [str(value).replace(".", ",") if isinstance(value, float) else value for value in line] for line in table()
    ]
    first = {"A01 T_start": (19.5, "°C"), "A01 c": (997, "J/(kg °C)")}
    return (
        Case(name="with a mark.csv", data=as_text(table(), encoding="utf-8-sig"), outcome="clean", holds=first),
        Case(
            name="code page.csv",
            data=as_text(table(F3="1000 ½"), encoding="cp1252"),
            outcome="query",
            named=("F3", "code page"),
            holds=first | {"A02 c": UNREADABLE},
        ),
        Case(name="utf-16.csv", data=as_text(table(), "\t", "utf-16"), outcome="notes", named=("UTF-16",), holds=first),
        Case(
            name="semicolons.csv",
            data=as_text(commas, ";"),
            outcome="notes",
            named=("semicolons", "decimal commas"),
            holds=first,
        ),
        Case(name="tabs.csv", data=as_text(table(), "\t"), outcome="notes", named=("tabs",), holds=first),
        Case(
            name="separator line.csv",
            data=b"sep=;\r\n" + as_text(table(), ";"),
            outcome="notes",
            named=("semicolons",),
            holds=first,
        ),
    )


def _fields() -> tuple[Case, ...]:
    lines = [",".join(map(str, line)) for line in table()]
    trailing = [lines[0], *(f"{line}," for line in lines[1:])]
    commas = [lines[0], "A01,998,19,5,40,0,20400,997,J/(kg °C)", *lines[2:]]
    short = [lines[0], "A01,998,19.5,20400,997,J/(kg °C)", *lines[2:]]
    open_quote = [lines[0], 'A01,998,19.5,40.0,20400,997,"J/(kg °C)', *lines[2:]]
    spoilt = {f"A01 {item}": UNREADABLE for item in ("m", "T_start", "T_end", "E", "c")} | {"A02 m": (1005, "g")}
    return (
        Case(
            name="trailing commas.csv",
            data="\r\n".join(trailing).encode(),
            outcome="notes",
            holds={"A01 m": (998, "g")},
        ),
        Case(
            name="commas unquoted.csv",
            data="\r\n".join(commas).encode(),
            outcome="query",
            named=("A2", "A01"),
            holds=spoilt,
        ),
        Case(
            name="a field short.csv",
            data="\r\n".join(short).encode(),
            outcome="query",
            named=("A2", "A01"),
            holds=spoilt,
        ),
        Case(
            name="open quote.csv",
            data="\r\n".join(open_quote).encode(),
            outcome="refuse",
            students=(),
            named=("line 2", "quote"),
        ),
        Case(
            name="line break.csv",
            data=as_text(table(F2="997\nabout")),
            outcome="query",
            named=("F2",),
            holds={"A01 c": UNREADABLE, "A02 c": (1000, "J/(kg K)")},
        ),
        Case(
            name="long field.csv",
            data=as_text(table(F3="9" * 200_000)),
            outcome="query",
            named=("F3",),
            holds={"A02 c": UNREADABLE, "A02 m": (1005, "g"), "A03 m": (1001, "g")},
        ),
    )


def _bytes() -> tuple[Case, ...]:
    return (
        Case(
            name="zero byte.csv",
            data=as_text(table()).replace(b"997", b"99\x007", 1),
            outcome="query",
            named=("F2", "[U+0000]"),
            holds={"A01 c": UNREADABLE},
        ),
        Case(
            name="headings only.csv", data=as_text(table()[:1]), outcome="refuse", students=(), named=("no students",)
        ),
        Case(name="empty.csv", data=b"", outcome="refuse", students=(), named=("empty",)),
        Case(name="zeros only.csv", data=bytes(1000), outcome="refuse", students=(), named=("neither",)),
        Case(name="no headings.csv", data=b"1,2,3\r\n4,5,6\r\n", outcome="refuse", students=(), named=("headings",)),
    )

"""Lines that are taken as text, in parts, are read as the same lines taken apart by the rules of CSV."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.intake import read_inputs
from marking.intake.parts import Asked, large_set, read_part
from rubrics.load import load_catalogue

HEADING = "student,bench,practical,item,row,entry,unit"
ODD = [
    "A1,1,wire-resistance,L,1,0.100,m",
    'A1,1,wire-resistance,V,1,"0.72",V',
    'A1,1,wire-resistance,V,2,"0.8\n1",V',
    '"A1",1,wire-resistance,I,1,0.72,A',
    "A1,1,wire-resistance,I,2,1.02,A",
    "",
    "A1,1,wire-resistance,R,1,1.0,Ω,",
    "A1,1,wire-resistance,R,2,1,2,Ω",
    "A1,1,wire-resistance,R,3",
    "A1,1,wire-resistance,L,1,0.200,m",
    "A1,2,wire-resistance,L,2,0.200,m",
    "A1,1,wire-resistance,length,2,0.200,m",
    "A1,1,wire-resistance,L,x,0.300,m",
    "A1,1,wire-resistance,nothing,1,0.300,m",
    "A2,1,wire-resistance,L,1,0.100 metres,",
    "A2,1,wire-resistance,L,2,,",
    ",,,,,,",
    "A2,1,wire-resistance,L,3, 0.3 ,m",
    'A2,1,wire-resistance,L,4,"0.4",m',
    'A2,1,wire-resistance,L,4,"0.4",m',
    "A2,1,wire-resistance,L,5,0.5,m",
    "A2,1,wire-resistance,L,5,0.5,m",
    '"A,2",1,wire-resistance,L,1,0.5,m',
    "A,2,1,wire-resistance,L,1,0.5",
    "A3,1,specific-heat-block,m,,0.998,kg",
    "A3,1,specific-heat-block,E,,20400 J,",
    "A3,1,wire-resistance,L,1,0.100,m",
]


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("closed", [True, False])
def test_a_part_is_read_as_a_file(end: str, closed: bool, tmp_path: Path) -> None:
    """Entries and their places are those of the way that reads a class: quotes, gaps, breaks and too many fields."""
    path = tmp_path / "class.csv"
    path.write_bytes((end.join([HEADING, *ODD]) + (end if closed else "")).encode())
    rubrics = load_catalogue()
    whole = {one.practical: one for one in read_inputs([path], rubrics)}
    large = large_set(Asked(paths=[path]), rubrics, 100, tmp_path, least=1)
    assert large is not None
    assert not large.is_gathered
    for _ in range(2):  # the second time every text was met before
        (part,) = large.source.parts()
        for one in read_part(large.reader, part).sets:
            found = {work.student.code: (work.singles, work.columns) for work in one.write_ups}
            wanted = {work.student.code: (work.singles, work.columns) for work in whole[one.practical].write_ups}
            assert found == wanted

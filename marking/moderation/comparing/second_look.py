"""First and second marks side by side, script by script."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from marking.moderation.joint import Pair, PairTable, table_of
from marking.moderation.packs import Key, KeyLine, Returned
from marking.moderation.sampling import Reason


class SecondLook(Struct, frozen=True, kw_only=True):
    """One script of the sample that has come back."""

    line: KeyLine
    second: Mapping[str, int]
    """Every criterion that the second marker marked."""
    remark: str
    stage: int
    eye_out_of: int
    """Marks of the criteria that people mark on it."""

    @property
    def first_total(self) -> int:
        """Return the first marker's marks where people mark."""
        return sum(self.line.first[code] for code in self.line.eye)

    @property
    def second_total(self) -> int:
        """Return the second marker's marks in the same criteria."""
        return sum(self.second[code] for code in self.line.eye)

    @property
    def apart(self) -> int:
        """Return first less second: positive where the first marker was more generous."""
        return self.first_total - self.second_total

    @property
    def is_counted(self) -> bool:
        """Tell whether it is counted at all: not where the apparatus failed or a question is open."""
        return Reason.ASIDE not in self.line.reasons


def second_looks(keys: Sequence[Key], returned: Sequence[Returned]) -> tuple[SecondLook, ...]:
    """Return what came back, in the order of the keys."""
    # By pack: two stages of a round may draw the same code twice.
    back = {(pack.pack, script.code): script for pack in returned for script in pack.scripts}
    found = []
    for key in keys:
        most = {line.code: line.marks for line in key.scheme}
        for line in key.lines:
            script = back.get((key.packs.get(line.second_marker, ""), line.code))
            if script is not None:
                out_of = sum(most[code] for code in line.eye)
                found.append(
                    SecondLook(line=line, second=script.marks, remark=script.remark, stage=key.stage, eye_out_of=out_of)
                )
    return tuple(found)


def criteria_marked(looks: Sequence[SecondLook], key: Key) -> tuple[tuple[str, int], ...]:
    """Return the criteria that people marked on any script, with their marks, in the order of the scheme."""
    eye = {code for one in looks for code in one.line.eye}
    return tuple((line.code, line.marks) for line in key.scheme if line.code in eye)


def pair_table(looks: Sequence[SecondLook], key: Key) -> PairTable:
    """Return the scripts that were drawn by lot as pairs; where a criterion was worked out both marks are that mark."""
    criteria = criteria_marked(looks, key)
    codes = [code for code, _ in criteria]
    return table_of(list(_pairs(looks, codes)), codes, [marks for _, marks in criteria])


def _pairs(looks: Sequence[SecondLook], codes: Sequence[str]) -> Iterator[Pair]:
    for one in looks:
        if one.line.is_drawn and one.is_counted:
            eye = frozenset(one.line.eye)
            yield Pair(
                script=one.line.code,
                first_marker=one.line.first_marker,
                second_marker=one.line.second_marker,
                first=tuple(one.line.first.get(code, 0) for code in codes),
                second=tuple((one.second if code in eye else one.line.first).get(code, 0) for code in codes),
            )

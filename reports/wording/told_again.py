"""Sentences that many students get word for word, each put together once."""

from __future__ import annotations

from collections.abc import Callable

from marking.findings import Finding
from reports.wording.cause_sentences import message
from reports.wording.sentences import little_quoted

MOST_KEPT = 512
"""Sentences on one thing with one outcome; most have a handful."""


class ToldAgain:
    """What is said of one thing with one outcome for one reason, whoever it is said to."""

    __slots__ = ("_made", "_quoted", "_said")

    def __init__(self, finding: Finding, made: Callable[[str], str]) -> None:
        """Take a finding about that thing, and what is made of every sentence."""
        self._quoted, self._made = little_quoted(finding.reason, finding.outcome), made
        self._said: dict[object, str] = {}

    def of(self, finding: Finding) -> str:
        """Return what is made of the sentence on *finding*: of that item, row, criterion, outcome and reason."""
        quoted = self._quoted
        if quoted is None or finding.told:
            return self._made(message(finding))
        get = finding.facts.get
        key: object = get("quantity") if quoted.facts == _PLACE else tuple([get(name) for name in quoted.facts])
        if quoted.unit or quoted.basis:
            key = key, finding.unit if quoted.unit else "", finding.basis if quoted.basis else ""
        said = self._said.get(key)
        if said is None:
            if len(self._said) >= MOST_KEPT:
                self._said.clear()
            said = self._said[key] = self._made(message(finding))
        return said


_PLACE = ("quantity",)

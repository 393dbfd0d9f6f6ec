"""Sentences that many students get word for word, each put together once."""

from __future__ import annotations

from collections.abc import Callable

from marking.findings import Finding
from reports.wording.cause_sentences import message, message_of, says_more
from reports.wording.sentences import MOST_KEPT, Frames, little_quoted


class ToldAgain:
    """What is said of one thing with one outcome for one reason, whoever it is said to."""

    __slots__ = ("_frames", "_is_of_facts", "_last", "_made", "_quoted", "_said", "_says_more")

    def __init__(self, finding: Finding, made: Callable[[str], str]) -> None:
        """Take a finding about that thing, and what is made of every sentence."""
        self._quoted, self._made = little_quoted(finding.reason, finding.outcome), made
        self._is_of_facts = self._quoted is not None and not (self._quoted.unit or self._quoted.basis)
        self._said: dict[object, str] = {}
        self._last: tuple[object, str] = (None, "")
        """The last facts, where all depends on them, and what was said of them: many students may share one object."""
        self._frames, self._says_more = Frames(finding.reason), says_more(finding.reason, finding.outcome)

    def of(self, finding: Finding) -> str:
        """Return what is made of the sentence on *finding*: of that item, row, criterion, outcome and reason."""
        if finding.told:
            return self._made(message(finding))
        quoted = self._quoted
        if quoted is None:
            told = self._frames.said(finding)
            return self._made(message_of(finding, told) if self._says_more else told)
        facts = finding.facts
        if facts is self._last[0]:
            return self._last[1]
        key = quoted.of(finding)
        said = self._said.get(key)
        if said is None:
            if len(self._said) >= MOST_KEPT:
                self._said.clear()
            said = self._said[key] = self._made(message(finding))
        if self._is_of_facts and isinstance(facts, dict):  # others hold on to what they are made of
            self._last = facts, said
        return said

"""A command line that answers a slip of typing with what was most likely meant."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterable, Sequence
from typing import Any, NoReturn

from marking.terminal.ending import NOTHING_DONE
from marking.version import VERSION
from rubrics.patterns import late_pattern

_CHOICE = late_pattern(
    r"argument (?P<what>\S+): invalid choice: (?P<said>'.*') \(choose from (?P<known>.+)\)", re.DOTALL
)
_BARE = late_pattern(r"argument (?P<what>\S+): expected (?:one|at least one) argument")


class ShowVersion(argparse.Action):
    """``--version``: say which version this is, and end."""

    def __call__(self, *_: object) -> None:
        """Print the version."""
        print(f"writeups {VERSION}")
        sys.exit(0)


class CommandLine(argparse.ArgumentParser):
    """An argparse parser whose refusals are sentences that lead on."""

    _words: Sequence[str] = ()
    """As typed."""

    def parse_known_args(self, args: Sequence[str] | None = None, namespace: Any = None) -> Any:  # type: ignore[override]  # noqa: ANN401 - argparse has overloads
        """Look at the verb first: nothing else can be understood without it."""
        self._words = words = list(sys.argv[1:] if args is None else args)
        verbs = self.verbs()
        if verbs and words and not words[0].startswith("-") and words[0] not in verbs:
            self._no_such_verb(words[0])
        return super().parse_known_args(words, namespace)

    def parse_args(self, args: Sequence[str] | None = None, namespace: Any = None) -> Any:  # type: ignore[override]  # noqa: ANN401 - argparse has overloads
        """Refuse what is left over, with the nearest option."""
        chosen, rest = self.parse_known_args(args, namespace)
        if rest:
            verb = self.verbs().get(getattr(chosen, "verb", None) or "", self)
            verb.error(verb.left_over(rest[0]))
        return chosen

    def error(self, message: str) -> NoReturn:
        """End with one line on what is wrong and one on where help is."""
        message = _plainer(message)
        missing = "the following arguments are required: "
        if message.startswith(missing):
            unknown = next((word for word in self._words if self._is_unknown(word)), None)
            message = self.left_over(unknown) if unknown else f"still to be named: {message.removeprefix(missing)}"
        verb = self.prog.removeprefix("writeups").strip()
        stop = "" if message.endswith((".", "?")) else "."
        print(f"{self.prog}: {message}{stop}", file=sys.stderr)
        print(f"All about it, with an example: writeups help {verb}".rstrip(), file=sys.stderr)
        sys.exit(NOTHING_DONE)

    def verbs(self) -> dict[str, CommandLine]:
        """Return the verbs with what each understands; empty for a verb itself."""
        for action in self._actions:
            if isinstance(action, argparse._SubParsersAction) and action.dest == "verb":
                return dict(action.choices)
        return {}

    def show_help(self, verb: str | None) -> int:
        """Print the help of a verb, or of all; return the exit status."""
        if verb is not None and verb not in self.verbs():
            self._no_such_verb(verb)
        (self.verbs()[verb] if verb else self).print_help()
        return 0

    def _no_such_verb(self, said: str) -> NoReturn:
        verbs = list(self.verbs())
        near = _nearest(said.casefold(), verbs, 0.5)
        hint = f" Did you mean {near}?" if near else ""
        print(f"writeups: there is no verb {said!r}.{hint} Verbs: {', '.join(verbs)}.", file=sys.stderr)
        sys.exit(NOTHING_DONE)

    def left_over(self, word: str) -> str:
        """Return what is said of a word that nothing here takes, with the nearest option."""
        if not word.startswith("-"):
            return f"{word!r} is one word too many"
        near = _nearest(word.partition("=")[0], self._option_string_actions)
        return f"there is no option {word}" + (f"; did you mean {near}?" if near else "")

    def _is_unknown(self, word: str) -> bool:
        name = word.partition("=")[0]
        is_option = name.startswith("--") and name != "--"
        return is_option and not any(option.startswith(name) for option in self._option_string_actions)


def _nearest(word: str, known: Iterable[str], least: float = 0.6) -> str | None:
    """Return what of *known* is nearest to *word*, at least so alike; None where nothing is."""
    from difflib import get_close_matches  # only for who mistyped

    return next(iter(get_close_matches(word, list(known), n=1, cutoff=least)), None)


def _plainer(message: str) -> str:
    """Return argparse's own sentence in plainer words; as it is where there are none."""
    choice = _CHOICE.fullmatch(message)
    if choice:
        known = choice["known"].replace("'", "")
        near = _nearest(choice["said"].strip("'"), known.split(", "))
        hint = f"; did you mean {near}?" if near else ""
        return f"{choice['what']}: {choice['said']} is not one of {known}{hint}"
    bare = _BARE.fullmatch(message)
    return f"{bare['what']} needs something behind it: {bare['what']} NAME" if bare else message

"""What all pages share: who sits at the desk, its sets, its secret, and the frame around each page."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined
from msgspec import Struct, field
from starlette.responses import HTMLResponse

from marking.decided import (
    Decision,
    SetName,
)
from marking.desk.doors import Secret
from marking.desk.shelf import HeldSet, SetsAtHand
from marking.record import Maker
from reports.wording import wording

SAMPLE = Path(__file__).parent / "sample"
SAMPLE_NAME = "10D"
"""The class in it."""


def environment(*rooms: str) -> Environment:
    """Return what makes pages of the templates in *rooms*, the first that has one."""
    return Environment(
        loader=ChoiceLoader([PackageLoader(room) for room in rooms]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


class Way(Struct, frozen=True, kw_only=True):
    """A part of a desk that a department shares, as the head of each page leads to it."""

    address: str
    words: str
    key: str


class Desk(Struct, kw_only=True):
    """One desk, of one teacher."""

    shelf: SetsAtHand
    secret: Secret
    now: Callable[[], str]
    fresh: Callable[[], str]
    program: str
    who: str = ""
    """Name of the teacher; asked for before anything is decided."""
    pages: Environment = field(default_factory=lambda: environment("marking.desk"))
    ways: tuple[Way, ...] = ()
    """Where somebody who has signed in may go; empty on a desk of one teacher."""

    def maker(self) -> Maker:
        """Return where decisions take name, time, ids and version from."""
        return self.maker_for(self.who)

    def maker_for(self, who: str) -> Maker:
        """Return the same for another name: of whoever's files are read."""
        return Maker(who=who, now=self.now, fresh=self.fresh, program=self.program)

    def made(self, kind: type[Decision], name: SetName, **own: Any) -> Decision:  # noqa: ANN401 - fields of the kind
        """Return a decision of the teacher at the desk, made now."""
        rubric = self.shelf.rubrics[name.practical]
        return kind(who=self.who, when=self.now(), set=name, program=self.program, edition=str(rubric.edition), **own)

    def render(
        self, template: str, page: object, *, held: HeldSet | None = None, tab: str = "", status: int = 200
    ) -> HTMLResponse:
        """Return a page in the frame."""
        shown = self.pages.get_template(f"{template}.html").render(
            page=page,
            words=wording("desk"),
            held=held,
            tab=tab,
            who=self.who,
            ways=self.ways,
            token=self.secret.token,
        )
        return HTMLResponse(shown, status_code=status)

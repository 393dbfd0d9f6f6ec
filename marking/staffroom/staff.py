"""One person of the department at the desk: whose sets, packs and rounds are there. The rest does not exist here."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Callable
from pathlib import Path

from jinja2 import Environment
from msgspec import Struct, field
from starlette.exceptions import HTTPException
from starlette.requests import Request

from marking.accounts import Account, AccountBook, Role, Session, Sessions, Slowing
from marking.desk import Desk, Secret, Way, environment
from marking.desk.shelf import HeldSet, PartOfShelf, SetsAtHand, Shelf
from marking.moderation.sampling import ClassMarks
from marking.record import Maker
from marking.rounds import Figures
from marking.staffroom.front_door import House
from marking.staffroom.rounds_at_hand import MyPack, Round, RoundsAtHand
from marking.staffroom.rules import may
from reports.wording import wording
from rubrics.faults import InputError

_WAYS = (("/", "sets", "s"), ("/second", "second", "2"), ("/moderation", "moderation", "m"))
_MORE_WAYS = (("/signatures", "signatures", "g"), ("/questions", "questions", "q"), ("/benches", "benches", "b"))


class StaffDesk(Desk, kw_only=True):
    """The desk as one person has it."""

    account: Account
    room: Staffroom
    blind: frozenset[str] | None = None
    """Practicals of which this person has a pack open; None until somebody asks. A desk lives for one request."""

    def packs(self) -> tuple[MyPack, ...]:
        """Return the packs that were given to this person."""
        return self.room.rounds.packs_of(self.account.name)

    def pack(self, request: Request) -> MyPack:
        """Return the pack that an address names.

        Raises:
            HTTPException: There is none of this person's.
        """
        word = request.path_params["pack"]
        found = next((one for one in self.packs() if one.word == word), None)
        if found is None:
            raise HTTPException(404)
        return found

    def is_blind(self, practical: str) -> bool:
        """Tell whether this person has a pack of a practical open, and may see nobody else's first marks of it."""
        if self.blind is None:
            opened = (one.open_round.key.practical for one in self.packs() if not one.so_far.is_handed_in)
            self.blind = frozenset(opened)
        return practical in self.blind

    def rounds(self) -> tuple[Round, ...]:
        """Return the rounds that this person has a part in; all of them for the head of department."""
        name, is_head = self.account.name, self.account.role is Role.HEAD
        return tuple(
            one
            for one in self.room.rounds.all()
            if is_head or name in one.markers or any(name in stage.key.packs for stage in one.stages)
        )

    def round(self, request: Request) -> Round:
        """Return the round that an address names.

        Raises:
            HTTPException: There is none that this person has a part in.
        """
        name = request.path_params["round"]
        found = next((one for one in self.rounds() if one.name == name), None)
        if found is None:
            raise HTTPException(404)
        return found

    def figures(self, one: Round) -> Figures:
        """Return what a round shows, with everybody's marks as they stand now.

        Raises:
            InputError: A class of it is still being read: nobody decides on or signs what stood there earlier.
        """
        key = one.first.key
        classes = classes_in(self.room.shelf, key.practical, self.room.whole)
        wanted = {each.kept_as or each.class_name for each in key.cohort}
        if not self.room.has_read.is_set() and wanted - {each.class_name for each in classes}:
            words = wording("staffroom")["round"]
            raise InputError(key.title, words["still_read"], words["look_later"])
        return self.room.rounds.figures(one, classes)

    def classes(self, practical: str) -> list[ClassMarks]:
        """Return the classes of one practical that this person may see, as sampling takes them."""
        return classes_in(self.shelf, practical, self.room.whole)

    def may_change(self, held: HeldSet) -> bool:
        """Tell whether the marks of a set are this person's to decide."""
        return held.owner == self.account.name

    def pressed(self, button: str, who: str = "") -> Maker:
        """Return a maker whose ids come from the button that was pressed, so that two presses are one decision."""
        ids = iter(range(1_000_000))
        return Maker(
            who=who or self.who,
            now=self.now,
            fresh=lambda: hashlib.sha256(f"{self.account.id}/{button}/{next(ids)}".encode()).hexdigest()[:32],
            program=self.program,
        )


class Staffroom(Struct, kw_only=True):
    """Everything of a shared desk that is the same for all."""

    shelf: Shelf
    rounds: RoundsAtHand
    book: AccountBook
    sessions: Sessions
    slowing: Slowing
    house: House
    secret: str
    """For the forms of visitors; new each time the desk is opened."""
    now: Callable[[], str]
    fresh: Callable[[], str]
    program: str
    whole: frozenset[str] = frozenset()
    """Classes of which every script is wanted in a sample."""
    has_read: threading.Event = field(default_factory=threading.Event)
    """Set once every class was read that was there when the desk was opened."""

    def desk_for(self, session: Session) -> StaffDesk:
        """Return the desk of whoever has signed in."""
        account = session.account
        folder = self.folder_of(account)

        def may_see(held: HeldSet) -> bool:
            if held.owner == account.name:
                return account.role in (Role.TEACHER, Role.HEAD)
            return account.role is Role.HEAD and not desk.is_blind(held.name.practical)

        desk = StaffDesk(
            shelf=PartOfShelf(self.shelf, account.name, folder, may_see),
            secret=Secret(session.token),
            now=self.now,
            fresh=self.fresh,
            program=self.program,
            who=account.name,
            pages=_pages(),
            ways=() if account.has_phrase else ways_of(account.role),
            account=account,
            room=self,
        )
        return desk

    def desk_for_visitor(self, visit: str) -> Desk:
        """Return what somebody sees who has not signed in: no set, no name."""
        return Desk(
            shelf=PartOfShelf(self.shelf, "", self.shelf.folder, lambda _held: False),
            secret=Secret(f"{self.secret}/{visit}"),
            now=self.now,
            fresh=self.fresh,
            program=self.program,
            pages=_pages(),
        )

    def folder_of(self, account: Account) -> Path:
        """Return where a person's files are kept: by the id, for a name may hold signs that a folder cannot."""
        return self.shelf.folder / account.id


def classes_in(shelf: SetsAtHand | Shelf, practical: str, whole: frozenset[str]) -> list[ClassMarks]:
    """Return the classes of one practical with their markers; of those in *whole* every script is wanted."""
    return [
        ClassMarks(
            marker=held.owner,
            class_name=held.name.class_name,
            marked=held.marked,
            is_whole=held.name.class_name in whole,
        )
        for held in shelf.sets()
        if held.rubric.id == practical and held.owner
    ]


def ways_of(role: Role) -> tuple[Way, ...]:
    """Return where a role may go."""
    words = wording("staffroom")["ways"]
    # The sets are home for whoever has any; for others the page at home only leads on.
    own = [way for way in (*_WAYS, *_MORE_WAYS) if may(role, way[0], changes=False)]
    if role not in (Role.TEACHER, Role.HEAD):
        own = [way for way in own if way[0] != "/"]
    return tuple(Way(address=address, words=words[name], key=key) for address, name, key in own)


def _pages() -> Environment:
    return _ENVIRONMENT


_ENVIRONMENT = environment("marking.staffroom", "marking.desk")
_ENVIRONMENT.globals["staff"] = wording("staffroom")

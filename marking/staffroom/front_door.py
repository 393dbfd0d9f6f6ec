"""The door of a desk that a department shares: whose host, from which page, how long, and who it is by the cookie.

As on a desk of one teacher, a page never checks for itself. Visitors find styles, fonts and the page to sign in.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from marking.accounts import Session, Sessions
from marking.desk import MOST_BYTES, SAFE_METHODS, is_asked_as, is_own, is_too_long, limited, with_headers

SIGN_IN = "/sign-in"
FOR_VISITORS = ("/static/", "/fonts/")
VISITOR_BYTES = 10_000
"""Of a request by somebody who has not signed in: name and password."""


class House(Struct, frozen=True, kw_only=True):
    """Under which addresses the desk is asked for."""

    hosts: frozenset[str]
    """Host, and port where it is not the usual one of the way."""
    is_secure: bool
    """Whether it is reached by TLS."""
    port: int

    @property
    def cookie(self) -> str:
        """Return the name of the session's cookie; the prefix keeps other hosts from setting it."""
        return f"{'__Host-' if self.is_secure else ''}staff-{self.port}"

    @property
    def visitor_cookie(self) -> str:
        """Return the name of the cookie of somebody who is about to sign in."""
        return f"{'__Host-' if self.is_secure else ''}visit-{self.port}"

    def origin(self, host: str) -> str:
        """Return what the browser calls our pages."""
        return f"{'https' if self.is_secure else 'http'}://{host}"

    def keep(self, answer: Response, name: str, value: str) -> None:
        """Set a cookie that no script reads and no other site sends; it ends with the browser."""
        answer.set_cookie(name, value, httponly=True, samesite="strict", path="/", secure=self.is_secure)

    def drop(self, answer: Response, name: str) -> None:
        """Take a cookie away."""
        answer.delete_cookie(name, path="/", httponly=True, samesite="strict", secure=self.is_secure)


class FrontDoor:
    """Middleware around the whole of a shared desk."""

    def __init__(self, app: ASGIApp, *, house: House, sessions: Sessions, closed: str) -> None:
        """Let requests for one of the hosts through to *app*, with the session that their cookie names."""
        self._app = app
        self._house = house
        self._sessions = sessions
        self._closed = closed

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or refuse it."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # nothing here speaks anything else
        request = Request(scope)
        more = dict(_STRICT if self._house.is_secure else {})
        if _is_for_visitors(request.url.path):
            more |= _KEPT
        send = with_headers(send, more)
        answer = self._refusal(request)
        session: Session | None = None
        if answer is None and not _is_for_visitors(request.url.path):
            token = request.cookies.get(self._house.cookie, "")
            session = await run_in_threadpool(self._sessions.find, token) if token else None
            answer = self._without(session, request)
        if answer is not None:
            await answer(scope, receive, send)
            return
        scope.setdefault("state", {})["session"] = session
        await self._app(scope, limited(receive, MOST_BYTES if session else VISITOR_BYTES), send)

    def _refusal(self, request: Request) -> Response | None:
        host = request.headers.get("host", "")
        if not is_asked_as(request.headers, self._house.hosts):
            return PlainTextResponse(self._closed, status_code=421)
        if request.method not in SAFE_METHODS and not is_own(request.headers, self._house.origin(host)):
            return PlainTextResponse(self._closed, status_code=403)
        return None

    def _without(self, session: Session | None, request: Request) -> Response | None:
        """Return the answer to a request that nobody, or nobody of the department, sends."""
        if is_too_long(request.headers, MOST_BYTES if session else VISITOR_BYTES):
            return PlainTextResponse(self._closed, status_code=413)
        if session is not None or request.url.path == SIGN_IN:
            return None
        if request.method in SAFE_METHODS:
            return RedirectResponse(SIGN_IN, status_code=303)
        return PlainTextResponse(self._closed, status_code=403)


_KEPT: Mapping[str, str] = {"Cache-Control": "private, max-age=3600"}
"""Styles and fonts say nothing of anybody, and are large: a browser need not fetch them for every page."""
_STRICT: Mapping[str, str] = {"Strict-Transport-Security": "max-age=31536000"}


def _is_for_visitors(path: str) -> bool:
    return path.startswith(FOR_VISITORS)

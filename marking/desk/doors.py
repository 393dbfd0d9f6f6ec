"""Who may come in, and from where: one place for all pages. A page never checks for itself.

The desk answers on this machine only. That is not enough, for any page in the same browser can send requests here:
so the host has to be ours (a name that somebody else's server points at this machine is refused), a request that
changes something has to come from our own pages (Origin, and a token in the form), and nobody gets in without the
secret that the terminal showed.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Awaitable, Callable, Mapping

from msgspec import Struct
from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 60 * 2**20
"""Of one request: a department's workbooks at once."""
SAFE_METHODS = frozenset({"GET", "HEAD"})

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; font-src 'self'; img-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # A stricter policy would take the origin off our own forms.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


class Secret(Struct, frozen=True):
    """The secret of a session, and what is derived from it so that none gives another away."""

    text: str

    def derived(self, purpose: str) -> str:
        """Return the word for one purpose."""
        return hmac.new(self.text.encode(), purpose.encode(), hashlib.sha256).hexdigest()

    def is_key(self, said: str) -> bool:
        """Tell whether the key in a first address is right."""
        return hmac.compare_digest(self.text.encode(), said.encode("utf-8", "surrogatepass"))

    def is_cookie(self, said: str) -> bool:
        """Tell whether a cookie is ours."""
        return hmac.compare_digest(self.derived("cookie").encode(), said.encode("utf-8", "surrogatepass"))

    def is_token(self, said: str) -> bool:
        """Tell whether a form is ours."""
        return hmac.compare_digest(self.token.encode(), said.encode("utf-8", "surrogatepass"))

    @property
    def token(self) -> str:
        """Return the token of forms."""
        return self.derived("form")


class Doors:
    """Middleware around the whole desk."""

    def __init__(self, app: ASGIApp, *, secret: Secret, hosts: frozenset[str], closed: str) -> None:
        """Let requests for one of *hosts* with the session's cookie through to *app*; others read *closed*."""
        self._app = app
        self._secret = secret
        self._hosts = hosts
        self._closed = closed

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or refuse it."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # nothing here speaks anything else
        send = with_headers(send)
        refusal = self._refusal(Request(scope))
        if refusal is not None:
            await refusal(scope, receive, send)
            return
        await self._app(scope, limited(receive, MOST_BYTES), send)

    def _refusal(self, request: Request) -> Response | None:
        host = request.headers.get("host", "")
        if not is_asked_as(request.headers, self._hosts):
            return PlainTextResponse(self._closed, status_code=421)
        key = request.query_params.get("key")
        if key is not None and request.method in SAFE_METHODS and request.url.path == "/":
            return self._let_in(key, host)
        if not self._secret.is_cookie(request.cookies.get(cookie_of(host), "")):
            return PlainTextResponse(self._closed, status_code=403)
        if request.method not in SAFE_METHODS and not is_own(request.headers, f"http://{host}"):
            return PlainTextResponse(self._closed, status_code=403)
        if is_too_long(request.headers, MOST_BYTES):
            return PlainTextResponse(self._closed, status_code=413)
        return None

    def _let_in(self, key: str, host: str) -> Response:
        if not self._secret.is_key(key):
            return PlainTextResponse(self._closed, status_code=403)
        # The key goes out of the address at once, so that no history or screenshot keeps it in sight.
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(cookie_of(host), self._secret.derived("cookie"), httponly=True, samesite="strict", path="/")
        return answer


def cookie_of(host: str) -> str:
    """Return the name of the cookie: a browser knows no ports there, and two desks on one machine keep one each."""
    return f"desk-{host.rpartition(':')[2]}"


def is_asked_as(headers: Headers, hosts: frozenset[str]) -> bool:
    """Tell whether a request names one host, and that one of *hosts*."""
    named = headers.getlist("host")
    return len(named) == 1 and named[0] in hosts


def is_own(headers: Headers, origin: str) -> bool:
    """Tell whether a request that changes something comes from a page of ours; where nothing says so, it does not."""
    return headers.get("origin") == origin and headers.get("sec-fetch-site", "same-origin") == "same-origin"


def is_too_long(headers: Headers, most: int) -> bool:
    """Tell whether the head of a request says that it is longer than *most* bytes, or says nothing that can be read."""
    length = headers.get("content-length", "0")
    return not (length.isascii() and length.isdecimal()) or int(length[:20]) > most


def with_headers(send: Send, more: Mapping[str, str] | None = None) -> Send:
    """Put our headers on every answer, and *more*."""
    put = HEADERS | dict(more or {})

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in put.items():
                headers[name] = value
        await send(message)

    return sending


def limited(receive: Receive, most: int) -> Callable[[], Awaitable[Message]]:
    """Stop reading a body that is longer than it may be, whatever its head said."""
    read = 0

    async def receiving() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > most:
            raise HTTPException(413)
        return message

    return receiving

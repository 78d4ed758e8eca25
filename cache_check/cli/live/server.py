"""The door of ``open``: this machine only, one token, no other page, nothing but GET.

Every request must name this very host, come from no other origin, and carry the cookie that the token of the
address was exchanged for.  Nothing is written, no file is named by a request, and no answer may be kept or framed.
"""

from __future__ import annotations

import secrets
from collections.abc import Awaitable, Callable, Mapping
from hmac import compare_digest
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from cache_check.frozen import dataclass

LONGEST = 8_000
"""Bytes of an address: what a person asks is far below it."""
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
        "connect-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}


@dataclass(frozen=True)
class Key:
    """What lets a browser in: the port served, the token of the address, the cookie's value."""

    port: int
    token: str
    cookie: str

    @classmethod
    def made(cls, port: int) -> Key:
        """A new one, from the system's source of secrets."""
        return cls(port, secrets.token_urlsafe(24), secrets.token_urlsafe(24))

    @property
    def address(self) -> str:
        """Where the browser begins."""
        return f"http://127.0.0.1:{self.port}/?token={self.token}"

    @property
    def name(self) -> str:
        """The cookie's name: cookies know no ports, so each server has its own."""
        return f"cache_check_{self.port}"


class Guard:
    """Refuses whatever is not a GET of a page of ours by a browser that has the key."""

    def __init__(self, app: ASGIApp, key: Key) -> None:
        self.app = app
        self.key = key

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or say why not."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        request = Request(scope)
        refusal = self._unsound(request) or self._keyless(request)

        async def headed(message: Any) -> None:
            if message["type"] == "http.response.start":
                own = list(message.get("headers", []))
                named = {name for name, _ in own}  # a sheet has a policy of its own
                ours = [(name.lower().encode(), value.encode()) for name, value in HEADERS.items()]
                message["headers"] = own + [(name, value) for name, value in ours if name not in named]
            await send(message)

        await (refusal or self.app)(scope, receive, headed)

    def _unsound(self, request: Request) -> Response | None:
        """What is wrong with a request whoever sends it."""
        here = {f"127.0.0.1:{self.key.port}", f"localhost:{self.key.port}"}
        origin = request.headers.get("origin")
        wrong = (
            (405, "only GET", request.method != "GET"),
            (414, "too long an address", len(request.url.path) + len(request.url.query) > LONGEST),
            (421, "another host's name", request.headers.getlist("host") not in [[host] for host in here]),
            (403, "another page asks", origin is not None and origin not in {f"http://{host}" for host in here}),
            (403, "another page asks", request.headers.get("sec-fetch-site", "none") not in ("none", "same-origin")),
        )
        return next((_no(status, why) for status, why, is_so in wrong if is_so), None)

    def _keyless(self, request: Request) -> Response | None:
        """The cookie for the token, where a sound request brings that; else why one without the cookie gets no page."""
        token = request.query_params.get("token", "")
        if request.url.path == "/" and token:
            if not compare_digest(token.encode(), self.key.token.encode()):
                return _no(403, "this address's token is not the one in force; open what the terminal shows")
            entered = RedirectResponse("/ask", 303)
            entered.set_cookie(self.key.name, self.key.cookie, httponly=True, samesite="strict", path="/")
            return entered
        if not compare_digest(request.cookies.get(self.key.name, "").encode(), self.key.cookie.encode()):
            return _no(403, "no key: open the address that the terminal shows")
        return None


def _no(status: int, why: str) -> Response:
    return PlainTextResponse(f"cache-check: {why}\n", status)


def app_of(key: Key, routes: Mapping[str, Callable[[Request], Awaitable[Response]]], lifespan: Any = None) -> ASGIApp:
    """The application: some pages by their paths, behind the guard."""
    inner = Starlette(routes=[Route(path, page, methods=["GET"]) for path, page in routes.items()], lifespan=lifespan)
    return Guard(inner, key)

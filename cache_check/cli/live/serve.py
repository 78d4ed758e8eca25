"""The pages of ``open``, the process that serves them, and their door: this machine only, one token, nothing but GET.

Every request must name this very host, come from no other origin, and carry the cookie that the token of the
address was exchanged for.  Nothing is written, no file is named by a request, and no answer may be kept or framed.
"""

import asyncio
import socket
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from contextlib import asynccontextmanager, suppress
from dataclasses import field
from functools import partial
from hmac import compare_digest
from secrets import token_urlsafe
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.base import BaseHTTPMiddleware, RequestResponseEndpoint
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from cache_check.cli.live import answer
from cache_check.cli.live.desk import Desk, FullError, OvertakenError, Signature, signature
from cache_check.cli.live.question import CHANGE, Opened, Question, Reply, Task
from cache_check.frozen import dataclass

EVERY = 0.1  # seconds between two looks at the files
HELD = 20.0  # seconds for which a page that waits for a change is kept waiting before it is told there was none
LONGEST = 8_000  # bytes of an address: what a person asks is far below it
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
    """What lets a browser in: the port served, the token of the address, the cookie's value; secrets of the system."""

    port: int
    token: str = field(default_factory=partial(token_urlsafe, 24))
    cookie: str = field(default_factory=partial(token_urlsafe, 24))

    @property
    def address(self) -> str:
        """Where the browser begins."""
        return f"http://127.0.0.1:{self.port}/?token={self.token}"

    @property
    def name(self) -> str:
        """The cookie's name: cookies know no ports, so each server has its own."""
        return f"cache_check_{self.port}"

    async def guard(self, request: Request, call_next: RequestResponseEndpoint) -> Response:
        """Let a request through; refuse whatever is not a GET of a page of ours by a browser that has the key."""
        made = self._unsound(request) or self._keyless(request) or await call_next(request)
        for name, value in HEADERS.items():
            made.headers.setdefault(name, value)  # a sheet has a policy of its own
        return made

    def _unsound(self, request: Request) -> Response | None:
        here = {f"127.0.0.1:{self.port}", f"localhost:{self.port}"}
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
            if not compare_digest(token.encode(), self.token.encode()):
                return _no(403, "this address's token is not the one in force; open what the terminal shows")
            entered = RedirectResponse("/ask", 303)
            entered.set_cookie(self.name, self.cookie, httponly=True, samesite="strict", path="/")
            return entered
        if not compare_digest(request.cookies.get(self.name, "").encode(), self.cookie.encode()):
            return _no(403, "no key: open the address that the terminal shows")
        return None


def _no(status: int, why: str) -> Response:
    return PlainTextResponse(f"cache-check: {why}\n", status)


def app_of(key: Key, routes: Mapping[str, Callable[[Request], Awaitable[Response]]], lifespan: Any = None) -> ASGIApp:
    """The application: some pages by their paths, behind the guard."""
    paths = [Route(path, page, methods=["GET"]) for path, page in routes.items()]
    paths.append(Route("/", RedirectResponse("/ask", 303)))  # the first page is the first question
    own = Mount("/own", StaticFiles(packages=[("cache_check.cli.live", "own")]))  # the page's style and script
    guard = Middleware(BaseHTTPMiddleware, dispatch=key.guard)
    return Starlette(routes=[*paths, own], lifespan=lifespan, middleware=[guard])


class Following:
    """Which files answers rest on, and a number that rises whenever one of them changes."""

    def __init__(self, opened: Opened) -> None:
        self.files = set(opened.files)
        self.seen = signature(self.files)
        self.version = 1
        self.changed = asyncio.Event()

    def add(self, files: tuple[str, ...]) -> None:
        """Follow the files that an answer was read from."""
        if not set(files) <= self.files:
            self.files |= set(files)
            self.seen = signature(self.files)

    async def watch(self) -> None:
        """Look at the files for as long as the server runs."""
        while True:
            now = await self._soon()
            if now != self.seen and now == await self._soon():  # a workbook is saved in several writes
                self.seen = now
                self.version += 1
                self.changed.set()
                self.changed = asyncio.Event()

    async def _soon(self) -> Signature:
        """The files, a moment later."""
        await asyncio.sleep(EVERY)
        return await asyncio.to_thread(signature, tuple(self.files))

    async def since(self, version: int) -> int:
        """The version, as soon as it is not the one named any more."""
        changed = self.changed
        if self.version == version:
            with suppress(TimeoutError):
                await asyncio.wait_for(changed.wait(), HELD)
        return self.version


class Pages:
    """What each address answers."""

    def __init__(self, opened: Opened, end: Callable[[], None]) -> None:
        self.opened = opened
        self.end = end
        self.desk: Desk[Task, Reply] = Desk(answer.reply)
        self.following = Following(opened)

    async def ask(self, request: Request) -> Response:
        """A question's page, or, for the page's own script, what changed of it."""
        question = Question.of(request.query_params.multi_items())
        if any(name.startswith(CHANGE) for name in request.query_params):
            return RedirectResponse(question.address, 303)
        version = self.following.version
        reply = await self._answered(request, Task("ask", self.opened, question))
        if request.headers.get("accept", "").startswith("application/json"):
            told = {"ok": reply.ok, "html": reply.html, "title": reply.title, "form": reply.form}
            return JSONResponse({**told, "version": version, "address": question.address})
        return HTMLResponse(await asyncio.to_thread(answer.render, "page.html.j2", made=reply, version=version))

    async def part(self, request: Request) -> Response:
        """A piece of the answer that is only worked out when it is looked at: a chart, a set to scale, a sheet."""
        kind = request.path_params["kind"]
        if kind not in answer.PARTS:
            raise HTTPException(404, f"there is no {kind[:40]!r} here")
        question, about = Question.of(request.query_params.multi_items()), request.query_params.get("about", "")[:80]
        reply = await self._answered(request, Task(kind, self.opened, question, about), lane=f"{kind}:{about}")
        made = HTMLResponse(reply.html, 200 if reply.ok else 422)
        if kind in answer.PAGES:
            made.headers["Content-Security-Policy"] = (
                # The sheet's own policy, in its head, names its one script by its hash; both hold.
                "default-src 'none'; style-src 'unsafe-inline'; img-src data:; script-src 'unsafe-inline'; "
                "base-uri 'none'; frame-ancestors 'self'; form-action 'none'"
            )
        return made

    async def changed(self, request: Request) -> Response:
        """The version of the files, as soon as it is another than the one that the page shows."""
        given = request.query_params.get("since", "")
        version = int(given) if given.isascii() and given.isdecimal() and len(given) < 10 else 0
        return JSONResponse({"version": await self.following.since(version)})

    async def stop(self, _request: Request) -> Response:
        """End the server, once this answer is out."""
        asyncio.get_running_loop().call_later(0.2, self.end)
        return PlainTextResponse("cache-check: this page has ended; nothing was written.\n")

    async def _answered(self, request: Request, task: Task, lane: str = "") -> Reply:
        """The answer, whose files are followed from now on."""
        try:
            reply = await self.desk.ask(request.query_params.get("tab", "")[:40], task, lane)
        except OvertakenError:
            raise HTTPException(409, "this tab has asked something newer") from None
        except FullError:
            raise HTTPException(503, "too many questions wait; ask again in a moment") from None
        self.following.add(reply.files)
        return reply


def serve(opened: Opened, port: int, ready: Callable[[str], None]) -> None:
    """Serve on this machine until told to end; ``ready`` is told the address."""
    listening = socket.create_server(("127.0.0.1", port))
    key = Key(listening.getsockname()[1])

    def end() -> None:
        server.should_exit = True

    pages = Pages(opened, end)

    @asynccontextmanager
    async def running(_app: object) -> AsyncIterator[None]:
        watching = asyncio.create_task(pages.following.watch())
        ready(key.address)
        yield
        watching.cancel()
        pages.desk.close()

    routes = {"/ask": pages.ask, "/part/{kind}": pages.part, "/changed": pages.changed, "/stop": pages.stop}
    config = uvicorn.Config(
        app_of(key, routes, running), log_level="critical", access_log=False, lifespan="on", limit_concurrency=200,
        h11_max_incomplete_event_size=16_384, timeout_keep_alive=5, timeout_graceful_shutdown=1, server_header=False,
        date_header=False,
    )  # fmt: skip
    server = uvicorn.Server(config)
    server.run(sockets=[listening])

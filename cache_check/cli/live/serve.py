"""Pages of ``open`` and the process that serves them, until the terminal or the page ends it."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from importlib import resources

import uvicorn
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response

from cache_check.cli.live import answer
from cache_check.cli.live.desk import Desk, FullError, OvertakenError
from cache_check.cli.live.kept import Signature, signature
from cache_check.cli.live.question import Opened, Question
from cache_check.cli.live.server import Key, app_of

EVERY = 0.1
"""Seconds between two looks at the files."""
HELD = 20.0
"""Seconds for which a page that waits for a change is kept waiting before it is told that there was none."""
OWN = {"live.js": "text/javascript", "live.css": "text/css"}


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
            await asyncio.sleep(EVERY)
            now = await asyncio.to_thread(signature, tuple(self.files))
            if now != self.seen and now == await self._settled():
                self.seen = now
                self.version += 1
                self.changed.set()
                self.changed = asyncio.Event()

    async def _settled(self) -> Signature:
        """The files once more, a moment later: a workbook is saved in several writes."""
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
        self.desk: Desk[answer.Task, answer.Reply] = Desk(answer.reply)
        self.following = Following(opened)

    async def start(self, _request: Request) -> Response:
        """The first page is the first question."""
        return RedirectResponse("/ask", 303)

    async def ask(self, request: Request) -> Response:
        """A question's page, or, for the page's own script, what changed of it."""
        question = Question.of(request.query_params.multi_items())
        if any(name.startswith("change:") for name in request.query_params):
            return RedirectResponse(question.address, 303)
        version = self.following.version
        reply = await self._answered(request, answer.Task("ask", self.opened, question))
        if isinstance(reply, Response):
            return reply
        self.following.add(reply.files)
        if request.headers.get("accept", "").startswith("application/json"):
            body = {"ok": reply.ok, "html": reply.html, "version": version, "address": question.address}
            return JSONResponse(body)
        return HTMLResponse(await asyncio.to_thread(answer.whole, reply, version))

    async def part(self, request: Request) -> Response:
        """A piece of the answer that is only worked out when it is looked at: a chart, a set to scale, a sheet."""
        kind = request.path_params["kind"]
        if kind not in answer.PARTS:
            return PlainTextResponse(f"there is no {kind[:40]!r} here\n", 404)
        question, about = Question.of(request.query_params.multi_items()), request.query_params.get("about", "")[:80]
        reply = await self._answered(request, answer.Task(kind, self.opened, question, about), lane=f"{kind}:{about}")
        if isinstance(reply, Response):
            return reply
        self.following.add(reply.files)
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

    async def own(self, request: Request) -> Response:
        """The page's style and script."""
        name = request.path_params["name"]
        if name not in OWN:
            return PlainTextResponse("there is no such file here\n", 404)
        text = resources.files("cache_check.cli.live").joinpath("templates", name).read_text(encoding="utf-8")
        return Response(text, media_type=OWN[name])

    async def stop(self, _request: Request) -> Response:
        """End the server, once this answer is out."""
        asyncio.get_running_loop().call_later(0.2, self.end)
        return PlainTextResponse("cache-check: this page has ended; nothing was written.\n")

    async def _answered(self, request: Request, task: answer.Task, lane: str = "") -> answer.Reply | Response:
        try:
            return await self.desk.ask(request.query_params.get("tab", "")[:40], task, lane)
        except OvertakenError:
            return PlainTextResponse("this tab has asked something newer\n", 409)
        except FullError:
            return PlainTextResponse("too many questions wait; ask again in a moment\n", 503)


def serve(opened: Opened, port: int, ready: Callable[[str], None]) -> None:
    """Serve on this machine until told to end; ``ready`` is told the address."""
    listening = socket.create_server(("127.0.0.1", port))
    key = Key.made(listening.getsockname()[1])

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

    routes = {
        "/": pages.start, "/ask": pages.ask, "/part/{kind}": pages.part, "/changed": pages.changed,
        "/own/{name}": pages.own, "/stop": pages.stop,
    }  # fmt: skip
    config = uvicorn.Config(
        app_of(key, routes, running), log_level="critical", access_log=False, lifespan="on", limit_concurrency=200,
        h11_max_incomplete_event_size=16_384, timeout_keep_alive=5, timeout_graceful_shutdown=1, server_header=False,
        date_header=False,
    )  # fmt: skip
    server = uvicorn.Server(config)
    server.run(sockets=[listening])

"""The door of ``open``: whoever is not this machine's own page with the key gets nothing but a refusal."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette", reason="starlette is not installed: cache-check[open]")

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from cache_check.cli.live.serve import Key, app_of
from cache_check.cli.output import Exit
from cli.running import awaited, cache_check

KEY = Key(8123, "the-token", "the-cookie")
HOST = "127.0.0.1:8123"
IN = {"host": HOST, "cookie": f"{KEY.name}={KEY.cookie}"}


async def _page(_request: Request) -> Response:
    return PlainTextResponse("the rig's page")


def get(path: str, headers: Mapping[str, str], method: str = "GET", query: str = "") -> tuple[int, dict[str, str], str]:
    """Status, headers and text that the door answers a request with."""
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        sent.append(message)

    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http",
        "path": path, "raw_path": path.encode(), "query_string": query.encode(), "root_path": "",
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
        "client": ("127.0.0.1", 5), "server": ("127.0.0.1", 8123),
    }  # fmt: skip

    async def asked() -> None:
        await app_of(KEY, {"/ask": _page})(scope, receive, send)

    awaited(asked)
    start = next(one for one in sent if one["type"] == "http.response.start")
    body = b"".join(one.get("body", b"") for one in sent if one["type"] == "http.response.body")
    told = {name.decode(): value.decode() for name, value in start["headers"]}
    return start["status"], told, body.decode()


def test_with_the_key_the_page_is_there() -> None:
    """This host, no origin, the cookie: the page."""
    status, headers, text = get("/ask", IN)

    assert (status, text) == (200, "the rig's page")
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert headers["cache-control"] == "no-store"
    assert "access-control-allow-origin" not in headers


@pytest.mark.parametrize(
    ("path", "headers", "method", "status"),
    [
        ("/ask", {"host": HOST}, "GET", 403),  # no key
        ("/ask", IN | {"cookie": f"{KEY.name}=another"}, "GET", 403),
        ("/ask", IN | {"host": "rig.example:8123"}, "GET", 421),  # a name that was made to point here
        ("/ask", IN | {"host": "127.0.0.1:9999"}, "GET", 421),
        ("/ask", IN | {"origin": "http://elsewhere.example"}, "GET", 403),
        ("/ask", IN | {"origin": "null"}, "GET", 403),
        ("/ask", IN | {"sec-fetch-site": "cross-site"}, "GET", 403),
        ("/ask", IN | {"sec-fetch-site": "same-site"}, "GET", 403),
        ("/ask", IN, "POST", 405),
        ("/ask", IN, "OPTIONS", 405),
        ("/../../etc/passwd", IN, "GET", 404),
        ("/ask" + "x" * 9_000, IN, "GET", 414),
    ],
)
def test_others_get_nothing(path: str, headers: dict[str, str], method: str, status: int) -> None:
    """No key, another host's name, another page, another method, another path, too long an address."""
    found, told, text = get(path, headers, method)

    assert found == status
    assert "the rig's page" not in text
    assert "content-security-policy" in told


def test_the_token_is_exchanged_for_a_cookie() -> None:
    """The address of the terminal leads in, and out of the address bar; a wrong token does not."""
    status, headers, _ = get("/", {"host": HOST}, query=f"token={KEY.token}")

    assert (status, headers["location"]) == (303, "/ask")
    assert headers["set-cookie"].startswith(f"{KEY.name}={KEY.cookie}; HttpOnly")
    assert "SameSite=strict" in headers["set-cookie"]
    assert get("/", {"host": HOST}, query="token=the-tokem")[0] == 403
    assert get("/", {"host": "rig.example"}, query=f"token={KEY.token}")[0] == 421
    assert get("/", {"host": HOST, "origin": "http://elsewhere.example"}, query=f"token={KEY.token}")[0] == 403


def test_keys_are_not_guessed_and_not_shared() -> None:
    """Two servers have two tokens and two cookies, each of 24 bytes and more."""
    one, two = Key(1), Key(2)

    assert len({one.token, two.token, one.cookie, two.cookie}) == 4
    assert min(map(len, (one.token, one.cookie))) >= 32
    assert one.name != two.name


def test_open_names_the_nearest_of_a_file_that_is_not_there() -> None:
    """It is 2, in words on stderr, and no page is served."""
    run = cache_check("open", "truck-8.yaml")

    assert run.returncode == Exit.INPUT
    assert "truck-8.yaml: there is no such file; did you mean 'truck-9.yaml'?" in run.stderr


def test_what_cannot_be_read_is_not_told_as_a_port(tmp_path: Path) -> None:
    """A county file in a folder that is not there, or a name too long for any file: that is said, and no port."""
    for named in ("none/county.yaml", "n" * 300):
        run = cache_check("open", named, "--no-browser", cwd=tmp_path)

        assert (run.returncode, "port" in run.stderr) == (2, False)
        assert run.stderr.startswith("cache-check: ")

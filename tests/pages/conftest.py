"""A real browser where there is one; each test says why it is skipped where there is none."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import util
from pathlib import Path
from typing import Any

import pytest
from cli.running import ON, cache_check
from markupsafe import Markup

from cache_check.report.figures import canvas
from cache_check.report.pages.shell import kinds

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage", "--no-proxy-server",
)  # fmt: skip
GIVEN = (
    "rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml",
    "--load", "car-on-side.yaml", "--audit", "rescue-41-count.csv",
)  # fmt: skip
"""What every kind of sheet of the demonstration is made from."""
EVERY = tuple(word for kind in kinds() for word in ("--only", kind.KIND))
"""Every kind of sheet by its name, those too that are made only when asked for."""


KEPT: dict[tuple[Any, ...], bytes] = {}
"""Pages of the sample caches, each made once; a cache that a test writes is made anew."""


def page_of(folder: Path, *arguments: str | Path) -> Path:
    """The file that ``report`` makes of arguments."""
    made = folder / "page.html"
    asked = (canvas.inline, *arguments)
    if asked in KEPT:
        made.write_bytes(KEPT[asked])
        return made
    run = cache_check("report", *arguments, *ON, "-o", made)
    assert (run.returncode, run.stderr) == (0, f"cache-check: {made} written\n")
    if all(isinstance(one, str) for one in arguments):
        KEPT[asked] = made.read_bytes()
    return made


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages without their drawings, which take most of the time that a page is made in."""
    monkeypatch.setattr(canvas, "inline", _no_drawing)


def _no_drawing(*_: Any) -> Markup:
    return Markup("<svg/>")


@dataclass
class Opened:
    """A page in the browser, with what it said and what it asked for."""

    page: Any
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def open(self, path: Path) -> Any:
        """Open a file; whatever it asks for beside itself is kept."""
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.as_uri())
        return self.page


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """Chromium, started once."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed: .[browser]")
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("no chromium here: apt-get install chromium")
    with playwright.sync_playwright() as running:
        browser = running.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def opened(chromium: Any) -> Iterator[Opened]:
    """A fresh page."""
    context = chromium.new_context(viewport={"width": 1200, "height": 900})
    yield Opened(context.new_page())
    context.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The script of axe-core (MPL-2.0), which a package for tests carries; nothing of it is in ours."""
    found = util.find_spec("axe_playwright_python")
    if found is None or found.origin is None:
        pytest.skip("no axe-core here: .[browser]")
    return (Path(found.origin).parent / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One file with every sheet of the demo county."""
    return page_of(tmp_path_factory.mktemp("whole"), *GIVEN)

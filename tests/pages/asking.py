"""The finder of a crew page, asked as a person asks it, and its answer read off the screen."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

READ = """root => {
  const text = (one, what) => one.querySelector(what) ? one.querySelector(what).textContent : "";
  const listed = what => [...root.querySelectorAll(`.answer ${what} .found`)].map(one => ({
    stack: [...one.querySelectorAll(".stack > bdi")].map(part => part.textContent),
    verdict: text(one, ".verdict"), said: one.textContent}));
  return {
    said: root.querySelector(".answer").innerText, big: text(root, ".answer .big"),
    sets: listed(".sets"), loose: listed(".loose"), apart: listed(".apart"),
    wrong: [...root.querySelectorAll(".wrong")].filter(one => !one.hidden).map(one => one.textContent)};
}"""


@dataclass(frozen=True)
class Found:
    """One stack of the answer: its part names ground to load, its verdict, everything said of it."""

    stack: tuple[str, ...]
    verdict: str
    said: str

    @property
    def word(self) -> str:
        """The verdict without its reasons."""
        return self.verdict.partition(":")[0]

    @property
    def restrained(self) -> bool:
        """Whether it makes the length, and nothing that holds its base is said to fail, or not to be known."""
        said = ("NOT RESTRAINED", "attachment points", "too weak", "limit of")
        return bool(self.verdict) and not any(words in self.verdict for words in said)

    @property
    def behind(self) -> str:
        """What stays behind, loose."""
        return self.said.partition("What stays behind, loose")[2]


@dataclass(frozen=True)
class Answer:
    """What stands on the screen."""

    said: str
    big: str
    sets: tuple[Found, ...]
    loose: tuple[Found, ...]
    apart: tuple[Found, ...]
    wrong: tuple[str, ...]

    @property
    def straps(self) -> int | None:
        """How many straps it says that a base takes; None where it says that none of them do it."""
        found = re.search(r"Straps on the base: (\d+) x|NOT RESTRAINED: it takes (\d+) x", self.said)
        return int(found[1] or found[2]) if found else None


@dataclass(frozen=True)
class Asker:
    """A page with a finder."""

    page: Any

    @property
    def root(self) -> Any:
        """The finder."""
        return self.page.locator(".finder").first

    def fill(self, fields: Mapping[str, str]) -> None:
        """Fill in fields by name; choices by what they say or by their value."""
        self.root.locator("details.else").evaluate("one => { one.open = true; }")
        for name, said in fields.items():
            field = self.root.locator(f"[name={name}]")
            if field.evaluate("one => one.tagName") == "SELECT":
                field.select_option(said)
            else:
                field.fill(said)

    def out(self, outs: Mapping[str, int]) -> None:
        """Say how many pieces of some parts are out, by name."""
        self.root.locator("details.gone").evaluate("one => { one.open = true; }")
        for name, number in outs.items():
            self.root.get_by_label(re.compile(rf"^{re.escape(name)} out, of \d+$")).fill(str(number))

    def press(self) -> Answer:
        """Press Find and read the answer."""
        self.root.get_by_role("button", name="Find", exact=True).click()
        return self.read()

    def read(self) -> Answer:
        """The answer as it stands."""
        found = self.root.evaluate(READ)
        lists = {name: tuple(Found(tuple(one["stack"]), one["verdict"], one["said"]) for one in found[name])
                 for name in ("sets", "loose", "apart")}  # fmt: skip
        return Answer(found["said"], found["big"], wrong=tuple(found["wrong"]), **lists)

    def ask(self, fields: Mapping[str, str], outs: Mapping[str, int] | None = None) -> Answer:
        """A question from a fresh form."""
        self.page.evaluate("sessionStorage.clear()")
        self.page.reload()
        self.fill(fields)
        if outs:
            self.out(outs)
        return self.press()


def asker(opened: Any, made: Path) -> Asker:
    """The finder of a file."""
    return Asker(opened.open(made))

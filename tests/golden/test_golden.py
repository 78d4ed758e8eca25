"""Whole outputs of the sample caches on a fixed day, as a person gets them."""

from __future__ import annotations

import re

import pytest
from cli.running import ON, cache_check

from cache_check import __version__
from golden.files import compare

STACK = ("hinged-base", "extension-22", "extension-22", "long-body", "edge-head")
COMMANDS = {
    "check-rescue-41.txt": ("check", "rescue-41.yaml", *ON),
    "check-rescue-41-needs.txt": ("check", "rescue-41.yaml", "--needs", "needs.yaml", *ON),
    "check-rescue-41-needs-all.txt": ("check", "rescue-41.yaml", "--needs", "needs.yaml", "--show", "all", *ON),
    "check-rescue-41-needs.json": ("check", "rescue-41.yaml", "--needs", "needs.yaml", "--format", "json", *ON),
    "check-rescue-44.csv": ("check", "rescue-44.yaml", "--needs", "needs.yaml", "--format", "csv", *ON),
    "check-truck-9.md": ("check", "truck-9.yaml", "--needs", "needs.yaml", "--format", "markdown", *ON),
    "check-several.txt": ("check", "rescue-44.yaml", "rescue-41.yaml", "--without", "strap=1", *ON),
    "check-pool.txt": (
        "check", "rescue-41.yaml", "rescue-44.yaml", "--pool", "--needs", "needs.yaml", "--factor", "4:1",
        "--rules", "policy-example.yaml", "--units", "si", *ON,
    ),
    "reach-rescue-44.txt": ("reach", "rescue-44.yaml", *ON),
    "reach-rescue-41-at-78.txt": (
        "reach", "rescue-41.yaml", "--at", "78in", "--load", "6000lbf", "--limit", "0", *ON,
    ),
    "reach-truck-9.json": ("reach", "truck-9.yaml", "--format", "json", *ON),
    "build-not-legal.txt": ("build", "rescue-41.yaml", *STACK, *ON),
    "build-legal.json": ("build", "rescue-41.yaml", "hinged-base", "long-body", "edge-head", "--format", "json", *ON),
    "graph-truck-9.dot": ("graph", "truck-9.yaml", "--format", "dot", *ON),
    "graph-truck-9.txt": ("graph", "truck-9.yaml", *ON),
    "graph-truck-9.json": ("graph", "truck-9.yaml", "--format", "json", *ON),
    "load-car-on-side.txt": ("load", "rescue-41.yaml", "car-on-side.yaml", *ON),
    "load-car-on-side-all.txt": ("load", "rescue-41.yaml", "car-on-side.yaml", "--show", "all", *ON),
    "load-car-on-side.json": ("load", "rescue-41.yaml", "car-on-side.yaml", "--format", "json", *ON),
    "load-trailer-pooled.md": (
        "load", "rescue-41.yaml", "rescue-44.yaml", "trailer-one-end.yaml", "--pool", "--format", "markdown", *ON,
    ),
    "load-leaning-van.csv": ("load", "truck-9.yaml", "leaning-van.yaml", "--format", "csv", *ON),
    "load-at-45.txt": (
        "load", "rescue-41.yaml", "--contact-height", "40", "--angle", "45", "--vertical", "10000",
        "--half-angles", "0", "--set", "STR-3=off", "--strut-limit", "4000", *ON,
    ),
    "buy-rescue-44.txt": (
        "buy", "rescue-44.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", "--prices", "prices-2.yaml", *ON,
    ),
    "buy-rescue-44-all.txt": (
        "buy", "rescue-44.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", "--show", "all", *ON,
    ),
    "buy-county.json": (
        "buy", "rescue-41.yaml", "rescue-44.yaml", "--needs", "needs.yaml", "--budget", "2500", "--prices",
        "prices-2.yaml", "--format", "json", *ON,
    ),
    "rules.txt": ("rules",),
    "rules.csv": ("rules", "--format", "csv"),
    "rules-EXT-2.txt": ("rules", "EXT-2", "--cache", "rescue-41.yaml"),
    "schema.txt": ("schema",),
    "help.txt": ("--help",),
}  # fmt: skip


def settled(text: str) -> str:
    """An output without what changes from one release or commit to the next: version and file digests."""
    text = re.sub(r'("sha256": ")[0-9a-f]{64}', r"\1DIGEST", text)
    text = re.sub(r"SHA-256 [0-9a-f]{12}", "SHA-256 DIGEST", text)
    return text.replace(f'"version": "{__version__}"', '"version": "VERSION"')


@pytest.mark.parametrize("name", COMMANDS)
def test_output_is_as_kept(name: str) -> None:
    """Each command's output is what is kept, to the letter."""
    run = cache_check(*COMMANDS[name])

    tabled = "csv" in COMMANDS[name] or "markdown" in COMMANDS[name]
    assert ("This is a planning aid." in run.stderr) if tabled else (run.stderr == "")
    compare(name, settled(run.stdout))

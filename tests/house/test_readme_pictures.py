"""The pictures of the README are what the commands beneath them draw."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.running import ROOT, SAMPLES, cache_check
from report.test_reach_chart import settled

README = (ROOT / "README.md").read_text(encoding="utf-8")
DRAWN = re.findall(r"Drawn by `cache-check (.+?) --plot (\S+)`", README)


def test_every_picture_names_its_command() -> None:
    """The README shows two pictures or more, and under each the command that drew it."""
    shown = re.findall(r"!\[[^\]]+\]\(sample_caches/quillfen/(\S+?)\)", README)

    assert len(shown) >= 2
    assert [picture for _, picture in DRAWN] == shown


@pytest.mark.parametrize(("command", "picture"), DRAWN)
def test_picture_is_what_its_command_draws(tmp_path: Path, command: str, picture: str) -> None:
    """Each picture is small, and is what its command draws today, to a tenth of a point."""
    made = tmp_path / "made.svg"
    assert cache_check(*command.split(), "--plot", made).returncode in (0, 1)

    kept = (SAMPLES / picture).read_text(encoding="utf-8")
    assert settled(made.read_text(encoding="utf-8")) == settled(kept), f"draw it anew: cache-check {command}"
    assert len(kept) < 200_000

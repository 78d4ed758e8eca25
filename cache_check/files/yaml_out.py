"""Writes plain data as YAML that ``text`` reads back the same."""

from __future__ import annotations

import re
from typing import Any

import yaml

from cache_check.errors import refused
from cache_check.files import text

_DECIMAL = re.compile(r"\d+\.\d+")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


class _Dumper(yaml.SafeDumper):
    """Writes every value out where it stands, and decimals and days as people write them."""

    def ignore_aliases(self, data: Any) -> bool:
        """No anchors: they are not read here."""
        return True


def _text(dumper: yaml.SafeDumper, value: str) -> yaml.ScalarNode:
    if _DECIMAL.fullmatch(value):
        return dumper.represent_scalar("tag:yaml.org,2002:float", value)
    if _DAY.fullmatch(value):
        return dumper.represent_scalar("tag:yaml.org,2002:timestamp", value)
    return dumper.represent_scalar("tag:yaml.org,2002:str", value)


_Dumper.add_representer(str, _text)


def as_yaml(data: Any, name: str) -> str:
    """Plain data as YAML, keys in their order; InputError where YAML cannot keep it as it is."""
    written: str = yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)
    if text.parse(written, name)[0] != data:
        raise refused(name, "holds a text that YAML cannot keep", "take out control characters")
    return written

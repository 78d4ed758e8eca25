"""The same file in another form (YAML, workbook, CSV folder), nothing lost: read back before it takes its name."""

import os
import re
import shutil
from collections.abc import Callable
from operator import attrgetter
from pathlib import Path
from secrets import token_hex
from typing import Any

import yaml

from cache_check.errors import AskError, refused
from cache_check.files import text
from cache_check.files.cache import FAMILIES_FOLDER, may_name, read_cache
from cache_check.files.catalogue import read_family
from cache_check.files.needs import read_needs
from cache_check.files.prices import read_prices
from cache_check.files.reading import load
from cache_check.files.rules import read_rules
from cache_check.files.situation import read_situation
from cache_check.files.workbook.grid import csv_text
from cache_check.files.workbook.sheet import filled
from cache_check.files.workbook.xlsx import write_workbook
from cache_check.model.rule import RuleBook

YAML = (".yaml", ".yml")
_DECIMAL = re.compile(r"\d+\.\d+")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


class _Dumper(yaml.SafeDumper):
    """Writes every value out where it stands, and decimals and days as people write them."""

    def ignore_aliases(self, data: Any) -> bool:
        """No anchors: they are not read here."""
        return True


def _scalar_node(dumper: yaml.SafeDumper, value: str) -> yaml.ScalarNode:
    kind = "float" if _DECIMAL.fullmatch(value) else "timestamp" if _DATE.fullmatch(value) else "str"
    return dumper.represent_scalar(f"tag:yaml.org,2002:{kind}", value)


_Dumper.add_representer(str, _scalar_node)


def as_yaml(data: Any, name: str) -> str:
    """Plain data as YAML, keys in their order; InputError where YAML cannot keep it as it is."""
    written: str = yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)
    if text.parse(written, name)[0] != data:
        raise refused(name, "holds a text that YAML cannot keep", "take out control characters")
    return written


def convert(source: Path, target: Path, kind: str, book: RuleBook) -> None:
    """Write what ``source`` says as one kind of file to ``target``, in the form that its name asks for.

    ".yaml" or ".yml" is YAML, ".xlsx" a workbook, no suffix a folder of CSV files.  Comments and spaces at the ends of
    texts are not kept.  InputError where the source cannot be read, or the target is there or of no known form.
    """
    data, before = _read(source, kind, book)
    form = target.suffix.casefold()
    if form not in (*YAML, ".xlsx", ""):
        raise refused(target, f"{form} is not a form that is written here", "write .yaml, .xlsx, or a folder's name")
    if target.exists():
        raise refused(target, "is there already; nothing was written", "name another file")
    if not target.parent.is_dir():
        raise refused(target, "cannot be written: no such file or directory")
    made = target.with_name(f".cache-check-{token_hex(8)}-{target.name}")
    try:
        if "families" in data:
            data["families"] = [_moved(name, source, target) for name in data["families"]]
        _write(made, data, kind, str(target))
        _, after = _read(made, kind, book)
        if before != after:
            raise refused(
                target, f"would not say what {source} says; nothing was written",
                "take spaces of no width, and those that do not break, out of names and texts: tables lose them",
            )  # fmt: skip
        made.rename(target)
    except OSError as error:
        raise refused(target, f"cannot be written: {(error.strerror or str(error)).lower()}") from None
    finally:
        if made.is_dir():
            shutil.rmtree(made, ignore_errors=True)
        else:
            made.unlink(missing_ok=True)


def _read(path: Path, kind: str, book: RuleBook) -> tuple[dict[str, Any], Any]:
    """The data of a file, once it has been read through and found sound, and what it says, whichever file it is."""
    readers: dict[str, Callable[[], Any]] = {
        "cache": lambda: read_cache(path, book).changed(sources=()),
        "situation": lambda: read_situation(path),
        "family": lambda: attrgetter("family", "parts", "settings")(read_family(path, book)),
        "needs": lambda: read_needs(path).changed(path=""), "policy": lambda: read_rules([path]),
        "prices": lambda: read_prices(path).changed(path="", places=()),
    }  # fmt: skip
    if kind not in readers:
        raise AskError(f"a {kind} file has no form but YAML; nothing was written")
    says = readers[kind]()
    data, _ = load(path, kind)
    if kind == "needs" and isinstance(data["needs"], list):
        data = {"needs": data.get("title") or "needs", "units": data["units"],
                "scenes": {"scene": {"needs": data["needs"]}}}  # fmt: skip
    return data, says


def _moved(name: Any, source: Path, target: Path) -> str:
    """A file named from the source's folder, named from the target's; InputError where a cache may not name it so."""
    named = source.parent / str(name).strip()
    if not may_name(target.parent, named):
        what = f"would name {name!s}, which lies outside its folder"
        right = f"convert into the folder of the family, or set {FAMILIES_FOLDER} to a folder that holds both"
        raise refused(target, what, right)
    return str(name) if Path(str(name)).is_absolute() else Path(os.path.relpath(named, target.parent)).as_posix()


def _write(path: Path, data: dict[str, Any], kind: str, named: str) -> None:
    suffix = path.suffix.casefold()
    if suffix in YAML:
        path.write_text(as_yaml(data, named), encoding="utf-8")
    elif suffix == ".xlsx":
        path.write_bytes(write_workbook(filled({kind: data})))
    else:
        path.mkdir()
        for name, rows in ((name, rows) for name, _, rows in filled({kind: data}) if len(rows) > 1):
            (path / f"{name.replace(' ', '-')}.csv").write_text(csv_text(rows), encoding="utf-8")

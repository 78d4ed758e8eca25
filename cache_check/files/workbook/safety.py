"""What a workbook may not be: bounds and refusals before any of it is read.

A workbook is a ZIP archive of XML.  Sizes stated in the archive are upper bounds, since reading an entry stops
there; so a small file that unpacks to a huge one is refused without unpacking it.
"""

import re
import zipfile
from typing import IO

from cache_check.errors import refused

LARGEST_FILE = 5_000_000
LARGEST_UNPACKED = 40_000_000
MOST_ENTRIES = 500
MOST_TAGS = 600_000  # in all XML parts together: each becomes an object in memory, of blank rows and cells too
_CHUNK = 1 << 20
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_RIGHT = "save it again as a plain .xlsx workbook"
_OUTSIDE = (
    (re.compile(r"vbaProject|macrosheets/", re.I), "holds macros", "save it as .xlsx, which has none"),
    (re.compile(r"externalLinks/", re.I), "is linked to other workbooks", "break the links and keep their values"),
    (re.compile(r"connections\.xml|queryTables/|customData/", re.I), "draws data from elsewhere",
     "remove the connections and keep their values"),
    (re.compile(r"embeddings/|activeX/|ctrlProps/", re.I), "holds embedded objects or controls", "remove them"),
)  # fmt: skip
_BEGINS = re.compile(rb"(\xef\xbb\xbf)?\s*<")
_DECLARES = re.compile(rb"<!(DOCTYPE|ENTITY)", re.I)


def check(file: IO[bytes], name: str) -> None:
    """See that an open workbook is safe to read; InputError where it is none, too large, or holds what it may not."""
    head = file.read(8)
    size = file.seek(0, 2)
    file.seek(0)
    if head == _OLD:
        raise refused(name, "is an old .xls workbook, or one with a password", _RIGHT)
    if size > LARGEST_FILE:
        raise refused(name, f"is larger than {LARGEST_FILE // 1_000_000} MB", "take out pictures and empty rows")
    try:
        with zipfile.ZipFile(file) as archive:
            _check_archive(archive, name)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError, ValueError, zipfile.zlib.error):  # type: ignore[attr-defined]
        raise refused(name, "is not a workbook, or a damaged one", _RIGHT) from None
    file.seek(0)


def _check_archive(archive: zipfile.ZipFile, name: str) -> None:
    entries = archive.infolist()
    if len(entries) > MOST_ENTRIES:
        raise refused(name, f"is an archive of {len(entries)} files, more than a workbook has", _RIGHT)
    if sum(entry.file_size for entry in entries) > LARGEST_UNPACKED:
        what = f"unpacks to more than {LARGEST_UNPACKED // 1_000_000} MB"
        raise refused(name, what, "delete the empty rows below the data")
    names = [entry.filename for entry in entries]
    if len(set(names)) < len(names):
        raise refused(name, "holds two files of one name, as no workbook does", _RIGHT)
    if "xl/workbook.xml" not in names:
        kind = "an OpenDocument file" if "mimetype" in names else "not an .xlsx workbook"
        raise refused(name, f"is {kind}", _RIGHT)
    tags = 0
    for entry in entries:
        tags += _check_entry(archive, entry, name, MOST_TAGS - tags)


def _check_entry(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, name: str, room: int) -> int:
    """See that one part may be there; how many tags of XML it has, which may be no more than ``room``."""
    for sign, what, right in _OUTSIDE:
        if sign.search(entry.filename):
            raise refused(name, what, right)
    if entry.flag_bits & 1:
        raise refused(name, "is locked with a password", "save it without")
    xml = entry.filename.casefold().endswith((".xml", ".rels", ".vml"))
    before, tags = b"", 0
    with archive.open(entry) as part:
        while chunk := part.read(_CHUNK):
            if xml and (b"\0" in chunk or not (before or _BEGINS.match(chunk))):
                raise refused(name, f"has a part that is not UTF-8 ({entry.filename})", _RIGHT)
            # A part may be read as XML whatever its name, and with or without a mark of its encoding.
            if _DECLARES.search((before + chunk).replace(b"\0", b"")):
                raise refused(name, f"declares entities ({entry.filename}), as no workbook does", _RIGHT)
            before = chunk[-32:]
            tags += chunk.count(b"<") if xml else 0
            if tags > room:
                right = "delete the blank rows, columns and formats around the data"
                raise refused(name, "holds far more rows and cells than a cache has", right)
    return tags

"""What the bytes of a file look like, before any library is asked.

The DXF library reads an empty drawing out of almost anything; so what is no DXF is
told apart here, and a file that was cut short is mended at its end.
"""

import re
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.findings import Finding, warning


class Form(StrEnum):
    """How a DXF file is written."""

    TEXT = "text"
    BINARY = "binary"


BINARY_SENTINEL: Final = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""DXF reference, Binary DXF Files."""

UTF8_MARK: Final = b"\xef\xbb\xbf"

_HEAD: Final = 64 * 1024
_FIRST_LINES: Final = 200
"""Comments (group 999) may stand before the first section; nobody writes more."""

_EXPORT: Final = "export the pattern as SVG or as DXF (R12 to 2018)"

_OTHERS: Final = (
    (b"\xff\xfe", "UTF-16 text", "save it as UTF-8, or export it again"),
    (b"\xfe\xff", "UTF-16 text", "save it as UTF-8, or export it again"),
    (b"AC10", "a DWG drawing", f"open it in a drawing program and {_EXPORT}"),
    (b"AC1.", "a DWG drawing", f"open it in a drawing program and {_EXPORT}"),
    (b"AutoCAD DXB", "a DXB drawing", _EXPORT),
    (b"%PDF", "a PDF", _EXPORT),
    (b"%!PS", "PostScript", _EXPORT),
    (b"PK", "a ZIP archive", "unpack it and name the drawing in it"),
    (b"\x1f\x8b", "a gzip archive", "unpack it first"),
    (b"7z\xbc\xaf", "a 7z archive", "unpack it first"),
    (b"\x89PNG", "a PNG picture", _EXPORT),
    (b"\xff\xd8\xff", "a JPEG picture", _EXPORT),
)


def sniff(path: Path, data: bytes) -> Form:
    """Say how a DXF file is written, from its first bytes.

    Parameters
    ----------
    path : Path
        For the message.
    data : bytes

    Raises
    ------
    DrawingError
        If it is no DXF, with what it looks like and what to do.
    """
    if data.startswith(BINARY_SENTINEL):
        return Form.BINARY
    head = data[:_HEAD].removeprefix(UTF8_MARK)
    if _begins_with_section(_with_usual_line_ends(head)):
        return Form.TEXT
    what, remedy = looks_like(head)
    raise DrawingError(f"{path}: is no DXF, it looks like {what}; {remedy}")


def _begins_with_section(head: bytes) -> bool:
    lines = [line.strip() for line in head.splitlines()[:_FIRST_LINES]]
    lines = lines[next((i for i, line in enumerate(lines) if line), 0) :]
    for code, value in zip(lines[0::2], lines[1::2], strict=False):
        if code != b"999":
            return code == b"0" and value in {b"SECTION", b"EOF"}
    return False


def looks_like(head: bytes) -> tuple[str, str]:
    """Say what the first bytes of a file that is no DXF look like, and what to do."""
    for start, what, remedy in _OTHERS:
        if head.startswith(start):
            return what, remedy
    begin = head.lstrip()[:4096].lower()
    if begin.startswith(b"<"):
        return _looks_like_markup(begin)
    if b"\0" in head:
        return "binary data of another program", _EXPORT
    return "plain text" if begin else "blank lines", _EXPORT


def _looks_like_markup(begin: bytes) -> tuple[str, str]:
    if b"<svg" in begin:
        return "an SVG", "rename it to .svg"
    if b"<html" in begin or b"<!doctype html" in begin:
        return "a web page", "download the drawing itself"
    return "XML", _EXPORT


_TAG: Final = re.compile(rb"(?m)^[ \t]*0[ \t]*\r?\n[ \t]*([A-Z][A-Z0-9_]*)[ \t]*\r?\n")
"""Group 0 with its value. A value "0" is followed by a group code, never by a letter,
so the pattern cannot fall out of step."""

_SECTION_NAME: Final = re.compile(rb"[ \t]*2[ \t]*\r?\n[ \t]*([A-Z]+)")

_EOF: Final = re.compile(rb"(?m)^[ \t]*0[ \t]*\r?\n[ \t]*EOF\b")

NEEDED_CODES: Final[MappingProxyType[str, tuple[int, ...]]] = MappingProxyType(
    {
        "LINE": (10, 20, 11, 21),
        "CIRCLE": (10, 20, 40),
        "ARC": (10, 20, 40, 50, 51),
        "SECTION": (2,),
        "ENDSEC": (),
        "ENDBLK": (),
        "SEQEND": (),
    }
)
"""Entities whose end shows by the group codes they need; of others one cannot say."""

FOLLOWERS: Final[MappingProxyType[str, tuple[str, ...]]] = MappingProxyType(
    {"POLYLINE": ("VERTEX", "SEQEND"), "INSERT": ("ATTRIB", "SEQEND")}
)
"""What belongs to the entity before it."""

_VERSION: Final = b"  9\n$ACADVER\n  1\nAC1015\n  9\n$HANDSEED\n  5\n1000000\n"
"""With a seed beyond the handles of the file: the library makes up some of its own."""

_OBJECTS: Final = re.compile(
    rb"(?m)^[ \t]*0[ \t]*\r?\n[ \t]*SECTION[ \t]*\r?\n"
    rb"[ \t]*2[ \t]*\r?\n[ \t]*OBJECTS[ \t]*\r?\n"
)
_ENDSEC: Final = re.compile(rb"(?m)^[ \t]*0[ \t]*\r?\n[ \t]*ENDSEC[ \t]*\r?\n")
_HEADER: Final = re.compile(rb"(?m)^[ \t]*2[ \t]*\r?\n[ \t]*HEADER[ \t]*\r?\n")


def mend(path: Path, data: bytes) -> tuple[bytes, tuple[Finding, ...]]:
    """Close a text DXF that was cut short, and unify its line ends.

    Parameters
    ----------
    path : Path
        For the finding.
    data : bytes
        Begins with a section, perhaps after a byte order mark and blank lines.

    Returns
    -------
    bytes
        The same from its first tag on, or without its last entity where that may be
        only a part, with the end marks that are missing, and with a version where its
        subclass marks show that it is newer than R12 but it does not say so.
    tuple of Finding
        One if something was missing.
    """
    data = _with_usual_line_ends(data.removeprefix(UTF8_MARK).lstrip())
    if _lacks_its_version(data):
        data = _with_version(data)
    if _EOF.search(data, max(0, data.rfind(b"EOF") - 64)):
        return data, ()
    tags = [(tag[1], tag.start(), tag.end()) for tag in _TAG.finditer(data)]
    lost = ""
    code = "cut-short" if _ends_among_entities(data, tags) else "truncated"
    if tags and tags[-1][0] != b"ENDSEC":
        data, lost = _without_part(data, tags)
        data += b"  0\nENDSEC\n"
    elif tags:
        data = data[: tags[-1][2]]
    return data + b"  0\nEOF\n", (
        warning(
            code,
            path.name,
            f"the file has no end mark (EOF), so it may have been cut short{lost}; "
            "check that every piece is there, or export it again",
        ),
    )


def _ends_among_entities(data: bytes, tags: list[tuple[bytes, int, int]]) -> bool:
    """Whether what is missing may be pieces: it ends within blocks or entities."""
    if not tags or tags[-1][0] == b"ENDSEC" or data.rstrip().endswith(b"ENDSEC"):
        return False
    sections = [end for name, _, end in tags if name == b"SECTION"]
    name = _SECTION_NAME.match(data, sections[-1]) if sections else None
    return name is None or name[1] in {b"HEADER", b"TABLES", b"BLOCKS", b"ENTITIES"}


def _with_usual_line_ends(data: bytes) -> bytes:
    """Replace the CR of old Macs, and the CR CR LF of texts that were sent twice."""
    if b"\r" not in data:
        return data
    if b"\r\r\n" in data:
        data = data.replace(b"\r\r\n", b"\n")
    if data.count(b"\r") != data.count(b"\r\n"):
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return data


def _lacks_its_version(data: bytes) -> bool:
    """Whether a file of R2000 or newer would be taken for R12."""
    return b"$ACADVER" not in data and b"AcDb" in data


def _with_version(data: bytes) -> bytes:
    """Name the version in the header: the library takes a nameless file for R12."""
    if b"AcDbSymbolTable" not in data:
        # Objects name tables that are not there; without their section all is well.
        # The pattern would try every line of a large file; the word is found at once.
        word = data.find(b"OBJECTS")
        objects = word >= 0 and _OBJECTS.search(data, max(word - _HEAD, 0))
        end = objects and _ENDSEC.search(data, objects.end())
        if objects and end:
            data = data[: objects.start()] + data[end.end() :]
    header = _HEADER.search(data, 0, _HEAD)
    if header:
        return data[: header.end()] + _VERSION + data[header.end() :]
    return b"  0\nSECTION\n  2\nHEADER\n" + _VERSION + b"  0\nENDSEC\n" + data


def _without_part(data: bytes, tags: list[tuple[bytes, int, int]]) -> tuple[bytes, str]:
    name, start, end = tags[-1]
    # The last line may be half a number, and a group code may lack its value.
    lines = data[end:].split(b"\n")[:-1]
    lines = lines[: len(lines) // 2 * 2]
    codes = {line.strip() for line in lines[0::2]}
    needed = NEEDED_CODES.get(name.decode())
    if needed is not None and all(b"%d" % code in codes for code in needed):
        return data[:end] + b"".join(line + b"\n" for line in lines), ""
    opener = next(
        (opens.encode() for opens in FOLLOWERS if name.decode() in FOLLOWERS[opens]),
        name,
    )
    name, start, _ = next((tag for tag in tags[::-1] if tag[0] == opener), tags[-1])
    return data[:start], f"; its last entity ({name.decode()}) is left out"

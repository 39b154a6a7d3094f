"""What the bytes of a file look like, before any library is asked.

The DXF library reads an empty drawing out of almost anything; so what is no DXF is
told apart here, and a file that was cut short is mended at its end.
"""

import re
from enum import StrEnum
from pathlib import Path
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
    if _begins_with_section(head):
        if b"\r" in head and b"\n" not in head:
            raise DrawingError(
                f"{path}: is a DXF with the line ends of old Macs (CR alone); save it "
                "with LF or CR LF line ends, or export it again"
            )
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

_EOF: Final = re.compile(rb"(?m)^[ \t]*0[ \t]*\r?\n[ \t]*EOF\b")

_NEEDED: Final = {
    b"LINE": (b"10", b"20", b"11", b"21"),
    b"CIRCLE": (b"10", b"20", b"40"),
    b"ARC": (b"10", b"20", b"40", b"50", b"51"),
    b"SECTION": (b"2",),
    b"ENDBLK": (),
    b"SEQEND": (),
}
"""Entities whose end shows by what they need; of others one cannot say."""

_OPENERS: Final = {
    b"VERTEX": b"POLYLINE",
    b"ATTRIB": b"INSERT",
}


def mend(path: Path, data: bytes) -> tuple[bytes, tuple[Finding, ...]]:
    """Close a text DXF that was cut short.

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
        only a part, and with the end marks that are missing.
    tuple of Finding
        One if something was missing.
    """
    data = data.removeprefix(UTF8_MARK).lstrip()
    if _EOF.search(data, max(0, data.rfind(b"EOF") - 64)):
        return data, ()
    tags = [(tag[1], tag.start(), tag.end()) for tag in _TAG.finditer(data)]
    lost = ""
    if tags and tags[-1][0] != b"ENDSEC":
        data, lost = _without_part(data, tags)
        data += b"  0\nENDSEC\n"
    elif tags:
        data = data[: tags[-1][2]]
    return data + b"  0\nEOF\n", (
        warning(
            "truncated",
            path.name,
            f"the file has no end mark (EOF), so it may have been cut short{lost}; "
            "check that every piece is there, or export it again",
        ),
    )


def _without_part(data: bytes, tags: list[tuple[bytes, int, int]]) -> tuple[bytes, str]:
    name, start, end = tags[-1]
    # The last line may be half a number, and a group code may lack its value.
    lines = data[end:].split(b"\n")[:-1]
    lines = lines[: len(lines) // 2 * 2]
    codes = {line.strip() for line in lines[0::2]}
    if name in _NEEDED and codes.issuperset(_NEEDED[name]):
        return data[:end] + b"".join(line + b"\n" for line in lines), ""
    opener = _OPENERS.get(name, name)
    name, start, _ = next((tag for tag in tags[::-1] if tag[0] == opener), tags[-1])
    return data[:start], f"; its last entity ({name.decode()}) is left out"

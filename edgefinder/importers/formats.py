"""Choose the reader by what a file holds, whatever its name says."""

import zlib
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from edgefinder.errors import DrawingError
from edgefinder.files import read_bytes
from edgefinder.importers.drawing import Reading
from edgefinder.importers.own_marks import without_own_marks

GZIP = b"\x1f\x8b"
"""RFC 1952, section 2.3.1."""

SNIFFED_BYTES = 4096
"""Enough for a byte order mark, an XML declaration and a long comment."""


def read_drawing(path: Path, *, unit_mm: float | None = None) -> Reading:
    """Read an SVG or a DXF file.

    Parameters
    ----------
    path : Path
    unit_mm : float or None
        Millimetres per drawing unit; None takes what the file says.

    Returns
    -------
    Reading

    Raises
    ------
    DrawingError
        If the file is missing, is neither, or cannot be read whole.
    """
    head = _unpacked(read_bytes(path, first=SNIFFED_BYTES))
    # Each reader loads its own libraries: the SVG way never waits for ezdxf.
    if _looks_like_svg(head):
        from edgefinder.importers.svg.reading import read_svg  # noqa: PLC0415

        return _as_drawn(read_svg(path, unit_mm=unit_mm))
    if _looks_like_dxf(head) or path.suffix.lower() == ".dxf":
        from edgefinder.importers.dxf.reading import read_dxf  # noqa: PLC0415

        return _as_drawn(read_dxf(path, unit_mm=unit_mm))
    from edgefinder.importers.dxf.sniff import looks_like  # noqa: PLC0415

    what, remedy = looks_like(head)
    raise DrawingError(
        f"{path}: is neither SVG nor DXF, it looks like {what}; {remedy}"
    )


def is_svg(data: bytes) -> bool:
    """Whether a file holds an SVG, plain or compressed."""
    return _looks_like_svg(_unpacked(data[:SNIFFED_BYTES]))


def _as_drawn(reading: Reading) -> Reading:
    """Leave out the marks that this program has added to a copy of a drawing."""
    return replace(reading, drawing=without_own_marks(reading.drawing))


def _unpacked(head: bytes) -> bytes:
    """Unpack the beginning of a packed drawing, if an SVG is in it."""
    if not head.startswith(GZIP):
        return head
    try:
        inside = zlib.decompressobj(zlib.MAX_WBITS | 16).decompress(head, SNIFFED_BYTES)
    except zlib.error:
        return head
    return inside if _looks_like_svg(inside) else head


def _looks_like_svg(head: bytes) -> bool:
    text = head.replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return text.startswith(b"<")


def _looks_like_dxf(head: bytes) -> bool:
    if head.startswith(b"AutoCAD Binary DXF"):  # the sentinel of the DXF reference
        return True
    lines = [line.strip() for line in head.splitlines()[:200]]
    return any(
        code == b"0" and value in {b"SECTION", b"EOF"}
        for code, value in pairwise(lines)
    )

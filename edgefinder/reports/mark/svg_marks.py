"""The layer of marks added to an SVG: one group before the end of the root element."""

import codecs
import re
import zlib
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.importers.drawing import Drawing
from edgefinder.importers.own_marks import MARKS_LAYER, has_own_marks
from edgefinder.importers.svg.reading import read_svg_text
from edgefinder.importers.svg.xml import parse_document
from edgefinder.pattern.scale import scale_by_square
from edgefinder.reports.mark.shapes import TEXT_MM, MarkLine, PieceMarks
from edgefinder.reports.picture.drawing_svg import HALF_CAPITAL
from edgefinder.reports.picture.labels import Frame, Label
from edgefinder.reports.picture.pens import INK, PAPER
from edgefinder.reports.svg_drawing import NAMESPACE, element, number, numbers, words

_GZIP: Final = b"\x1f\x8b"
_GZIP_WINDOW: Final = 31
"""The window argument with which zlib expects a gzip header."""

_ROOT_END: Final = re.compile(
    r"</(?:[^\s<>/:]+:)?svg\s*>"
    r"(?=(?:\s|<!--(?:(?!-->).)*-->|<\?(?:(?!\?>).)*\?>)*\Z)",
    re.DOTALL,
)
"""The end tag after which only comments, instructions and blanks stand (XML 1.0,
productions 1 and 27)."""

_PROBE: Final = "edgefinder-probe"
_PROBE_LENGTH: Final = 1000
"""User units: long beside the rounding of a coordinate, short beside any limit."""


def marked_svg(
    data: bytes,
    name: str,
    marks: Sequence[PieceMarks],
    *,
    unit_mm: float | None,
    test_square: float | None,
) -> bytes:
    """Add marks to an SVG.

    Parameters
    ----------
    data : bytes
        The file; a compressed one is unpacked.
    name : str
        Of the file, for messages.
    marks : sequence of PieceMarks
        Of the pieces that stand in it.
    unit_mm, test_square : float or None
        As the drawing was read with.

    Returns
    -------
    bytes
        The same bytes with one group put in, in the same encoding.

    Raises
    ------
    DrawingError
        If it has such a group already.
    """
    if data.startswith(_GZIP):
        data = zlib.decompress(data, _GZIP_WINDOW)
    head, tail, encoding = _cut_at_end(data, name)
    probe = _group(_PROBE, "", _probe(), namespace=_namespace(data, name))
    tried = head + probe.encode(encoding) + tail
    reading = read_svg_text(tried, name, unit_mm=unit_mm)
    if test_square is not None:
        reading = scale_by_square(reading, test_square).reading
    if has_own_marks(reading.drawing):
        raise DrawingError(
            f"{name}: has marks of edgefinder already; mark the drawing without them"
        )
    to_mm = _to_mm(reading.drawing)
    content = "\n".join(_piece(one) for one in marks)
    matrix = _inverse(to_mm) @ Affine(d=-1.0)
    said = " ".join(
        f"{value:.12g}"
        for value in (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)
    )
    group = _group(MARKS_LAYER, f"matrix({said})", content, _namespace(data, name))
    # Letters beyond ASCII are written as references, which every encoding can hold.
    plain = group.encode("ascii", "xmlcharrefreplace").decode("ascii")
    return head + plain.encode(encoding) + tail


def _cut_at_end(data: bytes, name: str) -> tuple[bytes, bytes, str]:
    """Cut a file before the end tag of its root, and name the encoding between.

    All encodings but those of two and four bytes write ASCII as ASCII.
    """
    encoding = _wide_encoding(data)
    text = data.decode(encoding or "latin-1", "surrogatepass" if encoding else "strict")
    found = _ROOT_END.search(text)
    if found is None:
        raise DrawingError(
            f"{name}: its root element has no end tag of its own; save it again"
        )
    before = text[: found.start()]
    cut = len(before.encode(encoding or "latin-1", "surrogatepass"))
    return data[:cut], data[cut:], encoding or "ascii"


def _wide_encoding(data: bytes) -> str | None:
    """Return the encoding of a text that takes two or four bytes for a letter."""
    for mark, encoding in (
        (codecs.BOM_UTF32_LE, "utf-32-le"),
        (codecs.BOM_UTF32_BE, "utf-32-be"),
        (b"<\0\0\0", "utf-32-le"),
        (b"\0\0\0<", "utf-32-be"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
        (b"<\0", "utf-16-le"),
        (b"\0<", "utf-16-be"),
    ):
        if data.startswith(mark):
            return encoding
    return None


def _namespace(data: bytes, name: str) -> str | None:
    """Return the namespace to write; a drawing without one would not know it."""
    return NAMESPACE if parse_document(data, name).has_namespace else None


def _group(key: str, transform: str, content: str, namespace: str | None) -> str:
    return (
        element(
            "g",
            {"xmlns": namespace, "id": key, "transform": transform or None},
            "\n",
            content,
            "\n",
        )
        + "\n"
    )


def _probe() -> str:
    """Draw a right angle whose place in millimetres tells the map of the drawing."""
    corner = f"M {_PROBE_LENGTH} 0 L 0 0 L 0 {_PROBE_LENGTH}"
    style = _style({"fill": "none", "stroke": INK})
    return element("path", {"id": _PROBE, "d": corner, "style": style})


def _style(properties: Mapping[str, str | float | None]) -> str:
    """Write properties so that no style sheet of the drawing is stronger.

    A rule without ``!important`` wins over presentation attributes, and not over this
    (CSS Cascading 4, section 6.1).
    """
    shown = {"display": "inline", "visibility": "visible", **properties}
    return ";".join(
        f"{key}:{value if isinstance(value, str) else number(value)}"
        for key, value in shown.items()
        if value is not None
    )


def _to_mm(drawing: Drawing) -> Affine:
    """Return the map from user units of the root to millimetres."""
    probe = next((line for line in drawing.lines if line.id == _PROBE), None)
    if probe is None:
        raise DrawingError(
            f"{drawing.name}: a style sheet of it hides what is added; save it with "
            "presentation attributes instead"
        )
    across, origin = probe.path.segments.control[0, :2].tolist()
    along = probe.path.end
    x, y = (across - origin) / _PROBE_LENGTH, (along - origin) / _PROBE_LENGTH
    return Affine(x.real, x.imag, y.real, y.imag, origin.real, origin.imag)


def _inverse(affine: Affine) -> Affine:
    linear = np.array([[affine.a, affine.c], [affine.b, affine.d]])
    (a, c), (b, d) = np.linalg.inv(linear).tolist()
    e, f = affine.e, affine.f
    return Affine(a, b, c, d, -(a * e + c * f), -(b * e + d * f))


def _piece(marks: PieceMarks) -> str:
    parts = [_line(line) for line in marks.lines]
    parts += [_label(label) for label in marks.labels]
    return element("g", {}, "\n", "\n".join(parts), "\n")


def _line(line: MarkLine) -> str:
    points = " ".join(
        f"{number(p.real)},{number(-p.imag)}" for p in line.points.tolist()
    )
    pen = line.pen
    return element(
        "polygon" if line.closed else "polyline",
        {
            "points": points,
            "style": _style(
                {
                    "fill": "none",
                    "stroke": pen.colour,
                    "stroke-width": pen.width,
                    "stroke-dasharray": numbers(*pen.dashes) if pen.dashes else "none",
                }
            ),
        },
    )


def _label(label: Label) -> str:
    left, low, right, top = label.box
    framed = label.frame is not Frame.NONE
    text = element(
        "text",
        {
            "x": (left + right) / 2,
            "y": -(low + top) / 2 + HALF_CAPITAL * TEXT_MM,
            "style": _style(
                {
                    "font-family": "sans-serif",
                    "font-size": f"{number(TEXT_MM)}px",
                    "text-anchor": "middle",
                    "fill": PAPER if label.frame is Frame.FILLED else INK,
                    "stroke": "none",
                }
            ),
        },
        words(label.text),
    )
    if not framed:
        return text
    high = top - low
    frame = element(
        "rect",
        {
            "x": left,
            "y": -top,
            "width": right - left,
            "height": high,
            "rx": None if label.frame is Frame.SQUARE else high / 2,
            "style": _style(
                {
                    "fill": INK if label.frame is Frame.FILLED else PAPER,
                    "stroke": INK,
                    "stroke-width": 1.0,
                    "stroke-dasharray": "none",
                }
            ),
        },
    )
    return frame + text

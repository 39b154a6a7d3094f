"""The drawings of this program, read from their SVG and drawn as lines and letters.

Only what the drawings use is known: lines, polylines, polygons, rectangles, texts and
the hatch. Anything else is an error, so that nothing of a drawing is left out unseen.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final
from xml.etree import ElementTree as ET

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import Flowable

from edgefinder.reports.pdf.hatch import Hatch, hatch_lines, read_hatch
from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.paper import POINTS_PER_MM

_UNSEEN: Final = frozenset({"title", "desc"})
_WITHOUT_MARK: Final = frozenset({"id", "class"})
_PAINT: Final = frozenset(
    {"fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin"}
)
_TEXT: Final = frozenset(
    {"x", "y", "font-size", "font-weight", "text-anchor", "fill", "transform"}
    | {"textLength", "lengthAdjust"}
)
_KNOWN: Final[Mapping[str, frozenset[str]]] = MappingProxyType(
    {
        "line": _PAINT | {"x1", "y1", "x2", "y2"},
        "polyline": _PAINT | {"points"},
        "polygon": _PAINT | {"points"},
        "rect": _PAINT | {"x", "y", "width", "height", "rx"},
        "text": _TEXT,
    }
)
_ANCHORS: Final = MappingProxyType({"start": 0.0, "middle": 0.5, "end": 1.0})


class Picture(Flowable):
    """A drawing at its size on paper, or smaller if there is no room for that.

    Parameters
    ----------
    svg : str
        Made by this program.
    room : tuple of float
        Width and height in points that it must fit into.
    letters : Letters
    """

    def __init__(self, svg: str, room: tuple[float, float], letters: Letters) -> None:
        super().__init__()
        self._root = ET.fromstring(svg)  # noqa: S314 - written by this program
        self._letters = letters
        wide, high = (_paper(self._root.attrib[side]) for side in ("width", "height"))
        self.share = min(1.0, room[0] / wide, room[1] / high)
        """Its size on the page as a share of that which it is drawn for."""
        self.width, self.height = wide * self.share, high * self.share

    def wrap(self, _available: float, _high: float) -> tuple[float, float]:
        """Return what it takes, in points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it, element by element."""
        left, top, wide, _ = map(float, self._root.attrib["viewBox"].split())
        scale = self.width / wide
        canvas = self.canv
        canvas.saveState()
        # SVG counts downwards.
        canvas.transform(scale, 0, 0, -scale, -left * scale, self.height + top * scale)
        _Pen(canvas, self._letters, self._hatches()).draw_all(self._root)
        canvas.restoreState()

    def _hatches(self) -> dict[str, Hatch]:
        found = self._root.iter()
        return {
            f"url(#{one.attrib['id']})": read_hatch(one)
            for one in found
            if _name(one) == "pattern"
        }


def _paper(length: str) -> float:
    return float(length.removesuffix("mm")) * POINTS_PER_MM


def _name(one: ET.Element) -> str:
    return str(one.tag).rpartition("}")[2]


class _Pen:
    def __init__(
        self, canvas: Canvas, letters: Letters, hatches: Mapping[str, Hatch]
    ) -> None:
        self._canvas = canvas
        self._letters = letters
        self._hatches = hatches

    def draw_all(self, root: ET.Element) -> None:
        for one in root:
            name = _name(one)
            if name in _UNSEEN or name == "defs":
                continue
            unknown = set(one.attrib) - _KNOWN.get(name, frozenset()) - _WITHOUT_MARK
            if name not in _KNOWN or unknown:
                raise ValueError(f"a drawing has {name} {sorted(unknown)}")
            if name == "text":
                self._text(one)
            else:
                self._shape(one, name)

    def _shape(self, one: ET.Element, name: str) -> None:
        get = one.attrib.get
        fill, stroke = get("fill", "none"), get("stroke", "none")
        hatch = self._hatches.get(fill)
        if hatch is not None:
            self._hatched(one, name, hatch)
            fill = "none"
        if fill == stroke == "none":
            return
        canvas = self._canvas
        path = self._path(one, name)
        if fill != "none":
            canvas.setFillColor(_colour(fill))
        if stroke != "none":
            canvas.setStrokeColor(_colour(stroke))
            canvas.setLineWidth(float(get("stroke-width", "1")))
            canvas.setLineJoin(1 if get("stroke-linejoin") == "round" else 0)
            canvas.setDash(
                [float(dash) for dash in get("stroke-dasharray", "").split()]
            )
        canvas.drawPath(path, stroke=int(stroke != "none"), fill=int(fill != "none"))

    def _path(self, one: ET.Element, name: str) -> PDFPathObject:
        path = self._canvas.beginPath()
        if name == "rect":
            x, y, wide, high = _numbers(one, "x", "y", "width", "height")
            (round_by,) = _numbers(one, "rx")
            if round_by:
                path.roundRect(x, y, wide, high, min(round_by, wide / 2, high / 2))
            else:
                path.rect(x, y, wide, high)
            return path
        first, *others = _points(one, name)
        path.moveTo(*first)
        for point in others:
            path.lineTo(*point)
        if name == "polygon":
            path.close()
        return path

    def _hatched(self, one: ET.Element, name: str, hatch: Hatch) -> None:
        canvas = self._canvas
        canvas.saveState()
        canvas.clipPath(self._path(one, name), stroke=0, fill=0)
        canvas.setStrokeColor(_colour(hatch.colour))
        canvas.setLineWidth(hatch.width)
        canvas.setDash([])
        canvas.lines(hatch_lines(hatch, _points(one, name)))
        canvas.restoreState()

    def _text(self, one: ET.Element) -> None:
        get = one.attrib.get
        size, bold = float(get("font-size", "0")), get("font-weight") == "bold"
        spans = self._letters.spans(one.text or "", bold=bold)
        wide = self._letters.width(one.text or "", size, bold=bold)
        squeezed = float(get("textLength", wide)) / wide if wide else 1.0
        canvas = self._canvas
        canvas.saveState()
        if "transform" in one.attrib:
            angle, x, y = _turn(one.attrib["transform"])
            canvas.translate(x, y)
            canvas.rotate(angle)
            canvas.translate(-x, -y)
        canvas.translate(float(get("x", "0")), float(get("y", "0")))
        canvas.scale(squeezed, -1)
        canvas.setFillColor(_colour(get("fill", "#000000")))
        line = canvas.beginText(-_ANCHORS[get("text-anchor", "start")] * wide, 0)
        for span in spans:
            line.setFont(span.font, size)
            line.textOut(span.text)
        canvas.drawText(line)
        canvas.restoreState()


def _numbers(one: ET.Element, *keys: str) -> list[float]:
    """Return attributes as numbers; what is not given is 0 (SVG 2, section 9)."""
    return [float(one.attrib.get(key, "0")) for key in keys]


def _points(one: ET.Element, name: str) -> list[tuple[float, float]]:
    if name == "line":
        x1, y1, x2, y2 = _numbers(one, "x1", "y1", "x2", "y2")
        return [(x1, y1), (x2, y2)]
    pairs = (pair.split(",") for pair in one.attrib["points"].split())
    return [(float(x), float(y)) for x, y in pairs]


def _turn(transform: str) -> tuple[float, float, float]:
    """Read ``rotate(angle x y)``; no other transform is drawn."""
    inside = transform.removeprefix("rotate(").removesuffix(")")
    angle, x, y = map(float, inside.split())
    return angle, x, y


def _colour(text: str) -> Color:
    return HexColor(text)

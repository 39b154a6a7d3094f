"""One shape written as drawing programs write it: a dozen ways in SVG, a dozen in DXF.

A shape is a closed row of sides. Every writer gets the same sides in millimetres with
y up and must write a file that draws them, in its own units, coordinates and elements;
the writers know SVG and DXF and nothing of the readers.
"""

import cmath
import gzip
import io
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new
from hypothesis import strategies as st

PX_PER_MM = 96 / 25.4
PAPER_MM = 1000.0
"""Side of the square paper of the SVG files; the origin of the shape is its middle."""

MILLIMETRES = 4
INCHES = 1


@dataclass(frozen=True)
class Side:
    """A side of a shape, from where the one before ends.

    Parameters
    ----------
    end : complex
    bulge : float
        Tangent of a quarter of the angle of an arc, anticlockwise; 0 for others.
    handles : tuple of complex
        The two inner control points of a cubic; empty for others.
    """

    end: complex
    bulge: float = 0.0
    handles: tuple[complex, ...] = ()


@dataclass(frozen=True)
class Shape:
    """A closed outline."""

    start: complex
    sides: tuple[Side, ...]

    def drawn(self) -> list[tuple[complex, Side]]:
        """Return every side with the point where it starts."""
        starts = [self.start, *(side.end for side in self.sides[:-1])]
        return list(zip(starts, self.sides, strict=True))


def shapes(*, cubics: bool) -> st.SearchStrategy[Shape]:
    """Outlines of lines, arcs and perhaps cubics, run anticlockwise."""

    @st.composite
    def build(draw: st.DrawFn) -> Shape:
        count = draw(st.integers(3, 7))
        corners = [
            _round(cmath.rect(draw(st.integers(60, 300)), math.tau * k / count))
            for k in range(count)
        ]
        return Shape(
            corners[0], tuple(draw(_side(a, b, cubics)) for a, b in _ring(corners))
        )

    return build()


def _round(point: complex) -> complex:
    return complex(round(point.real, 3), round(point.imag, 3))


def _ring(corners: list[complex]) -> list[tuple[complex, complex]]:
    return list(pairwise([*corners, corners[0]]))


def _side(start: complex, end: complex, cubics: bool) -> st.SearchStrategy[Side]:
    bulges = st.sampled_from([0.0, 0.1, 0.3, -0.2, 0.8, 0.05])
    plain = bulges.map(lambda bulge: Side(end, bulge))
    if not cubics:
        return plain
    shares = st.tuples(
        st.floats(0.2, 0.5), st.floats(-0.2, 0.3), st.floats(-0.2, 0.3)
    ).map(
        lambda three: Side(
            end,
            handles=(
                _round(start + (end - start) * complex(three[0], three[1])),
                _round(end + (start - end) * complex(three[0], three[2])),
            ),
        )
    )
    return st.one_of(plain, shares)


def circle_of(start: complex, side: Side) -> tuple[complex, float, float]:
    """Return centre and radius of an arc, and the angle that it runs."""
    angle = 4 * math.atan(side.bulge)
    turn = cmath.exp(1j * angle)
    centre = (start * turn - side.end) / (turn - 1)
    return centre, abs(start - centre), angle


def without_arcs(shape: Shape) -> Shape:
    """Return a shape with its arcs made straight."""
    return Shape(shape.start, tuple(replace(side, bulge=0.0) for side in shape.sides))


# SVG


Place = Callable[[complex], complex]


def _down(point: complex) -> complex:
    """From the shape to millimetres on the paper, y down."""
    return complex(PAPER_MM / 2 + point.real, PAPER_MM / 2 - point.imag)


def _number(value: float) -> str:
    return repr(round(value, 12) + 0.0)


def _pair(point: complex) -> str:
    return f"{_number(point.real)} {_number(point.imag)}"


def absolute(shape: Shape, place: Place = _down, scale: float = 1.0) -> str:
    """Path data with absolute commands; ``place`` turns, enlarges and shifts."""
    parts = [f"M {_pair(place(shape.start))}"]
    for start, side in shape.drawn():
        parts.append(_command(start, side, place, scale))
    return " ".join([*parts, "Z"])


def _command(start: complex, side: Side, place: Place, scale: float) -> str:
    if side.handles:
        points = ", ".join(_pair(place(p)) for p in (*side.handles, side.end))
        return f"C {points}"
    if side.bulge:
        _, radius, angle = circle_of(start, side)
        size = _number(radius * scale)
        # y points down: what runs anticlockwise for us is the negative way there.
        flags = f"{int(abs(angle) > math.pi)} {int(angle < 0)}"
        return f"A {size} {size} 0 {flags} {_pair(place(side.end))}"
    return f"L {_pair(place(side.end))}"


def relative(shape: Shape) -> str:
    """Path data with relative commands, run together as minifiers write them."""
    parts = [f"m{_pair(_down(shape.start))}"]
    for start, side in shape.drawn():
        here = _down(start)
        step = [_tight(_down(p) - here) for p in (*side.handles, side.end)]
        if side.handles:
            parts.append("c" + "".join(step).lstrip(","))
        elif side.bulge:
            _, radius, angle = circle_of(start, side)
            flags = f"{int(abs(angle) > math.pi)}{int(angle < 0)}"
            end = step[0].lstrip(",")
            parts.append(f"a{radius!r},{radius!r},0,{flags}{end}")
        else:
            parts.append("l" + step[0].lstrip(","))
    return "".join([*parts, "z"])


def _tight(point: complex) -> str:
    return f",{_number(point.real)},{_number(point.imag)}"


def shorthand(shape: Shape) -> str:
    """Path data with H, V and implicit repeats, and quadratics as T never drawn."""
    x, y = _down(shape.start).real, _down(shape.start).imag
    parts = [f"M{_number(x)},{_number(y)}"]
    last = "L"  # implicit after M
    for start, side in shape.drawn():
        end = _down(side.end)
        here = _down(start)
        if not side.handles and not side.bulge and end.imag == here.imag:
            parts.append(f"H{_number(end.real)}")
            last = "H"
        elif not side.handles and not side.bulge and end.real == here.real:
            parts.append(f"V{_number(end.imag)}")
            last = "V"
        else:
            command = _command(start, side, _down, 1.0)
            letter, numbers = command[0], command[2:]
            parts.append(numbers if letter == last else command)
            last = letter
    return " ".join([*parts, "z"])


def _svg(body: str, size: str = "", attributes: str = "") -> bytes:
    size = size or (
        f'width="{PAPER_MM}mm" height="{PAPER_MM}mm" '
        f'viewBox="0 0 {PAPER_MM} {PAPER_MM}"'
    )
    names = (
        'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    )
    return f"<svg {names} {size} {attributes}>{body}</svg>".encode()


def _path(data: str, attributes: str = "") -> str:
    return f'<path fill="none" stroke="black" d="{data}" {attributes}/>'


def _enlarged(factor: float, shift: complex = 0) -> Place:
    return lambda point: _down(point) * factor + shift


def svg_absolute(shape: Shape) -> bytes:
    return _svg(_path(absolute(shape)))


def svg_relative(shape: Shape) -> bytes:
    return _svg(_path(relative(shape)))


def svg_shorthand(shape: Shape) -> bytes:
    return _svg(_path(shorthand(shape)))


def svg_pixels(shape: Shape) -> bytes:
    """User units of 1/96 inch, and no viewBox."""
    data = absolute(shape, _enlarged(PX_PER_MM), PX_PER_MM)
    side = PAPER_MM * PX_PER_MM
    return _svg(_path(data), f'width="{side!r}px" height="{side!r}"')


def svg_inches(shape: Shape) -> bytes:
    """A page in inches with 72 units to the inch, as vector programs write it."""
    factor = 72 / 25.4
    data = absolute(shape, _enlarged(factor), factor)
    side, units = PAPER_MM / 25.4, PAPER_MM * factor
    return _svg(
        _path(data),
        f'width="{side!r}in" height="{side!r}in" viewBox="0 0 {units!r} {units!r}"',
    )


def svg_shifted_view(shape: Shape) -> bytes:
    """A viewBox that begins elsewhere and is fitted into a wider page."""
    data = absolute(shape, _enlarged(0.1, -7 + 3j), 0.1)
    box = f'viewBox="-7 3 {PAPER_MM / 10} {PAPER_MM / 10}"'
    return _svg(
        _path(data),
        f'width="150cm" height="100cm" {box} preserveAspectRatio="xMidYMid meet"',
    )


def svg_transforms(shape: Shape) -> bytes:
    """Groups that turn, enlarge and shift, and a matrix on the path."""
    turn = cmath.rect(2.0, math.radians(-37))
    data = absolute(shape, lambda p: (_down(p) - (11 + 5j)) / turn - 3, 0.5)
    path = _path(data, 'transform="matrix(1 0 0 1 3 0)"')
    return _svg(
        f'<g transform="translate(11,5)"><g transform="rotate(-37) scale(2)">'
        f"{path}</g></g>"
    )


def svg_mirrored(shape: Shape) -> bytes:
    """Drawn with y up, under a mirror."""
    side = PAPER_MM / 2
    mirrored = Shape(
        shape.start.conjugate(),
        tuple(
            Side(s.end.conjugate(), -s.bulge, tuple(h.conjugate() for h in s.handles))
            for s in shape.sides
        ),
    )
    data = absolute(mirrored, lambda p: p.conjugate())
    return _svg(
        f'<g transform="translate({side} {side}) scale(1 -1)">{_path(data)}</g>'
    )


def svg_skewed(shape: Shape) -> bytes:
    """A skew and the skew that undoes it."""
    data = absolute(shape)
    return _svg(
        f'<g transform="skewX(30)"><g transform="skewY(0) '
        f'matrix(1 0 {-math.tan(math.radians(30))!r} 1 0 0)">{_path(data)}</g></g>'
    )


def svg_use(shape: Shape) -> bytes:
    """Defined once, used elsewhere, by both kinds of reference."""
    data = absolute(shape, lambda p: _down(p) - (20 + 30j))
    path = _path(data, 'id="a"')
    return _svg(
        f'<defs><g id="b">{path}</g></defs>'
        '<use xlink:href="#b" x="20" transform="translate(0,30)"/>'
    )


def svg_symbol(shape: Shape) -> bytes:
    """A symbol with a viewBox of its own."""
    data = absolute(shape, _enlarged(0.5), 0.5)
    half = PAPER_MM / 2
    return _svg(
        f'<symbol id="s" viewBox="0 0 {half} {half}">{_path(data)}</symbol>'
        f'<use href="#s" width="{PAPER_MM}" height="{PAPER_MM}"/>'
    )


def svg_nested(shape: Shape) -> bytes:
    """An svg in an svg, with its own place, size and viewBox."""
    data = absolute(shape, lambda p: (_down(p) - (100 + 50j)) * 4, 4.0)
    return _svg(
        f'<svg x="100" y="50" width="25%" height="25%" viewBox="0 0 {PAPER_MM} '
        f'{PAPER_MM}" overflow="visible">{_path(data)}</svg>'
    )


def svg_styled(shape: Shape) -> bytes:
    """Transform and paint from a style sheet."""
    data = absolute(shape, lambda p: _down(p) - (40 + 10j))
    sheet = ".moved { transform: translate(40px, 10px); fill: none; stroke: red }"
    return _svg(f'<style>{sheet}</style><path class="moved" d="{data}"/>')


def svg_switched(shape: Shape) -> bytes:
    """Inside a link and a switch, whose first child that can be drawn is drawn."""
    return _svg(
        "<switch><foreignObject requiredExtensions='none'/>"
        f"<a xlink:href='#x'>{_path(absolute(shape))}</a>"
        f"{_path('M0 0H9V9')}</switch>"
    )


def svg_prefixed(shape: Shape) -> bytes:
    """With a namespace prefix, an entity and a document type."""
    data = absolute(shape)
    side = f'width="{PAPER_MM}mm" height="{PAPER_MM}mm" viewBox="0 0 1000 1000"'
    return (
        '<?xml version="1.0" encoding="UTF-8"?>'
        '<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]>'
        f'<s:svg xmlns:s="&ns;" {side}><s:path stroke="#000" d="{data}"/></s:svg>'
    ).encode()


def svg_packed(shape: Shape) -> bytes:
    """Packed, and in UTF-16 with a byte order mark."""
    text = svg_absolute(shape).decode()
    return gzip.compress(
        f'<?xml version="1.0" encoding="UTF-16"?>{text}'.encode("utf-16"), mtime=0
    )


SVG_WRITERS: tuple[Callable[[Shape], bytes], ...] = (
    svg_absolute,
    svg_relative,
    svg_shorthand,
    svg_pixels,
    svg_inches,
    svg_shifted_view,
    svg_transforms,
    svg_mirrored,
    svg_skewed,
    svg_use,
    svg_symbol,
    svg_nested,
    svg_styled,
    svg_switched,
    svg_prefixed,
    svg_packed,
)


# DXF


def _xy(point: complex) -> tuple[float, float]:
    return point.real, point.imag


def _text(document: Document) -> bytes:
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def add_loose(space: Any, shape: Shape, scale: float = 1.0) -> None:
    """Add a LINE, ARC or SPLINE for every side."""
    for start, side in shape.drawn():
        if side.handles:
            control = [p * scale for p in (start, *side.handles, side.end)]
            space.add_open_spline([_xy(p) for p in control], degree=3)
        elif side.bulge:
            centre, radius, _ = circle_of(start, side)
            ends = (start, side.end) if side.bulge > 0 else (side.end, start)
            degrees = [math.degrees(cmath.phase(p - centre)) for p in ends]
            space.add_arc(_xy(centre * scale), radius * scale, *degrees)
        else:
            space.add_line(_xy(start * scale), _xy(side.end * scale))


def _bulged(shape: Shape) -> list[tuple[float, float, float]]:
    return [(*_xy(start), side.bulge) for start, side in shape.drawn()]


def dxf_loose(shape: Shape) -> bytes:
    """Lines and arcs one by one, in millimetres."""
    document = new("R2010", units=MILLIMETRES)
    add_loose(document.modelspace(), shape)
    return _text(document)


def dxf_turned(shape: Shape) -> bytes:
    """The same in an order of their own and from either end."""
    document = new("R2000", units=MILLIMETRES)
    count = len(shape.sides)
    drawn = shape.drawn()
    for i in [*range(0, count, 2), *range(1, count, 2)]:
        start, side = drawn[i]
        back = Side(start, -side.bulge, side.handles[::-1])
        way = Shape(side.end, (back,)) if i % 3 else Shape(start, (side,))
        add_loose(document.modelspace(), way)
    return _text(document)


def dxf_inches(shape: Shape) -> bytes:
    """In inches, and R2007 as a binary file."""
    document = new("R2007", units=INCHES)
    add_loose(document.modelspace(), shape, 1 / 25.4)
    stream = io.BytesIO()
    document.write(stream, fmt="bin")
    return stream.getvalue()


def dxf_bulges(shape: Shape) -> bytes:
    """A LWPOLYLINE."""
    document = new("R2018", units=MILLIMETRES)
    document.modelspace().add_lwpolyline(_bulged(shape), "xyb", close=True)
    return _text(document)


def dxf_repeated(shape: Shape) -> bytes:
    """A LWPOLYLINE that is closed by its first vertex once more."""
    document = new("R2013", units=MILLIMETRES)
    points = [*_bulged(shape), (*_xy(shape.start), 0.0)]
    document.modelspace().add_lwpolyline(points, "xyb", close=True)
    return _text(document)


def dxf_below(shape: Shape) -> bytes:
    """A LWPOLYLINE seen from below: x and bulges change signs."""
    document = new("R2004", units=MILLIMETRES)
    points = [(-x, y, -bulge) for x, y, bulge in _bulged(shape)]
    document.modelspace().add_lwpolyline(
        points, "xyb", close=True, dxfattribs={"extrusion": (0, 0, -1)}
    )
    return _text(document)


def dxf_old(shape: Shape) -> bytes:
    """R12 as small writers write it: a POLYLINE in ENTITIES, in centimetres."""
    rows = ["0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", "5", "0", "ENDSEC"]
    rows += ["0", "SECTION", "2", "ENTITIES", "0", "POLYLINE", "8", "1", "66", "1"]
    rows += ["70", "1"]
    for x, y, bulge in _bulged(shape):
        rows += ["0", "VERTEX", "8", "1", "10", repr(x / 10), "20", repr(y / 10)]
        rows += ["42", repr(bulge)] if bulge else []
    rows += ["0", "SEQEND", "0", "ENDSEC", "0", "EOF"]
    return "\r\n".join([*rows, ""]).encode()


def dxf_splines(shape: Shape) -> bytes:
    """Everything a SPLINE: of degree 1, of degree 3, and rational ones for arcs."""
    document = new("R2010", units=MILLIMETRES)
    space = document.modelspace()
    for start, side in shape.drawn():
        if side.handles:
            control = [_xy(p) for p in (start, *side.handles, side.end)]
            space.add_open_spline(control, degree=3)
        elif side.bulge:
            _rational(space, start, side)
        else:
            space.add_open_spline([_xy(start), _xy(side.end)], degree=1)
    return _text(document)


def _rational(space: Any, start: complex, side: Side) -> None:
    """A rational quadratic of two spans: Piegl, Tiller, The NURBS Book, section 7.3."""
    centre, _, angle = circle_of(start, side)
    quarter = cmath.exp(1j * angle / 4)
    corner = 1 / math.cos(angle / 4)
    spokes = [quarter**k * (corner if k % 2 else 1) for k in range(5)]
    points = [_xy(centre + (start - centre) * spoke) for spoke in spokes]
    spline = space.add_rational_spline(points, [1, 1 / corner, 1, 1 / corner, 1], 2)
    spline.knots = [0, 0, 0, 1, 1, 2, 2, 2]


def _in_blocks(version: str, shape: Shape, turns: Sequence[dict[str, float]]) -> bytes:
    """A shape in blocks within blocks, each insert undone in the coordinates."""
    document = new(version, units=MILLIMETRES)
    names = [f"block {i}" for i in range(len(turns))]
    place: Callable[[complex], complex] = complex
    layout: Any = document.modelspace()
    for i, (name, look) in enumerate(zip(names, turns, strict=True)):
        block = document.blocks.new(name, base_point=(5.0 * i, 3.0))
        look_of = {key: value for key, value in look.items() if key not in {"x", "y"}}
        layout.add_blockref(name, (look["x"], look["y"]), look_of)
        place = _undone(place, look, complex(5.0 * i, 3.0))
        layout = block
    mirrored = math.prod(look["xscale"] * look["yscale"] for look in turns) < 0
    moved = Shape(
        place(shape.start),
        tuple(
            Side(
                place(side.end),
                -side.bulge if mirrored else side.bulge,
                tuple(place(handle) for handle in side.handles),
            )
            for side in shape.sides
        ),
    )
    add_loose(layout, moved)
    return _text(document)


def _undone(outer: Place, look: dict[str, float], base: complex) -> Place:
    turn = cmath.exp(-1j * math.radians(look["rotation"]))

    def place(point: complex) -> complex:
        at = (outer(point) - complex(look["x"], look["y"])) * turn
        return complex(at.real / look["xscale"], at.imag / look["yscale"]) + base

    return place


PLAIN = {"x": 0.0, "y": 0.0, "xscale": 1.0, "yscale": 1.0, "rotation": 0.0}
TURNED = {"x": 40.0, "y": -7.5, "xscale": 1.0, "yscale": 1.0, "rotation": 33.0}
HALVED = {"x": -4.0, "y": 9.0, "xscale": 0.5, "yscale": 0.5, "rotation": 200.0}
MIRRORED = {"x": 3.0, "y": 8.0, "xscale": -2.0, "yscale": 2.0, "rotation": 75.0}


def dxf_insert(shape: Shape) -> bytes:
    """In a block that is turned, enlarged and mirrored."""
    return _in_blocks("R12" if not _has_cubics(shape) else "R2000", shape, [MIRRORED])


def dxf_nested(shape: Shape) -> bytes:
    """In a block in a block in a block."""
    return _in_blocks("R2018", shape, [TURNED, MIRRORED, HALVED])


def dxf_piece_block(shape: Shape) -> bytes:
    """In a block put in its place as it is, as pattern programs write pieces."""
    return _in_blocks("R2000", shape, [PLAIN])


def dxf_stretched(shape: Shape) -> bytes:
    """Lines and cubics in a block that is stretched: arcs would be ellipses there."""
    stretched = {**TURNED, "yscale": 3.0}
    return _in_blocks("R2010", shape, [stretched])


def _has_cubics(shape: Shape) -> bool:
    return any(side.handles for side in shape.sides)


DXF_WRITERS: tuple[Callable[[Shape], bytes], ...] = (
    dxf_loose,
    dxf_turned,
    dxf_inches,
    dxf_splines,
    dxf_insert,
    dxf_nested,
    dxf_piece_block,
)
"""These write every shape."""

DXF_POLYLINE_WRITERS: tuple[Callable[[Shape], bytes], ...] = (
    dxf_bulges,
    dxf_repeated,
    dxf_below,
    dxf_old,
)
"""These write shapes without cubics."""

"""The same shape in every dialect of SVG and DXF is the same outline, to 1e-6 mm."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from dialects import (
    DXF_POLYLINE_WRITERS,
    DXF_WRITERS,
    PAPER_MM,
    SVG_WRITERS,
    Shape,
    Side,
    circle_of,
    dxf_stretched,
    shapes,
    without_arcs,
)
from hypothesis import given, settings

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.measured import measure, points_at_lengths, signed_area
from edgefinder.geometry.path import Path as LinePath
from edgefinder.geometry.path import reverse_path, rotate_path
from edgefinder.geometry.segments import (
    Segments,
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
    start_points,
)
from edgefinder.importers.chaining import chain_lines
from edgefinder.importers.dxf import document as dxf_document
from edgefinder.importers.formats import read_drawing

ACCURACY_MM = 1e-6

Writer = Callable[[Shape], bytes]


def meant(shape: Shape) -> LinePath:
    """The outline that every file must draw."""
    return LinePath(
        concatenate([side_segments(start, side) for start, side in shape.drawn()]),
        closed=True,
    )


def side_segments(start: complex, side: Side) -> Segments:
    if side.handles:
        return cubic_segments([start, *side.handles, side.end])
    if side.bulge:
        centre, _, angle = circle_of(start, side)
        spoke = start - centre
        return arc_segments(centre, spoke, 1j * spoke, 0.0, angle)
    return line_segments(start, side.end)


def read_outline(folder: Path, data: bytes, name: str) -> LinePath:
    """Read a file; return its one outline, loose lines chained."""
    path = folder / name
    path.write_bytes(data)
    drawing = read_drawing(path).drawing
    chained = chain_lines(drawing.lines, tolerance=JOIN_TOLERANCE_MM)
    assert chained.leftover == ()
    (outline,) = chained.outlines
    return outline.path


def from_same_place(path: LinePath, start: complex) -> LinePath:
    """Run a path anticlockwise from the corner nearest to a point."""
    if signed_area(path) < 0:
        path = reverse_path(path)
    nearest = np.argmin(abs(start_points(path.segments) - start))
    return rotate_path(path, int(nearest))


def assert_same(found: LinePath, expected: LinePath) -> None:
    ours = measure(from_same_place(found, expected.start))
    theirs = measure(from_same_place(expected, expected.start))
    assert ours.length == pytest.approx(theirs.length, abs=ACCURACY_MM)
    stations = np.linspace(0, theirs.length, 60, endpoint=False)
    apart = points_at_lengths(ours, stations) - points_at_lengths(theirs, stations)
    assert abs(apart).max() < ACCURACY_MM
    # Every corner is where a segment begins: edges end there.
    corners = start_points(theirs.path.segments)
    ends = start_points(ours.path.segments)
    gaps = abs(corners[:, np.newaxis] - ends).min(axis=1)
    assert gaps.max() < ACCURACY_MM


def centred(path: LinePath) -> LinePath:
    """Move what was read from the middle of the paper to the origin.

    The reader lays the upper left corner of the paper on the origin.
    """
    return moved(path, -complex(PAPER_MM, -PAPER_MM) / 2)


@pytest.mark.parametrize("write", SVG_WRITERS, ids=lambda write: write.__name__)
@given(shapes(cubics=True))
@settings(max_examples=15)
def test_a_shape_in_any_dialect_of_svg_is_the_same_outline(
    tmp_path_factory: pytest.TempPathFactory, write: Writer, shape: Shape
) -> None:
    folder = tmp_path_factory.mktemp("svg")

    found = read_outline(folder, write(shape), "front.svg")

    # That view is in the middle of a page which is half as wide again.
    shift = PAPER_MM / 4 if write.__name__ == "svg_shifted_view" else 0.0
    assert_same(moved(centred(found), -shift), meant(shape))


def moved(path: LinePath, by: complex) -> LinePath:
    control = path.segments.control.copy()
    control[:, 0] += by
    control[path.segments.kind != 2, 1:] += by
    return LinePath(Segments(path.segments.kind, control), path.closed)


@pytest.mark.parametrize("write", DXF_WRITERS, ids=lambda write: write.__name__)
@given(shapes(cubics=True))
@settings(max_examples=15)
def test_a_shape_in_any_dialect_of_dxf_is_the_same_outline(
    tmp_path_factory: pytest.TempPathFactory, write: Writer, shape: Shape
) -> None:
    folder = tmp_path_factory.mktemp("dxf")

    found = read_outline(folder, write(shape), "front.dxf")

    assert_same(found, meant(shape))


@pytest.mark.parametrize(
    "write", DXF_POLYLINE_WRITERS, ids=lambda write: write.__name__
)
@pytest.mark.parametrize("least_bytes", [0, 2**30])
@given(shapes(cubics=False))
@settings(max_examples=15)
def test_a_shape_as_any_polyline_is_the_same_outline(
    tmp_path_factory: pytest.TempPathFactory,
    write: Writer,
    least_bytes: int,
    shape: Shape,
) -> None:
    """Read by the library and in bulk."""
    folder = tmp_path_factory.mktemp("polyline")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(dxf_document, "LEAST_BYTES", least_bytes)
        found = read_outline(folder, write(shape), "front.dxf")

    assert_same(found, meant(shape))


@given(shapes(cubics=True).map(without_arcs))
@settings(max_examples=15)
def test_a_shape_in_a_stretched_block_is_the_same_outline(
    tmp_path_factory: pytest.TempPathFactory, shape: Shape
) -> None:
    folder = tmp_path_factory.mktemp("stretched")

    found = read_outline(folder, dxf_stretched(shape), "front.dxf")

    assert_same(found, meant(shape))


ROUNDED = """M40 20H280A30 20 0 0 1 310 40V200A30 20 0 0 1 280 220
H40A30 20 0 0 1 10 200V40A30 20 0 0 1 40 20Z"""
ROUND = """M300 150A100 100 0 0 1 200 250 100 100 0 0 1 100 150
100 100 0 0 1 200 50 100 100 0 0 1 300 150Z"""
OVAL = """M300 150A100 40 0 0 1 200 190 100 40 0 0 1 100 150
100 40 0 0 1 200 110 100 40 0 0 1 300 150Z"""
CUBICS = """M0 0C33.333333333333336 66.66666666666667
66.66666666666667 66.66666666666667 100 0
S166.66666666666667 -66.66666666666667 200 0"""

FIGURES = {
    "rect": ('<rect x="10" y="20" width="300" height="200" rx="30" ry="20"/>', ROUNDED),
    "circle": ('<circle cx="200" cy="150" r="100"/>', ROUND),
    "ellipse": ('<ellipse cx="200" cy="150" rx="100" ry="40"/>', OVAL),
    "polygon": ('<polygon points="10,20 300,20 300 200"/>', "m10 20 290 0 0 180z"),
    "polyline": (
        '<polyline points="10,20,300,20,300,200,10,20"/>',
        "M10,20 300,20 300,200 10,20",
    ),
    "line": ('<line x1="10" y1="20" x2="300" y2="200"/>', "M10 20 300 200"),
    "quadratics": ('<path d="M0 0Q50 100 100 0T200 0"/>', CUBICS),
}
"""Each shape and the path that it is equivalent to: SVG 2, chapter 10."""


@pytest.mark.parametrize("name", FIGURES)
@pytest.mark.parametrize("turn", ["", "rotate(20) scale(1.5,0.7) skewX(12)"])
def test_a_basic_shape_is_the_path_that_the_standard_says(
    tmp_path: Path, name: str, turn: str
) -> None:
    paths = []
    for i, body in enumerate((FIGURES[name][0], f'<path d="{FIGURES[name][1]}"/>')):
        path = tmp_path / f"{i}.svg"
        path.write_text(
            '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" '
            f'viewBox="0 0 100 100" stroke="red"><g transform="{turn}">{body}</g></svg>'
        )
        (line,) = read_drawing(path).drawing.lines
        paths.append(line.path)

    ours, theirs = (measure(path) for path in paths)
    assert ours.length == pytest.approx(theirs.length, abs=ACCURACY_MM)
    stations = np.linspace(0, theirs.length, 50, endpoint=not theirs.path.closed)
    apart = points_at_lengths(ours, stations) - points_at_lengths(theirs, stations)
    assert abs(apart).max() < ACCURACY_MM


def test_the_shapes_are_what_they_say() -> None:
    """A square with a half circle outwards on one side, in closed form."""
    shape = Shape(0, (Side(100, 1.0), Side(100 + 100j), Side(100j), Side(0)))

    path = meant(shape)

    assert lengths(path.segments).sum() == pytest.approx(300 + 50 * np.pi)
    assert signed_area(path) == pytest.approx(10000 + 1250 * np.pi)

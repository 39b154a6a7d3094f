"""Whole interchange files, and other dialects of the same piece."""

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from dxf_drawings import drawing as new_drawing
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from interchange_files import (
    ARMHOLE,
    CORNERS,
    NECKLINE,
    STYLE,
    Block,
    Dialect,
    bib,
    codes,
    file_of,
    interchange,
    line,
    only_piece,
    outline,
    point,
    points,
    polyline,
    read_file,
    text,
)

from edgefinder.errors import DrawingError, EdgefinderError
from edgefinder.geometry.bends import sharpest_bends
from edgefinder.geometry.measured import MeasuredPath, measure, subpath
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.path import Path as Outline
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.interchange.reading import read_interchange
from edgefinder.importers.svg.reading import read_svg

KEYS = {
    "Piece Name": "Bib",
    "Size": "M",
    "Quantity": "1,1",
    "Material": "lawn",
    "Category": "front",
    "Annotation": "cut with care",
    "Rotation": "0",
    "Flip": "N",
    "Tilt": "0",
    "Fold": "N",
}


def edges(outline: Outline, corners: Sequence[complex]) -> tuple[MeasuredPath, ...]:
    """The stretches of an outline between its corners, from the first corner on."""
    measured = measure(outline)
    stations, apart = nearest_stations(measured, np.array(corners))
    assert apart.max() < 1e-6
    first = stations[0]
    ordered = np.append((stations - first) % measured.length, measured.length)
    if ordered[1] > ordered[2]:  # it runs the other way round
        ordered = ordered[::-1]
    cuts = np.sort(ordered)
    return tuple(
        measure(subpath(measured, first + a, first + b))
        for a, b in pairwise(cuts.tolist())
    )


def test_all_that_is_said_of_a_piece_is_read(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(KEYS))

    (piece,) = result.pieces
    assert (piece.name, piece.size, piece.quantity) == ("Bib", "M", (1, 1))
    assert piece.is_mirrored_pair
    assert (piece.material, piece.category) == ("lawn", "front")
    assert piece.annotation == "cut with care"
    assert dict(piece.keys) == KEYS
    assert piece.where == 'pattern.dxf, block "BIB-M"'
    assert codes(result) == []


def test_the_style_is_read_from_the_entities(tmp_path: Path) -> None:
    style = interchange(tmp_path, bib()).style

    assert (style.name, style.sample_size) == ("Apron", "M")
    assert (style.grade_rule_table, style.units) == ("APRON", "METRIC")
    assert dict(style.keys) == STYLE


def test_the_style_may_stand_in_the_blocks(tmp_path: Path) -> None:
    block = bib({"Piece Name": "Bib", "STYLE NAME": "Apron", "Units": "METRIC"})

    result = interchange(tmp_path, block, dialect=Dialect(style={}))

    assert (result.style.name, result.style.units) == ("Apron", "METRIC")
    assert codes(result) == []


def test_two_alike_are_no_mirrored_pair(tmp_path: Path) -> None:
    piece = only_piece(tmp_path, bib({"Piece Name": "Bib", "Quantity": "2"}))

    assert piece.quantity == (2, 0)
    assert not piece.is_mirrored_pair


def test_a_piece_without_keys_has_the_name_of_its_block(tmp_path: Path) -> None:
    piece = only_piece(tmp_path, bib({}, name="LEFT FRONT 3"))

    assert (piece.name, piece.size, piece.quantity) == ("LEFT FRONT 3", "M", None)


def test_unknown_keys_are_reported_together(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib({**KEYS, "Colour": "red", "Shape": "round"}))

    assert codes(result) == ["unknown-key"]
    assert '"Colour", "Shape"' in result.findings[0].message


def test_one_piece_for_each_block_and_size(tmp_path: Path) -> None:
    blocks = [
        bib({"Piece Name": "Bib", "Size": size}, name=f"BIB {size}") for size in "SML"
    ]

    pieces = interchange(tmp_path, *blocks).pieces

    assert [(p.name, p.size) for p in pieces] == [("Bib", s) for s in "SML"]


def test_a_block_inserted_twice_is_one_piece(tmp_path: Path) -> None:
    block = bib(KEYS, point(100, 4))
    twice = Block(block.name, block.content, [(0j, 0), (500 + 0j, 0)])

    result = interchange(tmp_path, twice)

    assert len(result.pieces) == 1
    assert len(result.pieces[0].notches) == 1
    assert codes(result) == ["several-inserts"]


def test_a_turned_piece_stays_turned_and_says_how_much(tmp_path: Path) -> None:
    grain = line(20 + 50j, 220 + 50j, 7)
    upright = bib(KEYS, grain)
    turned = Block(upright.name, upright.content, [(100j, 30.0)])

    flat, piece = only_piece(tmp_path, upright), only_piece(tmp_path, turned)

    assert flat.grain_angle == 0
    assert piece.grain_angle == pytest.approx(np.radians(30))
    turn = np.exp(1j * np.radians(30))
    assert piece.corners == pytest.approx(100j + flat.corners * turn)
    assert measure(piece.boundary.path).length == pytest.approx(
        measure(flat.boundary.path).length
    )


def test_a_piece_without_grain_line_has_no_angle(tmp_path: Path) -> None:
    piece = only_piece(tmp_path, bib())

    assert piece.grain_line is None
    assert piece.grain_angle is None


def test_a_mirror_line_on_the_boundary_is_the_fold(tmp_path: Path) -> None:
    piece = only_piece(tmp_path, bib(KEYS, line(300j, 0, 6)))

    assert piece.fold_line == (300j, 0)


def test_a_mirror_line_inside_is_no_fold(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(KEYS, line(100 + 0j, 100 + 330j, 6)))

    assert result.pieces[0].fold_line is None
    assert codes(result) == ["fold-inside"]


def test_layers_are_told_apart(tmp_path: Path) -> None:
    hole = [100 + 100j, 140 + 100j, 140 + 140j, 100 + 140j]
    result = interchange(
        tmp_path,
        bib(
            KEYS,
            polyline(hole, 11, closed=True),
            polyline([z - 60 for z in hole], 8, closed=True),
            line(20, 20 + 100j, 9),
            line(30, 30 + 100j, 10),
            line(40, 40 + 100j, 5),
            polyline(hole, 12, closed=True),
            point(200 + 100j, 13),
            line(245 + 100j, 255 + 100j, 13),
            line(250 + 95j, 250 + 105j, 13),
            text("sew last", 0, 15),
        ),
    )

    (piece,) = result.pieces
    assert [measure(c.path).length for c in piece.cutouts] == [160]
    assert [measure(i.path).length for i in piece.internal] == [160]
    assert sorted(piece.drill_holes.tolist(), key=abs) == [200 + 100j, 250 + 100j]
    assert codes(result) == []


def test_a_closed_line_of_two_points_is_a_line(tmp_path: Path) -> None:
    slash = [100 + 100j, 150 + 100j]

    piece = only_piece(
        tmp_path, bib(KEYS, polyline(slash, 8, closed=True), points(slash, 3))
    )

    assert measure(piece.internal[0].path).length == 100


def test_a_line_that_is_one_point_is_left_out(tmp_path: Path) -> None:
    dot = [100 + 100j, 100.004 + 100j, 100 + 100j]

    piece = only_piece(tmp_path, bib(KEYS, polyline(dot, 8)))

    assert piece.internal == ()


def test_doubled_points_at_the_end_of_a_line_are_one(tmp_path: Path) -> None:
    inner = [100 + 100j, 150 + 100j, 150.004 + 100j, 150 + 100j]

    piece = only_piece(tmp_path, bib(KEYS, polyline(inner, 8)))

    assert len(piece.internal[0].path.segments) == 1
    assert piece.internal[0].path.end == 150 + 100j


def test_annotation_texts_stand_in_for_the_key(tmp_path: Path) -> None:
    block = bib({"Piece Name": "Bib"}, text("sew last", 0, 15), text("press", 0, 15))

    assert only_piece(tmp_path, block).annotation == "sew last; press"


def test_a_crossed_drill_mark_is_one_hole(tmp_path: Path) -> None:
    cross = [*line(245 + 100j, 250 + 100j, 13), *line(250 + 100j, 255 + 100j, 13)]

    piece = only_piece(tmp_path, bib(KEYS, cross))

    assert piece.drill_holes.tolist() == [250 + 100j]


def test_quality_copies_are_skipped(tmp_path: Path) -> None:
    vertices, _ = outline()
    copies = [polyline(vertices, layer, closed=True) for layer in (84, 85, 86, 87)]

    result = interchange(tmp_path, bib(KEYS, *copies))

    assert codes(result) == []
    assert result.pieces[0].internal == ()


def test_other_layers_are_reported(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(KEYS, line(20, 40, 99)))

    assert codes(result) == ["unknown-layer"]
    assert '"99"' in result.findings[0].message


def inset(by: float) -> list[complex]:
    left, right, low, high = by, 300 - by, by, 400 - by
    corners = ((left, low), (right, low), (right, high), (left, high))
    return [complex(x, y) for x, y in corners]


def test_the_sewing_line_lies_inside_the_cut_line(tmp_path: Path) -> None:
    cut, sewing = inset(0), inset(10)
    content = [*polyline(cut, 1, closed=True), *polyline(sewing, 14, closed=True)]

    result = interchange(tmp_path, bib(KEYS, boundary=content, marks=False))

    (piece,) = result.pieces
    assert piece.sewing_line is not None
    assert measure(piece.boundary.path).length == pytest.approx(1400)
    assert measure(piece.sewing_line.path).length == pytest.approx(1320)
    _, gap = nearest_stations(
        measure(piece.sewing_line.path), np.array([150, 300 + 200j])
    )
    assert gap == pytest.approx(10)


def test_a_sewing_line_on_layer_1_is_recognised(tmp_path: Path) -> None:
    cut, sewing = inset(0), inset(10)
    content = [*polyline(sewing, 1, closed=True), *polyline(cut, 14, closed=True)]

    result = interchange(tmp_path, bib(KEYS, boundary=content, marks=False))

    (piece,) = result.pieces
    assert piece.sewing_line is not None
    assert measure(piece.boundary.path).length == pytest.approx(1400)
    assert measure(piece.sewing_line.path).length == pytest.approx(1320)
    assert "sewing-line-outside" in codes(result)


def test_lines_that_do_not_close_are_kept_inside(tmp_path: Path) -> None:
    scattered = [*line(50 + 50j, 100 + 50j, 11), *line(50 + 90j, 100 + 99j, 11)]

    result = interchange(tmp_path, bib(KEYS, scattered))

    assert len(result.pieces[0].internal) == 2
    assert codes(result) == ["open-inner-line"]


@pytest.mark.parametrize("encoding", ["gb2312", "cp1252", "utf-8"])
@pytest.mark.parametrize("header", [False, True])
def test_texts_are_read_in_their_own_letters(
    tmp_path: Path, encoding: str, header: bool
) -> None:
    chinese = "\u524d\u7247", "\u68c9\u5e03"  # front piece, cotton cloth
    western = "\u00c4rmel vorn", "Gr\u00f6\u00dfe M"
    name, cloth = chinese if encoding == "gb2312" else western
    block = bib({"Piece Name": name, "Fabric": cloth}, name=name)
    dialect = Dialect(encoding=encoding, header=header)

    piece = only_piece(tmp_path, block, dialect=dialect)

    assert (piece.name, piece.material) == (name, cloth)
    assert piece.boundary.groups == (name,)


def test_a_file_without_header_and_tables_is_read(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(KEYS), dialect=Dialect(header=False))

    assert result.unit_mm == 1
    assert codes(result) == []


def test_arcs_of_a_boundary_stay_exact(tmp_path: Path) -> None:
    document = new_drawing()
    block = document.blocks.new("A")
    rows = [(0, 0, 0), (200, 0, 1), (200, 100, 0), (0, 100, 0)]
    block.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": "1"})
    block.add_text("Piece Name: Tab", dxfattribs={"layer": "1"})
    document.modelspace().add_blockref("A", (0, 0))
    path = tmp_path / "tab.dxf"
    document.saveas(path)

    (piece,) = read_interchange(read_dxf(path)).pieces

    assert measure(piece.boundary.path).length == pytest.approx(
        500 + 50 * np.pi, rel=1e-14
    )


def test_a_drawing_without_such_blocks_is_refused(tmp_path: Path) -> None:
    document = new_drawing()
    document.modelspace().add_line((0, 0), (300, 0))
    path = tmp_path / "plain.dxf"
    document.saveas(path)

    with pytest.raises(DrawingError, match="no block draws a boundary on layer 1"):
        read_interchange(read_dxf(path))


def svg_bib(folder: Path) -> Outline:
    """The bib as an SVG draws it, with exact arcs."""
    a, b, c, d, e, f = (f"{z.real:g} {-z.imag:g}" for z in CORNERS)
    armhole, neckline = (f"A {q[1]:g} {q[2]:g} 0 0" for q in (ARMHOLE, NECKLINE))
    path = f"M {a} L {b} L {c} {armhole} 1 {d} L {e} {neckline} 1 {f} Z"
    (folder / "bib.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="500mm" '
        f'viewBox="0 -450 400 500"><path d="{path}" stroke="#000"/></svg>',
        encoding="utf-8",
    )
    (drawn,) = read_svg(folder / "bib.svg").drawing.lines
    return drawn.path


def dxf_bib(folder: Path, count: int | None) -> Outline:
    """The bib as a plain DXF draws it: with ellipses, or as a polyline."""
    document = new_drawing()
    vertices, _ = outline(count or 2)
    document.modelspace().add_lwpolyline(
        [(z.real, z.imag) for z in vertices], close=True
    )
    document.saveas(folder / "bib.dxf")
    (drawn,) = read_dxf(folder / "bib.dxf").drawing.lines
    return drawn.path


def moved_to_millimetres(path: Outline) -> list[complex]:
    """Corners as they lie in an SVG whose viewBox begins elsewhere."""
    by = path.start - CORNERS[0]
    return [z + by for z in CORNERS]


@pytest.mark.parametrize(("count", "close"), [(5, 1e-6), (9, 1e-8), (200, 1e-12)])
def test_svg_and_interchange_have_the_same_edges(
    tmp_path: Path, count: int, close: float
) -> None:
    drawn = svg_bib(tmp_path)
    exact = edges(drawn, moved_to_millimetres(drawn))

    piece = only_piece(tmp_path, bib(count=count))
    read = edges(piece.boundary.path, CORNERS)

    assert len(read) == len(exact) == 6
    for edge, other in zip(read, exact, strict=True):
        assert edge.length == pytest.approx(other.length, rel=close)


@pytest.mark.parametrize(("count", "close"), [(5, 1e-3), (200, 1e-7)])
def test_svg_and_interchange_have_the_same_bends(
    tmp_path: Path, count: int, close: float
) -> None:
    drawn = svg_bib(tmp_path)
    exact = edges(drawn, moved_to_millimetres(drawn))
    piece = only_piece(tmp_path, bib(count=count))
    read = edges(piece.boundary.path, CORNERS)

    bends = zip(sharpest_bends(read), sharpest_bends(exact), strict=True)

    found = [(one.right, other.right) for one, other in bends]
    radii = [(r.radius, e.radius) for r, e in found if r is not None and e is not None]
    assert sum(one is None for one, _ in found) == 4
    assert [r for r, _ in radii] == pytest.approx([e for _, e in radii], rel=close)
    # Both curves are quarters: the sharpest bend is b^2/a at an end.
    assert radii[0][1] == pytest.approx(100**2 / 150)
    assert radii[1][1] == pytest.approx(100**2 / 140)


def test_a_dense_plain_polyline_has_the_same_edges(tmp_path: Path) -> None:
    # 2,000 chords to a quarter fall short of the curve by 1e-7 of it.
    plain = edges(dxf_bib(tmp_path, 2001), CORNERS)

    piece = only_piece(tmp_path, bib(count=2001))
    read = edges(piece.boundary.path, CORNERS)

    for edge, other in zip(read, plain, strict=True):
        assert edge.length == pytest.approx(other.length, rel=1e-6)


def test_a_piece_of_straight_edges_is_the_same_in_all_three(tmp_path: Path) -> None:
    square = inset(0)
    content = [*polyline(square, 1, closed=True), *points(square, 2)]

    piece = only_piece(tmp_path, bib(KEYS, boundary=content, marks=False))

    lengths = [e.length for e in edges(piece.boundary.path, square)]
    assert lengths == [300, 400, 300, 400]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(st.data())
def test_nothing_but_our_own_error_comes_of_damaged_files(
    tmp_path: Path, data: st.DataObject
) -> None:
    extra = [*point(100, 4, depth=5), *text("# 1", 0), *line(0, 300j, 6)]
    lines = file_of([bib(KEYS, extra)]).decode("ascii").splitlines()
    start = data.draw(st.integers(10, len(lines) - 2))
    count = data.draw(st.integers(0, 20))
    other = data.draw(
        st.lists(
            st.sampled_from(["0", "8", "10", "POINT", "VERTEX", "1e9", "-3", "TEXT"])
        )
    )
    path = tmp_path / "pattern.dxf"
    path.write_text("\n".join([*lines[:start], *other, *lines[start + count :]]) + "\n")

    try:
        result = read_interchange(read_dxf(path))
    except EdgefinderError:
        return

    assert all(piece.boundary.path.closed for piece in result.pieces)


@given(st.data())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
def test_any_marked_polygon_can_be_read(tmp_path: Path, data: st.DataObject) -> None:
    grid = st.integers(-150, 150)
    vertices = data.draw(
        st.lists(st.builds(complex, grid, grid), min_size=3, max_size=12, unique=True)
    )
    flags = [data.draw(st.sampled_from([2, 3, 0])) for _ in vertices]
    content = polyline(vertices, 1, closed=True)
    for at, layer in zip(vertices, flags, strict=True):
        content += point(at, layer) if layer else []

    try:
        piece = only_piece(tmp_path, bib(KEYS, boundary=content, marks=False))
    except DrawingError:
        return

    ends = piece.boundary.path
    assert ends.closed
    assert np.isfinite(ends.segments.control).all()
    assert ends.gap < 1e-9


def test_reading_again_gives_the_same(tmp_path: Path) -> None:
    reading = read_file(tmp_path, bib(KEYS), bib(texts_only(), name="B"))

    first, second = read_interchange(reading), read_interchange(reading)

    for one, other in zip(first.pieces, second.pieces, strict=True):
        assert np.array_equal(
            one.boundary.path.segments.control, other.boundary.path.segments.control
        )


def texts_only() -> dict[str, str]:
    return {"Piece Name": "Back"}

"""Grade rules: the file, and the sizes made by it."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from interchange_files import (
    CORNERS,
    STYLE,
    Block,
    Dialect,
    Tags,
    bib,
    codes,
    file_of,
    insert,
    interchange,
    line,
    outline,
    point,
    points,
    polyline,
    rule_file,
    text,
)

from edgefinder.errors import DrawingError, EdgefinderError
from edgefinder.geometry.measured import measure
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.interchange.drawn_piece import DrawnPiece, Interchange
from edgefinder.importers.interchange.grade_rules import (
    find_grade_rules,
    read_grade_rules,
)
from edgefinder.importers.interchange.reading import read_interchange

SQUARE = [0j, 200 + 0j, 200 + 100j, 100j]
RULES = {
    "1": "0,0 0,0 0,0",
    "2": "-10,0 0,0 20,0",
    "3": "-10,-5 0,0 20,10",
    "4": "0,-5 0,0 0,10",
}
"""Of a rectangle that grows to the right and upwards."""


def square(*extra: Tags, rules: str = "1234") -> Block:
    grade = [
        tag
        for at, rule in zip(SQUARE, rules, strict=True)
        for tag in text(f"# {rule}", at)
    ]
    content = [*polyline(SQUARE, 1, closed=True), *points(SQUARE, 2), *grade]
    keys = {"Piece Name": "Panel", "Size": "M"}
    return bib(keys, *extra, boundary=content, marks=False)


def graded(folder: Path, block: Block, rules: dict[str, str] = RULES) -> Interchange:
    file = read_grade_rules(rule_file("S M L", "M", rules))
    return interchange(folder, block, grade_rules=file)


def by_size(result: Interchange) -> dict[str | None, DrawnPiece]:
    return {piece.size: piece for piece in result.pieces}


def test_sizes_and_moves_are_read() -> None:
    rules = read_grade_rules(rule_file("S M L", "M", RULES))

    assert (rules.table, rules.units) == ("APRON", "METRIC")
    assert (rules.sizes, rules.sample_size) == (("S", "M", "L"), "M")
    assert rules.moves["3"].tolist() == [-10 - 5j, 0, 20 + 10j]
    assert rules.findings == ()


@pytest.mark.parametrize(
    "pairs",
    [
        "-10,-5 0,0 20,10",
        "-10.0,-5.0\t0.0,0.0\t20.0,10.0",
        "-10,-5\r\n0,0\r\n20,10",
        "-10.000-5.000+0.000+0.000+20.000+10.000",
        "-10.0 , -5.0 , 0 , 0 , 2e1 , 1.0E+01",
        "-1.0E+01,-.5E+01 .0,0. 20.,10.",
    ],
)
def test_pairs_are_read_however_they_run_together(pairs: str) -> None:
    rules = read_grade_rules(rule_file("S M L", "M", {"3": pairs}))

    assert rules.moves["3"].tolist() == [-10 - 5j, 0, 20 + 10j]


def test_numbers_may_stand_on_the_line_of_the_rule() -> None:
    data = b"SIZE LIST: 8 10\nSAMPLE SIZE: 8\nRULE: DELTA 1 0,0 1,2\n"

    assert read_grade_rules(data).moves["1"].tolist() == [0, 1 + 2j]


def test_a_move_of_the_sample_is_taken_off() -> None:
    rules = read_grade_rules(rule_file("S M L", "M", {"1": "0,0 5,1 10,2"}))

    assert rules.moves["1"].tolist() == [-5 - 1j, 0, 5 + 1j]


def test_moves_that_do_not_grow_may_be_steps() -> None:
    rules = read_grade_rules(
        rule_file("S M L XL", "M", {"1": "-5,0 0,0 5,0 5,0", "2": "0,0 0,0 0,0 0,0"})
    )

    assert [finding.code for finding in rules.findings] == ["grade-steps"]


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (rule_file("S M L", "XL", RULES), 'sample size "XL"'),
        (rule_file("", "M", RULES), "has no SIZE LIST"),
        (rule_file("S M S", "M", RULES), "names a size twice"),
        (rule_file("S M L", "M", {"7": "1,2 3,4"}), "rule 7 has 4 numbers"),
        (rule_file("S M", "M", {"7": "1,2 3,4 5"}), "rule 7 has 5 numbers"),
        (rule_file("S M", "M", {"7": "1e300,2 0,0"}), "beyond all measure"),
        (b"\x00\xff\xfe", "has no SIZE LIST"),
    ],
)
def test_rules_that_cannot_be_right_are_refused(data: bytes, message: str) -> None:
    with pytest.raises(DrawingError, match=message):
        read_grade_rules(data)


@given(st.binary(max_size=200))
def test_only_our_own_error_comes_of_any_bytes(data: bytes) -> None:
    for head in (b"", b"SIZE LIST: S M\nSAMPLE SIZE: M\nRULE: DELTA 1\n"):
        try:
            rules = read_grade_rules(head + data)
        except EdgefinderError:
            continue
        assert rules.sample_size in rules.sizes


def test_the_file_beside_the_drawing_is_found(tmp_path: Path) -> None:
    drawing, rules = tmp_path / "apron.dxf", tmp_path / "apron.RUL"
    rules.write_bytes(rule_file("S M L", "M", RULES))

    assert find_grade_rules(drawing) == rules
    assert read_grade_rules(rules).name == "apron.RUL"
    assert find_grade_rules(tmp_path / "bib.dxf") is None
    assert find_grade_rules(tmp_path / "none" / "bib.dxf") is None


def test_grade_points_move_as_their_rules_say(tmp_path: Path) -> None:
    result = graded(tmp_path, square())

    assert [piece.size for piece in result.pieces] == ["M", "S", "L"]
    pieces = by_size(result)
    assert pieces["M"].corners.tolist() == SQUARE
    assert pieces["S"].corners.tolist() == [0, 190, 190 + 95j, 95j]
    assert pieces["L"].corners.tolist() == [0, 220, 220 + 110j, 110j]
    assert {piece.name for piece in result.pieces} == {"Panel"}


def inserted(
    folder: Path, block: Block, *, angle: float, scales: tuple[float, float]
) -> Interchange:
    """Read a graded piece whose insert turns, mirrors or stretches it."""
    turned = Block(block.name, block.content, [(300 + 40j, angle)])
    text = file_of([turned]).decode()
    stretched = f"50\n{angle}\n41\n{scales[0]}\n42\n{scales[1]}\n"
    path = folder / "turned.dxf"
    path.write_text(text.replace(f"50\n{angle}\n", stretched))
    file = read_grade_rules(rule_file("S M L", "M", RULES))
    return read_interchange(read_dxf(path), grade_rules=file, unit_mm=1.0)


@pytest.mark.parametrize(
    ("angle", "scales"),
    [
        (0.0, (1.0, 1.0)),
        (90.0, (1.0, 1.0)),
        (33.0, (1.0, 1.0)),
        (0.0, (-1.0, 1.0)),
        (120.0, (1.0, -1.0)),
        (0.0, (2.0, 2.0)),
        (10.0, (1.0, 1.5)),
    ],
)
def test_moves_are_turned_mirrored_and_stretched_with_the_piece(
    tmp_path: Path, angle: float, scales: tuple[float, float]
) -> None:
    inside = (line(150 + 20j, 180 + 20j, 8), text("# 1", 150 + 20j))
    plain = by_size(graded(tmp_path, square(*inside, text("# 3", 180 + 20j))))
    block = square(*inside, text("# 3", 180 + 20j))

    found = by_size(inserted(tmp_path, block, angle=angle, scales=scales))

    def placed(points: object) -> list[complex]:
        z = np.asarray(points, dtype=complex)
        z = z.real * scales[0] + 1j * z.imag * scales[1]
        return [*(z * np.exp(1j * np.radians(angle)) + 300 + 40j)]

    for size in ("S", "M", "L"):
        piece, model = found[size], plain[size]
        apart = np.abs(np.subtract.outer(placed(model.corners), piece.corners))
        assert apart.min(axis=1) == pytest.approx(0, abs=1e-9)
        ends, own = (
            [one.internal[0].path.start, one.internal[0].path.end]
            for one in (model, piece)
        )
        assert own == pytest.approx(placed(ends), abs=1e-9)


def test_a_nested_insert_turns_the_moves_twice(tmp_path: Path) -> None:
    block = square()
    turned = Block("OUTER", insert("BIB-M", angle=30.0), [(5j, 60.0)])
    inner = Block(block.name, block.content, [])
    path = tmp_path / "turned.dxf"
    path.write_bytes(file_of([inner, turned]))
    file = read_grade_rules(rule_file("S M L", "M", RULES))

    large = by_size(read_interchange(read_dxf(path), grade_rules=file))["L"]

    expected = [1j * z + 5j for z in (0, 220, 220 + 110j, 110j)]
    apart = np.abs(np.subtract.outer(expected, large.corners))
    assert apart.min(axis=1) == pytest.approx(0, abs=1e-9)


SEWN = [10 + 10j, 190 + 10j, 190 + 90j, 10 + 90j]


def test_grade_points_on_the_sewing_line_move_the_cut_line_too(tmp_path: Path) -> None:
    grade = [
        tag
        for at, rule in zip(SEWN, "1234", strict=True)
        for tag in text(f"# {rule}", at)
    ]
    content = [*polyline(SQUARE, 1, closed=True), *polyline(SEWN, 14, closed=True)]
    block = bib({"Size": "M"}, boundary=[*content, *grade], marks=False)

    result = graded(tmp_path, block)

    large = by_size(result)["L"]
    assert large.corners.tolist() == [0, 220, 220 + 110j, 110j]
    assert large.sewing_line is not None
    assert measure(large.sewing_line.path).length == pytest.approx(2 * (200 + 90))
    assert "not-graded" not in codes(result)


def test_a_cut_line_on_layer_14_is_graded_by_the_points_of_layer_1(
    tmp_path: Path,
) -> None:
    grade = [
        tag
        for at, rule in zip(SEWN, "1234", strict=True)
        for tag in text(f"# {rule}", at)
    ]
    content = [*polyline(SEWN, 1, closed=True), *polyline(SQUARE, 14, closed=True)]
    block = bib({"Size": "M"}, boundary=[*content, *grade], marks=False)

    result = graded(tmp_path, block)

    assert by_size(result)["L"].corners.tolist() == [0, 220, 220 + 110j, 110j]
    assert "sewing-line-outside" in codes(result)


def test_an_outline_on_layer_14_alone_is_a_piece_and_graded(tmp_path: Path) -> None:
    grade = [
        tag
        for at, rule in zip(SQUARE, "1234", strict=True)
        for tag in text(f"# {rule}", at)
    ]
    content = [*polyline(SQUARE, 14, closed=True), *points(SQUARE, 2), *grade]
    sewn = bib({"Piece Name": "Net", "Size": "M"}, boundary=content, marks=False)
    file = read_grade_rules(rule_file("S M L", "M", RULES))
    other = Block("OTHER", square().content, [(900j, 0.0)])

    result = interchange(tmp_path, sewn, other, grade_rules=file)

    net = {piece.size: piece for piece in result.pieces if piece.name == "Net"}
    assert net["L"].corners.tolist() == [0, 220, 220 + 110j, 110j]
    assert net["M"].sewing_line is None
    assert codes(result).count("sewing-line-only") == 1


def test_points_between_are_blended_along_the_line(tmp_path: Path) -> None:
    # A turn point at a quarter of the lower edge, and a corner without a rule.
    block = square(points([50 + 0j], 2))

    pieces = by_size(graded(tmp_path, block))

    assert pieces["L"].corners.tolist()[1] == 55


def test_a_corner_without_a_rule_lies_between_its_neighbours(tmp_path: Path) -> None:
    result = graded(tmp_path, square(rules="1294"))

    large = by_size(result)["L"]
    # From 20,0 at the second corner to 0,10 at the fourth in 100 + 200 mm.
    share = 100 / 300
    assert large.corners[2] == pytest.approx(
        200 + 100j + (1 - share) * 20 + share * 10j
    )
    assert "missing-rule" in codes(result)


def test_a_graded_curve_is_as_smooth_as_the_sample(tmp_path: Path) -> None:
    # All moves scale the bib about the origin, so the curves are ellipses again.
    vertices, curve = outline()
    rules = {
        str(n): f"0,0 {z.real / 10:.9f},{z.imag / 10:.9f}"
        for n, z in enumerate(vertices)
    }
    grade = [tag for n, z in enumerate(vertices) for tag in text(f"# {n}", z)]
    file = read_grade_rules(rule_file("M L", "M", rules))

    result = interchange(tmp_path, bib(None, grade), grade_rules=file)

    sample, large = (measure(piece.boundary.path) for piece in result.pieces)
    assert large.length == pytest.approx(1.1 * sample.length, rel=1e-9)
    assert result.pieces[1].corners == pytest.approx(1.1 * np.array(CORNERS), abs=1e-6)
    assert len(curve) == 6


def test_notches_and_marks_inside_are_carried_along(tmp_path: Path) -> None:
    block = square(
        point(100, 4, depth=5),
        point(195 + 50j, 13),
        line(200, 200 + 100j, 6),
        line(150 + 20j, 150 + 80j, 7),
        polyline([10 + 10j, 190 + 10j, 190 + 90j, 10 + 90j], 14, closed=True),
    )

    large = by_size(graded(tmp_path, block))["L"]

    assert large.notches[0].at == pytest.approx(110)
    assert large.drill_holes == pytest.approx([215 + 55j])
    assert large.fold_line == (220 + 0j, 220 + 110j)
    assert large.grain_line is not None
    assert large.grain_line[1] - large.grain_line[0] == 60j
    assert large.sewing_line is not None
    assert measure(large.sewing_line.path).length > 2 * (180 + 80)


def test_an_inner_line_keeps_its_form(tmp_path: Path) -> None:
    pocket = [140 + 40j, 180 + 40j, 180 + 70j, 140 + 70j]
    block = square(polyline(pocket, 8, closed=True), polyline(pocket, 11, closed=True))

    large = by_size(graded(tmp_path, block))["L"]

    for inner in (*large.internal, *large.cutouts):
        assert measure(inner.path).length == pytest.approx(140)
        assert inner.path.start.real > 140


def test_a_round_cutout_stays_round(tmp_path: Path) -> None:
    hole = [0, "CIRCLE", 8, 11, 10, 160.0, 20, 60.0, 40, 15.0]

    large = by_size(graded(tmp_path, square(hole)))["L"]

    (cutout,) = large.cutouts
    assert measure(cutout.path).length == pytest.approx(30 * np.pi)
    assert cutout.path.start.real > 175


def test_rules_that_bring_a_piece_to_a_point_are_refused(tmp_path: Path) -> None:
    gone = {
        str(n): f"0,0 {-at.real},{-at.imag}" for n, at in enumerate(SQUARE, start=1)
    }
    file = read_grade_rules(rule_file("M S", "M", gone))

    with pytest.raises(DrawingError, match="bring all points of a line together"):
        interchange(tmp_path, square(), grade_rules=file)


def test_an_inner_line_with_grade_points_follows_them(tmp_path: Path) -> None:
    block = square(
        line(50 + 50j, 150 + 50j, 8), text("# 1", 50 + 50j), text("# 2", 150 + 50j)
    )

    large = by_size(graded(tmp_path, block))["L"]

    assert (large.internal[0].path.start, large.internal[0].path.end) == (
        50 + 50j,
        170 + 50j,
    )


def test_rules_in_inches_are_inches(tmp_path: Path) -> None:
    file = read_grade_rules(rule_file("M L", "M", {"1": "0,0 1,0"}, units="ENGLISH"))
    result = interchange(tmp_path, square(rules="1111"), grade_rules=file)

    assert result.pieces[1].corners == pytest.approx(np.array(SQUARE) + 25.4)


def test_rules_have_the_unit_of_a_drawing_that_says_the_same(tmp_path: Path) -> None:
    # Both say METRIC, and the pieces show that it is centimetres.
    small = [z / 10 for z in SQUARE]
    grade = [tag for z in small for tag in text("# 1", z)]
    content = [*polyline(small, 1, closed=True), *points(small, 2), *grade]
    file = read_grade_rules(rule_file("M L", "M", {"1": "0,0 1,0"}))

    result = interchange(
        tmp_path,
        bib({"Piece Name": "Panel"}, boundary=content, marks=False),
        dialect=Dialect(style={k: v for k, v in STYLE.items() if k != "Units"}),
        grade_rules=file,
        unit_mm=10.0,
    )

    assert result.pieces[0].size == "M"
    assert result.pieces[1].corners == pytest.approx(np.array(SQUARE) + 1)


def test_a_size_that_is_drawn_is_not_made(tmp_path: Path) -> None:
    large = Block("L", [*polyline([2 * z for z in SQUARE], 1, closed=True)])
    large.content.extend(text("Piece Name: panel"))
    large.content.extend(text("Size: L"))
    file = read_grade_rules(rule_file("S M L", "M", RULES))

    result = interchange(tmp_path, square(), large, grade_rules=file)

    assert [piece.size for piece in result.pieces] == ["M", "S", "L"]
    assert measure(result.pieces[2].boundary.path).length == pytest.approx(1200)


def test_a_piece_without_grade_points_is_the_same_in_every_size(
    tmp_path: Path,
) -> None:
    file = read_grade_rules(rule_file("S M L", "M", RULES))

    result = interchange(tmp_path, bib(), grade_rules=file)

    assert len({measure(piece.boundary.path).length for piece in result.pieces}) == 1
    assert codes(result) == ["not-graded"]


def test_rules_of_another_sample_size_make_nothing(tmp_path: Path) -> None:
    file = read_grade_rules(rule_file("38 40", "38", {"1": "0,0 1,0"}))

    result = interchange(tmp_path, square(), grade_rules=file)

    assert [piece.size for piece in result.pieces] == ["M"]
    assert codes(result) == ["no-sample"]

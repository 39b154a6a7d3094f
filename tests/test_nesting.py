"""Pieces, cut-outs, sewing lines and marks, told apart."""

import numpy as np
import pytest
from drawn import bodice, compound, drawing, drawn
from shapes import circle_outline, polygon, rectangle, rounded_rectangle

from edgefinder.errors import BrokenOutline, DrawingError
from edgefinder.findings import Finding, Severity
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.outlines import PieceOutline, find_outlines
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings, SizeSource

FRONT = rectangle(400, 300)
POCKET = polygon(100 + 100j, 180 + 100j, 180 + 180j, 100 + 180j)


def cutting_out(*selectors: str) -> FindingSettings:
    return FindingSettings(cutouts=tuple(map(parse_selector, selectors)))


def found(
    *lines: DrawnLine, settings: FindingSettings | None = None
) -> tuple[tuple[PieceOutline, ...], dict[str, Finding]]:
    outlines, findings = find_outlines(drawing(*lines), settings or FindingSettings())
    return outlines, {finding.code: finding for finding in findings}


def pieces(
    *lines: DrawnLine, settings: FindingSettings | None = None
) -> list[DrawnLine]:
    return [outline.line for outline in found(*lines, settings=settings)[0]]


def scaled(path: Path, k: float, by: complex = 0) -> Path:
    moved = Affine(k, 0, 0, k, by.real, by.imag)
    return Path(transform(path.segments, moved), path.closed)


def inset(side: float, by: float) -> Path:
    """A square whose sides lie further inside by a distance."""
    return scaled(rectangle(side, side), (side - 2 * by) / side, by * (1 + 1j))


# Marks and cut-outs


@pytest.mark.parametrize(
    ("outer", "inner"),
    [
        ({}, {}),
        ({"id": "front"}, {"id": "pocket-placement"}),
        ({"layer": "Cut"}, {"layer": "Cut"}),
        ({"layer": "Cut"}, {"layer": "Marks"}),
        ({"layer": "Size S"}, {"layer": "Marks"}),
        (
            {"layer": "Cut", "groups": ("Cut", "front")},
            {"layer": "Marks", "groups": ("Marks", "front")},
        ),
        (
            {"layer": "All", "groups": ("All", "front")},
            {"layer": "All", "groups": ("All", "front", "pocket placement")},
        ),
        ({"layer": "1", "groups": ("FRONT",)}, {"layer": "8", "groups": ("FRONT",)}),
    ],
)
def test_a_closed_line_inside_a_piece_is_a_mark_that_is_listed(
    outer: dict[str, str], inner: dict[str, str]
) -> None:
    front = drawn(FRONT, where="test.svg: line 2", **outer)  # type: ignore[arg-type]
    pocket = drawn(POCKET, where="test.svg: line 3", **inner)  # type: ignore[arg-type]

    (piece,), findings = found(pocket, front)

    assert (piece.line, piece.cutouts) == (front, ())
    assert list(findings) == ["inner-line"]
    finding = findings["inner-line"]
    assert (finding.severity, finding.where) == (Severity.NOTE, "test.svg: line 3")
    assert finding.message.startswith(
        "a closed line, 320 mm round, inside that of test.svg: line 2: taken for a "
        "mark on it, and not measured; if it is cut out, "
    )


@pytest.mark.parametrize(
    ("marks", "said"),
    [
        ({"id": "window"}, 'choose it in the job file: cutouts = ["id:window"]'),
        ({"label": "window"}, 'choose it in the job file: cutouts = ["label:window"]'),
        ({"classes": ("line", "hole")}, 'cutouts = ["class:hole"]'),
        ({"layer": "Holes"}, 'cutouts = ["layer:Holes"]'),
        ({"colour": "#ff0000"}, 'cutouts = ["colour:#ff0000"]'),
        ({"id": "a*"}, "give it an id or a class, and choose it with cutouts"),
        ({}, "give it an id or a class, and choose it with cutouts"),
    ],
)
def test_what_would_choose_a_mark_alone_is_said(
    marks: dict[str, str], said: str
) -> None:
    front = drawn(FRONT, id="front", classes=("line",), layer="Cut")
    hole = drawn(POCKET, **{"classes": ("line",), "layer": "Cut", **marks})  # type: ignore[arg-type]

    assert said in found(front, hole)[1]["inner-line"].message


@pytest.mark.parametrize(
    "selector", ["id:window", "label:Win*", "class:hole", "layer:Holes", "colour:red"]
)
def test_a_line_that_the_job_file_calls_a_cut_out_is_one(selector: str) -> None:
    front = drawn(FRONT, layer="Cut", groups=("Cut", "front"))
    hole = drawn(
        POCKET,
        id="window",
        label="Window",
        classes=("hole",),
        layer="Holes",
        groups=("Holes", "somewhere"),
        colour="#ff0000",
    )

    (piece,), findings = found(front, hole, settings=cutting_out(selector))

    assert piece.line is front
    (ring,) = piece.cutouts
    assert ring.sources == (hole,)
    assert signed_area(ring.path) == pytest.approx(-6400)
    assert not findings


def test_cut_outs_need_not_be_among_the_cut_lines() -> None:
    settings = FindingSettings(
        cut_lines=(parse_selector("class:cut"),), cutouts=(parse_selector("id:hole"),)
    )
    lines = drawn(FRONT, classes=("cut",)), drawn(POCKET, id="hole")

    (piece,), _ = found(*lines, settings=settings)

    assert len(piece.cutouts) == 1


def test_a_cut_out_without_a_size_is_cut_out_of_each() -> None:
    sizes = [drawn(inset(400, by), layer=f"Size {by}") for by in (0, 10, 20)]
    hole = drawn(POCKET, layer="Holes")

    outlines, findings = found(*sizes, hole, settings=cutting_out("layer:holes"))

    assert [outline.line for outline in outlines] == sizes
    assert [len(outline.cutouts) for outline in outlines] == [1, 1, 1]
    assert not findings


def test_a_cut_out_with_a_size_is_cut_out_of_that_one() -> None:
    sizes = [drawn(inset(400, by), layer=f"Size {by}") for by in (0, 10, 20)]
    hole = drawn(POCKET, layer="Size 10", id="hole")

    outlines, _ = found(*sizes, hole, settings=cutting_out("id:hole"))

    assert [len(outline.cutouts) for outline in outlines] == [0, 1, 0]


def test_a_cut_out_that_lies_in_no_piece_is_a_warning() -> None:
    far = drawn(scaled(POCKET, 1, 1000), id="hole")

    (piece,), findings = found(drawn(FRONT), far, settings=cutting_out("id:hole"))

    assert piece.cutouts == ()
    assert findings["lonely-cutout"].severity is Severity.WARNING


def test_choosing_everything_as_a_cut_out_is_an_error() -> None:
    with pytest.raises(BrokenOutline, match="choose every closed line"):
        found(drawn(FRONT, id="a"), settings=cutting_out("id:*"))


def test_every_other_subpath_of_a_path_is_a_hole() -> None:
    rings = compound(*(inset(400, by) for by in (0, 100, 150)), circle_outline(5, 200))
    lines = [*rings[:3], drawn(inset(400, 185))]

    outlines, findings = found(*lines)

    assert [outline.line for outline in outlines] == [lines[0], lines[2]]
    assert [len(outline.cutouts) for outline in outlines] == [1, 0]
    assert list(findings) == ["inner-line"]


def test_a_narrow_ring_drawn_as_one_path_has_a_hole_and_no_sewing_line() -> None:
    ring = compound(circle_outline(110), circle_outline(80))

    (piece,), findings = found(*ring)

    assert len(piece.cutouts) == 1
    assert not findings


def test_pieces_combined_into_one_path_stay_pieces() -> None:
    lines = compound(*(scaled(FRONT, 1, 500 * n) for n in range(3)))

    assert pieces(*lines) == list(lines)


def test_subpaths_of_different_elements_are_no_cut_outs() -> None:
    front, hole = drawn(FRONT, element=1), drawn(POCKET, element=2)

    (piece,), _ = found(front, hole)

    assert piece.cutouts == ()


def test_a_mark_within_a_sewing_line_is_a_mark_on_the_piece() -> None:
    lines = drawn(FRONT), drawn(scaled(FRONT, 0.95, 10 + 7j)), drawn(POCKET)

    (piece,), findings = found(*lines)

    assert piece.line is lines[0]
    assert set(findings) == {"sewing-line", "inner-line"}


def test_a_piece_that_the_job_file_names_is_a_piece_wherever_it_lies() -> None:
    settings = FindingSettings(names=(("pocket", parse_selector("id:rect2")),))
    lines = drawn(FRONT, id="rect1"), drawn(POCKET, id="rect2")

    assert pieces(*lines, settings=settings) == list(lines)


def test_a_name_for_both_makes_no_piece_of_the_mark() -> None:
    settings = FindingSettings(names=(("front", parse_selector("layer:front")),))
    lines = drawn(FRONT, layer="front"), drawn(POCKET, layer="front")

    assert pieces(*lines, settings=settings) == [lines[0]]


def test_a_group_of_another_name_makes_a_piece_of_its_own() -> None:
    front = drawn(FRONT, layer="All", groups=("All", "front"))
    pocket = drawn(POCKET, layer="All", groups=("All", "pocket"))

    assert pieces(front, pocket) == [front, pocket]


def test_blocks_of_a_dxf_are_pieces_of_their_own() -> None:
    front = drawn(FRONT, layer="1", groups=("FRONT",))
    pocket = drawn(POCKET, layer="1", groups=("POCKET",))

    assert pieces(front, pocket) == [front, pocket]


def test_a_size_inside_a_line_without_one_is_a_piece() -> None:
    lines = drawn(FRONT, layer="Paper"), drawn(POCKET, layer="Size S")

    assert pieces(*lines) == list(lines)


# The frame of a sheet


def test_pieces_inside_the_frame_of_another_layer_are_pieces() -> None:
    frame = drawn(rectangle(1000, 800), layer="Frame")
    inside = [
        drawn(scaled(FRONT, 0.5, 100 + 300 * n + 50j), layer="Cut") for n in (0, 1)
    ]

    outlines, findings = found(frame, *inside)

    assert [outline.line for outline in outlines] == [frame, *inside]
    assert not findings


def test_a_frame_that_makes_marks_of_all_pieces_is_a_warning() -> None:
    frame = drawn(rectangle(1000, 800))
    inside = [drawn(scaled(FRONT, 0.5, 100 + 300 * n + 50j)) for n in (0, 1)]

    outlines, findings = found(frame, *inside)

    assert len(outlines) == 1
    assert "leave it out with ignore" in findings["frame"].message
    assert findings["frame"].severity is Severity.WARNING


# Graded nests


def nest(count: int, step: float = 12.0, **marks: object) -> list[DrawnLine]:
    """Half bodices that grow in even steps, from the largest to the smallest."""
    half = bodice()
    scales = [1 - step * n / 250 for n in range(count)]
    return [
        drawn(scaled(half, k, 80 * (1 - k) + 165j * (1 - k)), **marks)  # type: ignore[arg-type]
        for k in scales
    ]


@pytest.mark.parametrize("count", [3, 4, 6])
def test_sizes_on_one_layer_are_pieces_and_told_with_the_keys(count: int) -> None:
    lines = nest(count, layer="Cut", groups=("Cut",))

    outlines, findings = found(*lines)

    assert [outline.line for outline in outlines] == lines
    assert not any(outline.cutouts for outline in outlines)
    assert list(findings) == ["nest"]
    message = findings["nest"].message
    assert message.startswith(f"{count} outlines lie one inside the other")
    assert 'sizes = "layer" or "colour"' in message
    assert "names_like" in message


def test_a_nest_is_found_among_the_cut_lines_too() -> None:
    settings = FindingSettings(cut_lines=(parse_selector("layer:cut"),))
    lines = nest(4, layer="Cut")

    outlines, findings = found(*lines, settings=settings)

    assert len(outlines) == 4
    assert list(findings) == ["nest"]


def test_a_nest_in_one_path_has_no_holes() -> None:
    lines = [drawn(line.path, element=3) for line in nest(5)]

    outlines, findings = found(*lines)

    assert [len(outline.cutouts) for outline in outlines] == [0] * 5
    assert list(findings) == ["nest"]


def test_rings_in_sizes_have_each_its_own_hole() -> None:
    lines = [
        line
        for n in range(4)
        for line in (
            drawn(circle_outline(200 + 8 * n), element=n),
            drawn(circle_outline(100 + 6 * n), element=n),
        )
    ]

    outlines, _ = found(*lines)

    assert [outline.line for outline in outlines] == lines[::2]
    assert [outline.cutouts[0].sources for outline in outlines] == [
        (line,) for line in lines[1::2]
    ]


def test_a_row_of_topstitching_beside_the_sewing_line_is_no_nest() -> None:
    lines = [drawn(inset(400, by)) for by in (0, 10, 15)]

    outlines, findings = found(*lines)

    assert [outline.line for outline in outlines] == lines[:1]
    assert set(findings) == {"sewing-line", "inner-line"}


def test_two_lines_are_a_cut_line_and_its_sewing_line() -> None:
    outlines, findings = found(drawn(inset(400, 0)), drawn(inset(400, 12)))

    assert len(outlines) == 1
    assert list(findings) == ["sewing-line"]


def test_sizes_on_layers_without_size_in_their_names_are_pieces() -> None:
    lines = [
        drawn(line.path, layer=size) for line, size in zip(nest(4), "8642", strict=True)
    ]

    outlines, findings = found(*lines)

    assert len(outlines) == 4
    assert 'write sizes = "layer"' in findings["nest"].message


def test_sizes_in_colours_are_pieces_and_the_key_is_named() -> None:
    colours = ("#d55e00", "#0072b2", "#009e73", "#cc79a7")
    lines = [
        drawn(line.path, colour=colour)
        for line, colour in zip(nest(4), colours, strict=True)
    ]

    outlines, findings = found(*lines)
    assert len(outlines) == 4
    assert 'write sizes = "colour"' in findings["nest"].message

    outlines, findings = found(
        *lines, settings=FindingSettings(sizes=SizeSource.COLOUR)
    )
    assert len(outlines) == 4
    assert not findings


@pytest.mark.parametrize(
    ("sizes", "marks"),
    [
        (SizeSource.AUTO, [{"layer": f"Size {n}"} for n in range(4)]),
        (SizeSource.LAYER, [{"layer": f"{n}"} for n in range(4)]),
        (SizeSource.COLOUR, [{"colour": f"#00000{n}"} for n in range(4)]),
    ],
)
def test_sizes_that_are_known_make_neither_cut_outs_nor_sewing_lines(
    sizes: SizeSource, marks: list[dict[str, str]]
) -> None:
    # Two subpaths of one path each, so that both rules would have their way.
    lines = [
        drawn(line.path, element=1, **mark)  # type: ignore[arg-type]
        for line, mark in zip(nest(4), marks, strict=True)
    ]

    outlines, findings = found(*lines, settings=FindingSettings(sizes=sizes))

    assert [outline.line for outline in outlines] == lines
    assert not any(outline.cutouts for outline in outlines)
    assert not findings


def test_sewing_lines_of_sizes_in_colours_stay_with_their_size() -> None:
    lines = [
        drawn(inset(400, by), colour=colour)
        for by, colour in ((0, "red"), (10, "red"), (12, "blue"), (22, "blue"))
    ]
    settings = FindingSettings(sizes=SizeSource.COLOUR)

    outlines, findings = find_outlines(drawing(*lines), settings)

    assert [outline.line for outline in outlines] == lines[::2]
    assert [finding.code for finding in findings] == ["sewing-line"] * 2


def test_three_hundred_nested_circles_are_a_nest() -> None:
    lines = [drawn(circle_outline(1000 - 2 * n)) for n in range(300)]

    outlines, findings = found(*lines)

    assert len(outlines) == 300
    assert findings["nest"].message.startswith("300 outlines")


def test_thousands_of_outlines_over_one_another_are_refused_in_one_line() -> None:
    lines = [drawn(circle_outline(1400 - 0.25 * n)) for n in range(5000)]

    with pytest.raises(DrawingError, match="outlines lie over one another, too many"):
        found(*lines)


def test_outlines_that_share_a_side_lie_in_each_other() -> None:
    # Rounded corners are flattened at other places in the outer and the inner line.
    cut = drawn(rounded_rectangle(300, 200, 40))
    half = drawn(scaled(rounded_rectangle(300, 200, 40), 0.5, 75))

    (piece,), findings = found(cut, half)

    assert piece.line is cut
    assert list(findings) == ["inner-line"]


def test_an_outline_that_crosses_itself_may_lie_in_another() -> None:
    bow = polygon(100 + 100j, 200 + 180j, 200 + 100j, 100 + 190j)

    (piece,), findings = found(drawn(FRONT), drawn(bow))

    assert np.isclose(signed_area(piece.outer.path), 120_000)
    assert set(findings) == {"self-crossing", "inner-line"}


def test_a_scribble_does_not_take_for_ever() -> None:
    corners = np.random.default_rng(1).uniform(0, 900, (5000, 2)) @ [1, 1j]

    (piece,), findings = found(drawn(polygon(*corners.tolist())))

    assert len(piece.outer.path.segments) == 5000
    assert set(findings) == {"self-crossing"}

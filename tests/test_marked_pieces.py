"""Pieces cut at what is drawn beside them and at what a job file marks, by words.

Every stretch is compared with its length and place in closed form.
"""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from drawn import compound, drawing, drawn, text
from shapes import circle_outline, polygon, polyline, rectangle

from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.job import PieceSettings
from edgefinder.classifier.marked_pieces import mark_pieces, words_used
from edgefinder.errors import EdgefinderError
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import arc_segments
from edgefinder.importers.drawing import DrawnLine, DrawnText, Reading
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings

SETTINGS = FindingSettings(
    marker_lines=(parse_selector("layer:Bind*"),),
    notches=(parse_selector("layer:Notch*"),),
)
HAND_MM = 0.3
"""How far from where it stops a hand-drawn line with an offset may be projected."""


def sheet(*lines: DrawnLine, texts: Sequence[DrawnText] = ()) -> tuple[Piece, ...]:
    reading = Reading(drawing(*lines, texts=texts), ())
    return find_pieces(reading, SETTINGS).pieces


def front(
    width: float = 200, height: float = 100, size: str | None = None
) -> DrawnLine:
    layer = None if size is None else f"Size {size}"
    return drawn(rectangle(width, height), label="front", layer=layer)


def marker(path: Path, layer: str = "Bind") -> DrawnLine:
    return drawn(path, layer=layer)


def notch(at: complex, towards: complex, name: str | None = None) -> DrawnLine:
    return drawn(polyline(at, at + towards), layer="Notches", label=name)


def marked(
    pieces: Sequence[Piece],
    *words: str,
    names: Sequence[tuple[str, str]] = (),
    marks: Sequence[tuple[str, str]] = (),
) -> tuple[MarkedPiece, ...]:
    said = PieceSettings("front", edge_names=tuple(names), marks=tuple(marks))
    return mark_pieces(pieces, said, words_used(said, words))


def meant(one: MarkedPiece, word: str) -> list[str]:
    return [one.piece.edges[found.number - 1].label for found in one.edges(word)]


def length(one: MarkedPiece, word: str) -> float:
    return sum(one.piece.edges[found.number - 1].length for found in one.edges(word))


def ends(one: MarkedPiece, word: str) -> tuple[complex, complex]:
    found = [one.piece.edges[f.number - 1] for f in one.edges(word)]
    return found[0].start, found[-1].end


def why(one: MarkedPiece, word: str) -> str:
    with pytest.raises(EdgefinderError) as caught:
        one.edges(word)
    (message,) = caught.value.messages
    return message


# Marker lines


def along_foot(offset: float) -> Path:
    return polyline(50 + offset * 1j, 150 + offset * 1j)


def wiggly() -> Path:
    x = np.linspace(50, 150, 60)
    return polyline(*(x + 1j * (2 + np.sin(x / 3))))


@pytest.mark.parametrize(
    "path", [along_foot(0), along_foot(2), along_foot(-2), along_foot(4.9), wiggly()]
)
@pytest.mark.parametrize("is_reversed", [False, True])
def test_a_marker_along_an_edge_marks_what_it_runs_along(
    path: Path, is_reversed: bool
) -> None:
    line = marker(reverse_path(path) if is_reversed else path)

    (one,) = marked(sheet(front(), line), "marker")

    assert meant(one, "marker") == ["1b"]
    start, end = ends(one, "marker")
    assert start == pytest.approx(50, abs=1e-6)
    assert end == pytest.approx(150, abs=1e-6)
    assert [e.label for e in one.piece.edges] == ["1a", "1b", "1c", "2", "3", "4"]


@pytest.mark.parametrize("is_reversed", [False, True])
def test_a_marker_may_run_over_corners_and_over_the_first_one(
    is_reversed: bool,
) -> None:
    path = polyline(2 + 60j, 2 + 2j, 198 + 2j, 198 + 30j)
    line = marker(reverse_path(path) if is_reversed else path)

    (one,) = marked(sheet(front(), line), "marker")

    assert meant(one, "marker") == ["4b", "1", "2a"]
    assert length(one, "marker") == pytest.approx(60 + 200 + 30, abs=1e-6)


@pytest.mark.parametrize("offset", [-2.0, 2.0])
def test_a_marker_that_stops_at_a_corner_to_the_width_of_a_pen_ends_there(
    offset: float,
) -> None:
    line = marker(polyline(3 + offset * 1j, 197.5 + offset * 1j))

    (one,) = marked(sheet(front(), line), "marker")

    assert meant(one, "marker") == ["1"]


@pytest.mark.parametrize("is_closed", [False, True])
def test_a_marker_round_the_whole_outline_marks_all_of_it(is_closed: bool) -> None:
    corners = 2 + 2j, 198 + 2j, 198 + 98j, 2 + 98j
    path = polygon(*corners) if is_closed else polyline(*corners, 2 + 4j)

    (one,) = marked(sheet(front(), marker(path)), "marker")

    assert sorted(meant(one, "marker")) == ["1", "2", "3", "4"]


def test_a_closed_marker_round_a_loop_marks_it() -> None:
    disc = drawn(circle_outline(60), label="front")

    (one,) = marked(sheet(disc, marker(circle_outline(58))), "marker")

    assert meant(one, "marker") == ["1"]
    assert one.piece.edges[0].path.path.closed


@pytest.mark.parametrize("radius", [58.0, 60.0, 62.0])
@pytest.mark.parametrize(("a", "b"), [(0.5, 2.5), (-1.0, 1.0), (3.0, 4.0)])
def test_an_arc_beside_a_loop_marks_an_arc_of_it(
    radius: float, a: float, b: float
) -> None:
    arc = Path(arc_segments([0], radius, radius * 1j, a, b), closed=False)
    disc = drawn(circle_outline(60), label="front")

    (one,) = marked(sheet(disc, marker(arc)), "marker")

    assert length(one, "marker") == pytest.approx(60 * (b - a), abs=1e-6)
    start, end = ends(one, "marker")
    assert start == pytest.approx(60 * np.exp(1j * a), abs=1e-6)
    assert end == pytest.approx(60 * np.exp(1j * b), abs=1e-6)


def test_a_marker_on_a_cut_out_marks_the_cut_out() -> None:
    hole = compound(rectangle(300, 200), circle_outline(40, 150 + 90j), label="front")
    centre = 150 + 90j
    arc = Path(arc_segments([centre], 38, 38j, 0.4, 1.9), closed=False)

    (one,) = marked(sheet(*hole, marker(arc)), "marker", "cutout 1")

    assert length(one, "marker") == pytest.approx(40 * 1.5, abs=1e-6)
    (label,) = meant(one, "marker")
    assert label in {"5a", "5b"}
    # The fabric lies outside of a hole: it is run clockwise.
    start, end = ends(one, "marker")
    assert start == pytest.approx(centre + 40 * np.exp(1.9j), abs=1e-6)
    assert end == pytest.approx(centre + 40 * np.exp(0.4j), abs=1e-6)
    assert sorted(meant(one, "cutout 1")) == ["5a", "5b"]


def test_several_markers_of_one_piece_are_marked_together_and_apart() -> None:
    lines = [
        marker(polyline(20 + 2j, 60 + 2j), "Bind wide"),
        marker(polyline(100 + 98j, 150 + 98j), "Bind narrow"),
    ]

    (one,) = marked(
        sheet(front(), *lines), "marker", "marker layer:*wide", "marker layer:*narrow"
    )

    assert meant(one, "marker") == ["1b", "3b"]
    assert meant(one, "marker layer:*wide") == ["1b"]
    assert meant(one, "marker layer:*narrow") == ["3b"]


def test_a_marker_that_is_not_drawn_is_told() -> None:
    line = marker(along_foot(2))

    (one,) = marked(sheet(front(), line), "marker layer:Red")
    (bare,) = marked(sheet(front()), "marker")

    assert why(one, "marker layer:Red") == (
        'no marker line drawn as "layer:Red" runs along this piece in any size; '
        "marker_lines in the job file chooses them"
    )
    assert why(bare, "marker").startswith("no marker line runs along this piece")


# Sizes: half again as wide, and a quarter higher.

NEST = (front(200, 100, "S"), front(300, 125, "M"))


@pytest.mark.parametrize("size", ["S", "M"])
def test_a_marker_in_one_size_is_carried_over_by_its_share_of_the_edge(
    size: str,
) -> None:
    width = {"S": 200, "M": 300}[size]
    line = drawn(
        polyline(0.2 * width + 2j, 0.7 * width + 2j),
        layer=f"Size {size}",
        label="Bind",
    )
    settings = FindingSettings(marker_lines=(parse_selector("label:Bind"),))
    pieces = find_pieces(Reading(drawing(*NEST, line), ()), settings).pieces

    small, medium = marked(pieces, "marker")

    for one, wide in ((small, 200), (medium, 300)):
        start, end = ends(one, "marker")
        assert start == pytest.approx(0.2 * wide, abs=1e-6)
        assert end == pytest.approx(0.7 * wide, abs=1e-6)


def test_markers_in_two_sizes_mark_each_its_own() -> None:
    lines = [
        drawn(polyline(40 + 2j, 90 + 2j), layer="Size S", label="Bind"),
        drawn(polyline(100 + 2j, 210 + 2j), layer="Size M", label="Bind"),
    ]
    settings = FindingSettings(marker_lines=(parse_selector("label:Bind"),))
    pieces = find_pieces(Reading(drawing(*NEST, *lines), ()), settings).pieces

    small, medium = marked(pieces, "marker")

    assert length(small, "marker") == pytest.approx(50, abs=1e-6)
    assert length(medium, "marker") == pytest.approx(110, abs=1e-6)


# Notches


def notched() -> tuple[Piece, ...]:
    return sheet(
        front(),
        notch(150 + 100j, -5j),  # third along the outline
        notch(60, 5j, "A"),
        notch(200 + 40j, -5, "side top"),
        notch(30j, 5, "A2"),
    )


def test_notches_are_numbered_along_the_outline() -> None:
    (piece,) = notched()

    assert [n.at for n in piece.around.notches] == pytest.approx(
        [60, 200 + 40j, 150 + 100j, 30j], abs=1e-9
    )


@pytest.mark.parametrize(
    ("word", "wanted"),
    [
        ("from notch 1 to notch 2", 140 + 40),
        ("from notch 2 to notch 1", 600 - 180),
        ("from notch A to notch side top", 180),
        ("from notch a to notch SIDE*", 180),
        ("from notch 4 to notch 1", 30 + 60),
        ("from notch 3 to corner 4", 150),
        ("from corner 1 to notch 1", 60),
        ("from corner 2 to corner 4", 300),
        ("from 1 at 25 % to 2 at 25 mm", 175),
        ("from foot at 25 % to 2 at 1 in", 150 + 25.4),
        ("from 1 at 0 % to 1 at 100 %", 200),
        ("from 0 mm, 0 mm to 60 mm, 0 mm", 60),
        ("from 58 mm, 7 mm to 190 mm, 50 mm", 142 + 50),
        ("from low to high", 45 + 25),
        ("from notch 1 to notch 1", 600),
        ("from corner 3 to corner 3", 600),
    ],
)
def test_a_stretch_between_marks_is_as_long_as_the_way(
    word: str, wanted: float
) -> None:
    names = [("foot", "1")]
    marks = [("low", "155 mm, 3 mm"), ("high", "2 at 25 %")]

    (one,) = marked(notched(), word, names=names, marks=marks)

    assert length(one, word) == pytest.approx(wanted, abs=1e-6)


def test_points_are_measured_from_the_lower_left_of_the_piece_in_any_place() -> None:
    moved = polygon(*(500 + 300j + c for c in (0, 200, 200 + 100j, 100j)))

    (one,) = marked(sheet(drawn(moved, label="front")), "from 40 mm, 0 mm to corner 2")

    start, end = ends(one, "from 40 mm, 0 mm to corner 2")
    assert start == pytest.approx(540 + 300j, abs=1e-6)
    assert end == pytest.approx(700 + 300j, abs=1e-6)


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("from notch 9 to corner 1", 'there is no notch "9" in any size; there are 4'),
        ("from notch B to corner 1", "there are 4, called A, side top, A2"),
        (
            "from notch A* to corner 1",
            '2 notches of "front" are called "A*"; name them',
        ),
        ("from corner 7 to corner 1", '"front" has no edge 7'),
        ("from 1 at 201 mm to corner 3", 'edge 1 of "front" is 200.0 mm long'),
        ("from sied at 5 % to corner 3", 'no edge "sied"; did you mean "side"?'),
        ("from notch 99999999 to corner 1", 'no notch "99999999"'),
        (f"from {'9' * 5000} at 5 % to corner 1", "there is no edge"),
    ],
)
def test_a_mark_that_is_not_there_is_told(word: str, said: str) -> None:
    (one,) = marked(notched(), word, names=[("side", "2")])

    assert said in why(one, word)


def test_a_piece_without_notches_says_so() -> None:
    (one,) = marked(sheet(front()), "from notch 1 to corner 2")

    assert why(one, "from notch 1 to corner 2") == (
        'there is no notch "1" in any size; the drawing marks none on this piece'
    )


def test_marks_on_two_outlines_of_a_piece_have_nothing_between_them() -> None:
    hole = compound(rectangle(300, 200), circle_outline(40, 150 + 90j), label="front")

    (one,) = marked(sheet(*hole), "from corner 1 to 5 at 50 %")

    assert "different outlines" in why(one, "from corner 1 to 5 at 50 %")


def test_a_notch_in_one_size_is_carried_over_by_its_share_of_the_edge() -> None:
    line = drawn(polyline(75, 75 + 5j), layer="Size M", label="notch A")

    pieces = find_pieces(Reading(drawing(*NEST, line), ()), FindingSettings()).pieces
    small, medium = marked(pieces, "from corner 1 to notch notch A")

    assert length(small, "from corner 1 to notch notch A") == pytest.approx(
        50, abs=1e-6
    )
    assert length(medium, "from corner 1 to notch notch A") == pytest.approx(75)


def test_a_point_is_measured_in_the_first_size_and_carried_over() -> None:
    pieces = find_pieces(Reading(drawing(*NEST), ()), SETTINGS).pieces

    small, medium = marked(pieces, "from corner 1 to 50 mm, 0 mm")

    assert length(small, "from corner 1 to 50 mm, 0 mm") == pytest.approx(50)
    assert length(medium, "from corner 1 to 50 mm, 0 mm") == pytest.approx(75)


# Texts


@pytest.mark.parametrize(
    ("at", "edge"),
    [
        (100 + 12j, "1"),
        (100 - 20j, "1"),
        (190 + 55j, "2"),
        (30 + 90j, "3"),
        (-9 + 50j, "4"),
    ],
)
def test_a_text_names_the_edge_it_is_nearest_to(at: complex, edge: str) -> None:
    (one,) = marked(sheet(front(), texts=[text("Bind  this edge", at)]), "text:bind*")

    assert meant(one, "text:bind*") == [edge]


def test_texts_name_parts_of_edges_too() -> None:
    pieces = sheet(front(), texts=[text("bind", 20 + 8j), text("bind", 150 + 8j)])

    (one,) = marked(pieces, "text:bind", "from 1 at 25 % to 1 at 50 %")

    assert meant(one, "text:bind") == ["1a", "1c"]


def test_a_text_that_is_not_there_or_far_from_every_edge_is_told() -> None:
    big = drawn(rectangle(400, 400), label="front")
    pieces = sheet(big, texts=[text("bind", 200 + 200j)])

    (one,) = marked(pieces, "text:bind", "text:hem")

    assert why(one, "text:bind") == 'no text like "bind" is near an edge'
    assert why(one, "text:hem") == 'no text like "hem" is near an edge'


def test_a_text_in_one_size_names_the_edge_in_all_sizes() -> None:
    lone = text("bind", 100 + 8j, layer="Size S")

    pieces = find_pieces(Reading(drawing(*NEST, texts=[lone]), ()), SETTINGS).pieces
    small, medium = marked(pieces, "text:bind")

    assert meant(small, "text:bind") == meant(medium, "text:bind") == ["1"]


# Numbers, parts, names, all but some


def test_a_number_means_all_parts_of_an_edge_and_a_part_one_of_them() -> None:
    (one,) = marked(notched(), "from notch 1 to notch 2")

    assert meant(one, "1") == ["1a", "1b"]
    assert meant(one, "1b") == ["1b"]
    assert meant(one, "2a") == ["2a"]
    assert meant(one, "3") == ["3"]
    assert meant(one, "all") == ["1a", "1b", "2a", "2b", "3", "4"]
    assert meant(one, "all except 1b, 2, from notch 1 to notch 2") == ["1a", "3", "4"]


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("5", '"front" has no edge 5; it has edges 1 to 4'),
        ("0", '"front" has no edge 0; it has edges 1 to 4'),
        ("1c", 'edge 1 of "front" has no part c; its parts are a, b'),
        ("3a", 'edge 3 of "front" has no part a; it has no parts: marks that are used'),
        ("cutout 1", '"front" has no cut-out'),
        ("all except 7", '"front" has no edge 7'),
        ("layer:Bound", 'no edge of "front" is drawn as "layer:Bound"'),
    ],
)
def test_what_a_piece_does_not_have_is_told(word: str, said: str) -> None:
    (one,) = marked(notched(), "from notch 1 to notch 2")

    assert said in why(one, word)


def test_all_but_all_means_nothing() -> None:
    (one,) = marked(notched(), "all except all")

    assert one.edges("all except all") == ()


def test_a_piece_of_one_edge_says_so() -> None:
    (one,) = marked(sheet(drawn(circle_outline(50), label="front")))

    assert why(one, "2") == '"front" has no edge 2; it has edge 1'


def test_own_names_are_on_the_edges_and_mean_them() -> None:
    names = [
        ("hem", "1"),
        ("side", "from notch 2 to corner 3"),
        ("rest", "all except 1"),
    ]

    (one,) = marked(notched(), names=names)

    assert [edge.label for edge in one.piece.edges] == [
        *("hem", "rest 2a", "side", "rest 3", "rest 4")
    ]
    assert meant(one, "HEM") == ["hem"]
    assert meant(one, "side") == ["side"]
    assert meant(one, "rest") == ["rest 2a", "side", "rest 3", "rest 4"]
    assert meant(one, "all except hem, side") == ["rest 2a", "rest 3", "rest 4"]


def test_a_name_of_several_edges_is_told_apart_by_their_numbers() -> None:
    (one,) = marked(
        notched(), "from notch 1 to corner 2", names=[("foot", "1"), ("top", "3")]
    )

    labels = [edge.label for edge in one.piece.edges]
    assert labels == ["foot 1a", "foot 1b", "2", "top", "4"]
    assert len(set(labels)) == len(labels)


def test_lines_of_their_own_are_chosen_as_they_are_drawn() -> None:
    lines = [
        drawn(polyline(0, 200), id="hem", layer="Cut", colour="#000000"),
        drawn(polyline(200, 200 + 100j), id="side", layer="Cut", classes=("dashed",)),
        drawn(polyline(200 + 100j, 100j), id="neck", layer="Bound", colour="#d55e00"),
        drawn(polyline(100j, 50j), id="upper", layer="Bound", label="half"),
        drawn(polyline(50j, 0), id="lower", layer="Cut"),
    ]

    (one,) = marked(sheet(*lines))

    for word, wanted in (
        ("colour:#D55E00", ["3"]),
        ("color:#d55e00", ["3"]),
        ("id:side", ["2"]),
        ("id:[hs]*", ["1", "2"]),
        ("class:dashed", ["2"]),
        ("id:*er", ["4"]),
        ("layer:*", ["1", "2", "3", "4"]),
    ):
        assert meant(one, word) == wanted
    for word in ("layer:Cut", "layer:Bound", "id:upper", "label:half"):
        assert 'edge 4 of "piece 1" is only partly drawn as' in why(one, word)
    assert 'is drawn as "colour:#ffffff"' in why(one, "colour:#ffffff")


def test_own_marks_that_are_nowhere_are_known_though_nothing_uses_them() -> None:
    marks = [("a", "notch 7"), ("b", "9 at 5 %"), ("c", "notch 1")]

    (one,) = marked(notched(), marks=marks)

    assert set(one.lost_marks) == {"a", "b"}
    assert one.lost_marks["b"] == '"front" has no edge 9'


def test_half_of_a_circle_is_half_of_its_length() -> None:
    (one,) = marked(
        sheet(drawn(circle_outline(50), label="front")), "from 1 at 10 % to 1 at 60 %"
    )

    assert length(one, "from 1 at 10 % to 1 at 60 %") == pytest.approx(50 * math.pi)

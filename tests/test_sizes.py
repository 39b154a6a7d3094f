import math

import numpy as np
import pytest
from drawn import bodice, drawn, piece_of, pieces_of
from shapes import circle_outline, polygon, rectangle

from edgefinder.classifier.sizes import (
    ONE_SIZE,
    SizePieces,
    numbering_mistakes,
    once_for_sizes,
    same_name,
    sort_by_size,
)
from edgefinder.findings import Severity
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Segments
from edgefinder.pattern.pieces import Piece


def box(name: str, size: str | None = None, width: float = 100.0) -> Piece:
    return piece_of(rectangle(width, 60), name, size)


def names(sizes: tuple[SizePieces, ...]) -> dict[str, list[str]]:
    return {size.size: [piece.name for piece in size.pieces] for size in sizes}


def test_pieces_are_sorted_by_size_in_drawing_order() -> None:
    pieces = [box("front", "S"), box("front", "M"), box("back", "S"), box("back", "M")]

    sizes, findings = sort_by_size([pieces])

    assert names(sizes) == {"S": ["front", "back"], "M": ["front", "back"]}
    assert findings == ()


def test_a_drawing_without_sizes_is_one_size() -> None:
    sizes, _ = sort_by_size([[box("front"), box("back")]])

    assert names(sizes) == {ONE_SIZE: ["front", "back"]}


def test_a_piece_without_a_size_belongs_to_every_size() -> None:
    pieces = [box("front", "S"), box("strap"), box("front", "M")]

    sizes, findings = sort_by_size([pieces])

    assert names(sizes) == {"S": ["front", "strap"], "M": ["front", "strap"]}
    assert findings == ()


@pytest.mark.parametrize("stray", ["front", "FRONT", " Front "])
def test_a_piece_in_sizes_and_without_one_is_a_warning_and_the_sizes_count(
    stray: str,
) -> None:
    pieces = [box("front", "S"), box(stray, width=400), box("front", "M")]

    sizes, findings = sort_by_size([pieces])

    assert names(sizes) == {"S": ["front"], "M": ["front"]}
    assert [size.pieces[0].perimeter for size in sizes] == [320, 320]
    (finding,) = findings
    assert finding.severity is Severity.WARNING
    assert "without a size" in finding.message


def test_drawings_with_different_pieces_are_put_together() -> None:
    sizes, findings = sort_by_size([[box("front", "S")], [box("back", "S")]])

    assert names(sizes) == {"S": ["front", "back"]}
    assert findings == ()


def test_a_drawing_that_repeats_another_is_compared_with_it() -> None:
    svg = [box("front", "S"), box("back", "S")]
    dxf = [box("Front", "S", 100.02), box("back", "S")]

    sizes, findings = sort_by_size([svg, dxf])

    assert [piece is one for piece, one in zip(sizes[0].pieces, svg, strict=True)]
    (finding,) = findings
    assert finding.severity is Severity.NOTE
    assert "2 pieces agree" in finding.message


def test_drawings_that_differ_are_a_warning_with_the_difference() -> None:
    sizes, findings = sort_by_size([[box("front", "S")], [box("front", "S", 101.5)]])

    assert len(sizes[0].pieces) == 1
    (finding,) = findings
    assert finding.severity is Severity.WARNING
    assert '"front" size S is 3.0 mm longer or shorter round' in finding.message


def test_no_drawing_at_all_is_one_size_without_pieces() -> None:
    sizes, findings = sort_by_size([])

    assert names(sizes) == {ONE_SIZE: []}
    assert findings == ()


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("front", "FRONT", True),
        ("back  yoke ", "Back Yoke", True),
        ("Straße", "STRASSE", True),
        ("front", "front 2", False),
        ("frontback", "front back", False),
    ],
)
def test_case_and_spacing_do_not_tell_names_apart(
    one: str, other: str, same: bool
) -> None:
    assert same_name(one, other) is same


def test_sizes_that_are_drawn_alike_share_their_numbers() -> None:
    sizes, _ = sort_by_size(
        [[piece_of(bodice(), "front", "S"), piece_of(bodice(), "front", "M")]]
    )

    assert numbering_mistakes(sizes, "front") == []


def test_graded_pieces_share_their_numbers() -> None:
    graded = [
        piece_of(polygon(0, 90 + d, 110 + 2 * d + 50j, 95 + 90j + d, 100j), "p", str(d))
        for d in (0.0, 5.0, 10.0, 15.0)
    ]

    sizes, _ = sort_by_size([graded])

    assert numbering_mistakes(sizes, "p") == []


def test_another_number_of_edges_in_a_size_is_a_mistake_with_both_counts() -> None:
    five = piece_of(polygon(0, 100, 130 + 30j, 100 + 60j, 60j), "front", "M")
    sizes, _ = sort_by_size([[box("front", "S"), five]])

    (message,) = numbering_mistakes(sizes, "FRONT")

    assert message.startswith('"front" has 4 edges in size S and 5 in size M: ')
    assert "draw the same corners" in message


def with_flat_armhole() -> Path:
    """Return the bodice with an armhole that turns little."""
    segments = bodice().segments
    control = segments.control.copy()
    control[2, 2] = control[2, 3] - 60 * np.exp(1j * math.radians(130))
    return Path(Segments(segments.kind, control), closed=True)


def test_an_edge_that_turns_otherwise_in_a_size_is_a_mistake_with_both_turns() -> None:
    one = piece_of(bodice(), "front", "S")
    other = piece_of(with_flat_armhole(), "front", "M")
    sizes, _ = sort_by_size([[one, other]])

    (message,) = numbering_mistakes(sizes, "front")

    # The armhole starts at 166 degrees and ends at 82 in one size, at 130 in the other.
    assert message == (
        'edge 3 of "front" turns by -84 degrees in size S and by -36 degrees in size '
        "M: it may not be the same edge; draw the sizes alike"
    )


def test_a_loop_and_an_edge_with_a_corner_are_not_the_same_edge() -> None:
    drop = polygon(0, 100, 100 + 100j, 100j)
    (loop,) = pieces_of(drawn(circle_outline(50), label="bib", layer="Size S"))
    corner = piece_of(drop, "bib", "M")
    sizes, _ = sort_by_size([[loop, corner]])

    (message,) = numbering_mistakes(sizes, "bib")

    assert '"bib" has 1 edges in size S and 4 in size M' in message


def test_what_differs_by_the_size_alone_is_said_once_with_a_list() -> None:
    told = once_for_sizes(
        [
            'edge 1 of "front" cannot be told in size S, from size M: gone',
            'edge 2 of "front" is not there (size L)',
            'edge 1 of "front" cannot be told in size L, from size M: gone',
            'edge 1 of "front" cannot be told in size XL, from size L: gone',
            'edge 1 of "back" cannot be told in size S, from size M: gone',
        ],
        ["S", "M", "L", "XL"],
    )

    assert told == [
        'edge 1 of "front" cannot be told in sizes S, L, XL, from sizes M, L: gone',
        'edge 2 of "front" is not there (size L)',
        'edge 1 of "back" cannot be told in size S, from size M: gone',
    ]


@pytest.mark.parametrize("sizes", [[], ["S", "one size", "3.5", "(", "10"]])
def test_messages_that_name_no_size_or_differ_otherwise_stay(sizes: list[str]) -> None:
    messages = [
        "the size is gone",
        "size 100 mm",
        "oversize S",
        "size S: 1",
        "size S: 2",
    ]

    assert once_for_sizes(messages, sizes) == messages


def test_a_size_that_begins_like_another_is_not_taken_for_it() -> None:
    messages = ["size 3.5: gone", "size 3: gone", "size 3.5: gone too"]

    told = once_for_sizes(messages, ["3", "3.5"])

    assert told == ["sizes 3.5, 3: gone", "size 3.5: gone too"]


@pytest.mark.parametrize("unseen", ["\u200d", "\u202e", "\ufeff", "\t"])
def test_what_is_unseen_in_a_name_is_a_blank_as_in_a_drawing(unseen: str) -> None:
    assert same_name("back yoke", f"Back{unseen}yoke")

"""Edge numbers of a job file in every size, and in a drawing that was changed."""

from pathlib import Path as FilePath

import numpy as np
import pytest
from drawn import bodice, job_of, piece_of
from shapes import polygon, rectangle

from edgefinder.classifier.carrying import Carried, InDoubtError, carry_numbers
from edgefinder.classifier.editing.drawn_rows import write_as_drawn
from edgefinder.classifier.matching.edge_traits import piece_traits, rows_from_traits
from edgefinder.classifier.sizes import sort_by_size
from edgefinder.errors import EdgefinderError, TagError
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import concatenate, cubic_segments, line_segments
from edgefinder.pattern.pieces import Piece
from edgefinder.schedule.drawn_shapes import refreshed_text

HEAD = """
drawings = ["a.svg"]
[[tapes]]
name = "main"
finished_width = "9 mm"
"""

RUN = '[[runs]]\nname = "neck"\ntape = "main"\nedges = ["front 5"]\n'


def carried(folder: FilePath, text: str, *pieces: Piece) -> Carried:
    sizes, _ = sort_by_size([pieces])
    return carry_numbers(job_of(folder, HEAD + text), sizes)


def numbered(text: str, piece: Piece, name: str | None = None) -> str:
    """A job file that keeps the edges of a piece as they are drawn."""
    (rings,) = piece_traits([piece])
    size = piece.size or "one size"
    return write_as_drawn(text, name or piece.name, size, rows_from_traits(rings))


def labels(result: Carried, size: str = "one size", name: str = "front") -> list[str]:
    (found,) = [s for s in result.sizes if s.size == size]
    (piece,) = [p for p in found.pieces if p.name == name]
    return [edge.label for edge in piece.edges]


def moved(path: Path, affine: Affine) -> Path:
    found = Path(transform(path.segments, affine), closed=True)
    return (
        found if affine.a * affine.d - affine.b * affine.c > 0 else reverse_path(found)
    )


def turned(angle: float, *, mirrored: bool = False) -> Affine:
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    flip = -1.0 if mirrored else 1.0
    return Affine(flip * c, flip * s, -s, c, 70.0, -35.0)


def graded(share: float) -> Path:
    """The half bodice grown by a share, its length half as much."""
    grown = transform(bodice().segments, Affine(share, 0, 0, (1 + share) / 2, 0, 0))
    return Path(grown, closed=True)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("angle", [0.0, 12.0, 90.0, 180.0, 217.0])
def test_a_piece_that_is_moved_turned_or_mirrored_keeps_its_tags(
    tmp_path: FilePath, angle: float, mirrored: bool
) -> None:
    affine = turned(angle, mirrored=mirrored)
    old = piece_of(bodice())
    new = piece_of(moved(bodice(), affine))

    result = carried(tmp_path, numbered(HEAD + RUN, old).removeprefix(HEAD), new)

    neck = next(edge for edge in old.edges if edge.number == 5)
    ends = {complex(*_applied(affine, point)) for point in (neck.start, neck.end)}
    (piece,) = result.sizes[0].pieces
    (found,) = [edge for edge in piece.edges if 5 in edge.known_as]
    assert {np.round(found.start, 6), np.round(found.end, 6)} == {
        np.round(end, 6) for end in ends
    }


def _applied(affine: Affine, point: complex) -> tuple[float, float]:
    x, y = point.real, point.imag
    return (
        affine.a * x + affine.c * y + affine.e,
        affine.b * x + affine.d * y + affine.f,
    )


def test_an_edge_that_a_notch_has_split_keeps_its_number_in_all_its_parts(
    tmp_path: FilePath,
) -> None:
    old = piece_of(rectangle(200, 120))
    notched = polygon(0, 95, 100 + 6j, 105, 200, 200 + 120j, 120j)
    run = RUN.replace("front 5", "front 1")

    result = carried(
        tmp_path, numbered(HEAD + run, old).removeprefix(HEAD), piece_of(notched)
    )

    assert labels(result) == ["1", "1", "1", "1", "2", "3", "4"]
    (finding,) = result.findings
    assert finding.code == "renumbered"
    assert "edge 1 is now 1 and 2 and 3 and 4" in finding.message
    assert "tag job.toml --refresh" in finding.message


def test_two_edges_that_became_one_are_known_by_both_numbers(
    tmp_path: FilePath,
) -> None:
    sharp = polygon(0, 200, 240 + 60j, 240 + 180j, 180j)
    curve = Path(
        concatenate(
            [
                line_segments(0, 200),
                cubic_segments([[200, 225 + 15j, 238 + 35j, 240 + 70j]]),
                line_segments([240 + 70j, 240 + 180j, 180j], [240 + 180j, 180j, 0]),
            ]
        ),
        closed=True,
    )

    old, new = piece_of(sharp), piece_of(curve)
    run = RUN.replace("front 5", "front 4")
    result = carried(tmp_path, numbered(HEAD + run, old).removeprefix(HEAD), new)

    assert labels(result) == ["1", "2+3", "4", "5"]


def test_a_piece_that_was_renamed_is_known_by_its_shape(tmp_path: FilePath) -> None:
    old = piece_of(bodice())
    text = numbered(HEAD + RUN, old).removeprefix(HEAD)

    result = carried(
        tmp_path,
        text,
        piece_of(bodice(), "front panel"),
        piece_of(rectangle(90, 80), "pot"),
    )

    assert [p.name for p in result.sizes[0].pieces] == ["front", "pot"]
    assert result.drawn_names == {"front": "front panel"}
    (finding,) = result.findings
    assert finding.code == "renamed"


def test_a_piece_that_may_be_one_of_two_is_an_error_with_both(
    tmp_path: FilePath,
) -> None:
    old = piece_of(bodice())
    text = numbered(HEAD + RUN, old).removeprefix(HEAD)

    with pytest.raises(TagError) as caught:
        carried(tmp_path, text, piece_of(bodice(), "left"), piece_of(bodice(), "right"))

    (message,) = caught.value.messages
    assert '"left" or "right"' in message


def test_a_square_turned_by_half_a_right_angle_is_in_doubt_if_it_is_tagged(
    tmp_path: FilePath,
) -> None:
    old = piece_of(rectangle(100, 100))
    new = piece_of(moved(rectangle(100, 100), turned(45.0)))
    text = numbered(HEAD + RUN.replace("5", "1"), old).removeprefix(HEAD)

    with pytest.raises(TagError) as caught:
        carried(tmp_path, text, new)

    (message,) = caught.value.messages
    assert "edge 1" in message
    assert "it may be edge" in message


def test_a_doubtful_edge_that_nothing_names_is_no_error(tmp_path: FilePath) -> None:
    old = piece_of(rectangle(100, 100))
    new = piece_of(moved(rectangle(100, 100), turned(45.0)))
    text = numbered(HEAD + RUN.replace("5", "all"), old).removeprefix(HEAD)

    assert sorted(labels(carried(tmp_path, text, new))) == ["1", "2", "3", "4"]


def test_twenty_sizes_of_which_the_largest_is_half_as_large_again(
    tmp_path: FilePath,
) -> None:
    pieces = [
        piece_of(graded(share), "front", f"{n}")
        for n, share in enumerate(np.linspace(1.0, 1.5, 20), start=1)
    ]

    result = carried(tmp_path, RUN, *pieces)

    for size in result.sizes:
        assert labels(result, size.size) == ["1", "2", "3", "4", "5", "6"]


def test_a_size_with_one_more_corner_keeps_the_numbers_of_the_first(
    tmp_path: FilePath,
) -> None:
    small, large = bodice(), graded(1.2)
    with_vent = Path(
        concatenate(
            [
                line_segments([0, 180], [180, 190 + 60j]),
                line_segments(190 + 60j, 160 * 1.2 + 180j * 1.1),
                large.segments.take(slice(2, None)),
            ]
        ),
        closed=True,
    )

    result = carried(
        tmp_path, RUN, piece_of(small, size="S"), piece_of(with_vent, size="M")
    )

    found = labels(result, "M")
    assert found[-4:] == ["3", "4", "5", "6"]


def test_a_size_of_another_shape_is_an_error_that_names_edge_and_size(
    tmp_path: FilePath,
) -> None:
    with pytest.raises(TagError) as caught:
        carried(
            tmp_path,
            RUN,
            piece_of(bodice(), size="S"),
            piece_of(polygon(0, 300, 150 + 40j), size="M"),
        )

    (message,) = caught.value.messages
    assert message.startswith(f"{tmp_path / 'job.toml'}: ")
    assert "in size M, from size S" in message


SAID = '[[pieces]]\nname = "front"\nsame_edges = {{ {} }}\n'


def oblongs() -> tuple[Piece, Piece]:
    """An oblong in one size, a square in the next: edges cannot be told."""
    first = piece_of(rectangle(220, 200), size="1")
    return first, piece_of(rectangle(210, 210), size="2")


def test_what_a_person_says_of_an_edge_in_a_size_settles_the_doubt(
    tmp_path: FilePath,
) -> None:
    run = RUN.replace("front 5", "front 1")
    with pytest.raises(InDoubtError) as caught:
        carried(tmp_path, run, *oblongs())
    (doubt,) = caught.value.doubts
    assert (doubt.piece, doubt.edges, doubt.size) == ("front", frozenset({1}), "2")
    assert doubt.count == 4
    for number in (1, 2, 3, 4):
        said = SAID.format(f'"1 in 2" = {number}')
        result = carried(tmp_path, run + said, *oblongs())
        found = labels(result, "2")
        assert found[number - 1] == "1"
        assert sorted(found) == ["1", "2", "3", "4"]
        assert labels(result, "1") == ["1", "2", "3", "4"]


def test_an_edge_that_a_corner_divides_is_said_to_be_both_its_parts(
    tmp_path: FilePath,
) -> None:
    """The square has a corner in the middle of one side: which side is not known."""
    run = RUN.replace("front 5", "front 1")
    sizes = [
        piece_of(rectangle(220, 200), size="1"),
        piece_of(polygon(0, 105 - 30j, 210, 210 + 210j, 210j), size="2"),
    ]
    with pytest.raises(InDoubtError) as caught:
        carried(tmp_path, run, *sizes)
    (doubt,) = caught.value.doubts
    assert any(len(numbers) == 2 for numbers in doubt.choices)
    for numbers in doubt.choices:
        result = carried(
            tmp_path, run + SAID.format(f'"1 in 2" = {list(numbers)}'), *sizes
        )
        found = labels(result, "2")
        assert [i for i, one in enumerate(found, 1) if one == "1"] == sorted(numbers)
        assert set(found) >= {"1", "2", "3", "4"}
    for wrong in ("[]", "[1, 9]", '["1"]', "[0]"):
        with pytest.raises(EdgefinderError, match="same_edges"):
            carried(tmp_path, run + SAID.format(f'"1 in 2" = {wrong}'), *sizes)


def test_two_edges_are_told_apart_by_what_is_said_of_both(tmp_path: FilePath) -> None:
    run = RUN.replace('"front 5"', '"front 1", "front 2"')
    said = SAID.format('"1 in 2" = 4, "2 in 2" = 1')
    found = labels(carried(tmp_path, run + said, *oblongs()), "2")
    assert found[3] == "1"
    assert found[0] == "2"
    with pytest.raises(InDoubtError, match="edge 2 "):
        carried(tmp_path, run + SAID.format('"1 in 2" = 4'), *oblongs())


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ('"1 in 3" = 1', 'same_edges: "1 in 3": it has no such size'),
        ('"1 in 2" = 9', 'same_edges: "1 in 2": it has 4 edges there'),
    ],
)
def test_what_is_said_of_a_size_or_an_edge_that_is_not_there_is_a_mistake(
    tmp_path: FilePath, said: str, message: str
) -> None:
    with pytest.raises(TagError, match=message):
        carried(tmp_path, SAID.format(said), *oblongs())


def test_new_numbers_are_those_of_what_was_said_too(tmp_path: FilePath) -> None:
    oblong, square = oblongs()
    said = numbered(
        'name = "a"\n' + HEAD + SAID.format('"1 in 2" = 3, "2 in 1" = 2'), oblong
    )
    job = job_of(tmp_path, said.removeprefix('name = "a"\n'))
    sizes, _ = sort_by_size([[oblong, square]])
    text = refreshed_text(job.text, job, sizes, carry_numbers(job, sizes))
    again = job_of(tmp_path, text)
    (front,) = again.pieces
    assert [(one.edge, one.size, one.numbers) for one in front.same_edges] == [
        (1, "2", (3,))
    ]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ('"9 in 2" = 2', '"9 in 2": its edges are numbered 1 to 6'),
        ('"1 in 1" = 2', '"1 in 1": edges have the numbers of size 1; take it out'),
    ],
)
def test_what_is_said_of_a_number_that_means_no_other_edge_is_the_only_mistake(
    tmp_path: FilePath, said: str, message: str
) -> None:
    """What edge it would have been says nothing about the other edges."""
    run = RUN.replace("front 5", "front 2")
    one, other = (piece_of(bodice(), size=size) for size in "12")
    carried(tmp_path, run, one, other)
    with pytest.raises(TagError) as caught:
        carried(tmp_path, run + SAID.format(said), one, other)
    (told,) = caught.value.messages
    assert told == f'{tmp_path / "job.toml"}: pieces "front": same_edges: {message}'


def test_what_is_true_of_the_size_in_which_edges_are_numbered_may_be_said(
    tmp_path: FilePath,
) -> None:
    said = SAID.format('"1 in 1" = 1, "1 in 2" = 1')
    result = carried(tmp_path, RUN.replace("front 5", "front 1") + said, *oblongs())
    assert labels(result, "1") == ["1", "2", "3", "4"]

"""Grain lines reach the pieces that they are drawn in."""

from pathlib import Path as FilePath

import pytest
from drawn import bodice, drawn, pieces_of
from interchange_files import bib, file_of, line

from edgefinder.classifier.job_file import drawing_job
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import line_segments
from edgefinder.schedule.reading import read_pattern


def straight(*points: complex) -> Path:
    return Path(line_segments(points[:-1], points[1:]), closed=False)


def square(side: float, at: complex = 0j) -> Path:
    corners = [at, at + side, at + side + 1j * side, at + 1j * side]
    return Path(line_segments(corners, [*corners[1:], at]), closed=True)


@pytest.mark.parametrize("by", ["classes", "layer", "label", "id"])
def test_a_line_that_is_called_a_grain_line_belongs_to_the_piece_around_it(
    by: str,
) -> None:
    called = {"classes": ("Grain",)} if by == "classes" else {by: "Grain line 2"}
    line = drawn(straight(40 + 50j, 40 + 250j), **called)

    (piece,) = pieces_of(drawn(bodice(), label="front"), line)

    assert piece.around.grain_line == (40 + 50j, 40 + 250j)


def test_a_line_of_another_name_is_none() -> None:
    line = drawn(straight(40 + 50j, 40 + 250j), label="centre")

    (piece,) = pieces_of(drawn(bodice(), label="front"), line)

    assert piece.around.grain_line is None


def test_of_a_line_with_arrows_its_shaft_counts_and_heads_alone_do_not() -> None:
    arrow = straight(44 + 56j, 40 + 50j, 40 + 250j, 44 + 244j)
    head = straight(40 + 50j, 44 + 56j)
    (piece,) = pieces_of(drawn(bodice()), drawn(arrow, label="grain"))
    (other,) = pieces_of(drawn(bodice()), drawn(head, label="grain"))

    assert piece.around.grain_line == (40 + 50j, 40 + 250j)
    assert other.around.grain_line is None


def test_the_longest_of_several_lines_in_a_piece_is_its_grain_line() -> None:
    short = drawn(straight(20 + 50j, 20 + 90j), label="grain")
    long = drawn(straight(40 + 50j, 40 + 250j), label="grain")

    for lines in ((short, long), (long, short)):
        (piece,) = pieces_of(drawn(bodice()), *lines)
        assert piece.around.grain_line == (40 + 50j, 40 + 250j)


def test_a_line_without_a_size_serves_every_size_around_it() -> None:
    nest = [
        drawn(square(side), label="front", layer=f"Size {size}")
        for size, side in (("S", 200.0), ("M", 220.0))
    ]
    line = drawn(straight(50 + 50j, 50 + 150j), label="grain")
    of_m = drawn(straight(50 + 50j, 50 + 150j), label="grain", layer="Size M")

    both = pieces_of(*nest, line)
    only = pieces_of(*nest, of_m)

    assert [p.around.grain_line is not None for p in both] == [True, True]
    assert [p.around.grain_line is not None for p in only] == [False, True]


def test_an_interchange_file_has_its_grain_lines_on_a_layer(
    tmp_path: FilePath,
) -> None:
    path = tmp_path / "bib.dxf"
    path.write_bytes(file_of([bib(None, line(40 + 50j, 40 + 250j, 7))]))

    (piece,) = read_pattern(drawing_job(path)).pieces

    assert piece.around.grain_line == (40 + 50j, 40 + 250j)

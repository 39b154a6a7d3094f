"""Sizes glued to the names of pieces."""

from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from drawn import piece_of
from hypothesis import given
from hypothesis import strategies as st
from shapes import rectangle
from tape_cases import job_of

from edgefinder.pattern.glued_sizes import without_glued_sizes
from edgefinder.pattern.pieces import Piece
from edgefinder.schedule.reading import read_pattern

BOX = piece_of(rectangle(100, 60), "box", None)


def piece(name: str, size: str | None) -> Piece:
    return replace(BOX, name=name, size=size)


def names(*pieces: tuple[str, str | None], given: tuple[str, ...] = ()) -> list[str]:
    (found,) = without_glued_sizes([[piece(*one) for one in pieces]], given)
    return [one.name for one in found]


@pytest.mark.parametrize(
    ("pieces", "expected"),
    [
        ([("yoke38", "38"), ("yoke40", "40"), ("yoke42", "42")], ["yoke"] * 3),
        ([("YokeS", "S"), ("YokeXL", "XL")], ["Yoke"] * 2),
        ([("yokes", "S"), ("yokem", "M")], ["yoke"] * 2),
        ([("front-38", "38"), ("front-40", "40")], ["front"] * 2),
        # One size alone, another word, a longer number, a name that is only the size.
        ([("sleeves", "S"), ("sleeves", "M")], ["sleeves"] * 2),
        ([("yoke40", "40"), ("front", "42")], ["yoke40", "front"]),
        ([("yoke138", "38"), ("yoke140", "40")], ["yoke138", "yoke140"]),
        ([("38", "38"), ("40", "40")], ["38", "40"]),
        ([("yoke38", None), ("yoke40", None)], ["yoke38", "yoke40"]),
        ([("yoke40", "38"), ("yoke38", "40")], ["yoke40", "yoke38"]),
        # Two pieces of one size would have one name.
        (
            [("yoke38", "38"), ("yoke40", "40"), ("yoke", "40")],
            ["yoke38", "yoke40", "yoke"],
        ),
        (
            [("yoke38", "38"), ("yoke40", "40"), ("yoke", None)],
            ["yoke38", "yoke40", "yoke"],
        ),
    ],
)
def test_a_size_is_taken_off_where_another_size_agrees(
    pieces: list[tuple[str, str | None]], expected: list[str]
) -> None:
    assert names(*pieces) == expected


def test_a_name_of_the_job_file_stays() -> None:
    pieces = [("yoke38", "38"), ("yoke40", "40"), ("yoke42", "42")]

    assert names(*pieces, given=("Yoke40",)) == ["yoke", "yoke40", "yoke"]


def test_sizes_in_files_of_their_own_agree_too() -> None:
    drawings = [[piece("yoke38", "38")], [piece("yoke40", "40")]]

    found = without_glued_sizes(drawings)

    assert [one.name for pieces in found for one in pieces] == ["yoke", "yoke"]


LETTERS = st.text("abcdefgh", min_size=1, max_size=6)


@given(LETTERS, st.lists(st.integers(30, 60), min_size=2, max_size=8, unique=True))
def test_any_name_with_its_size_is_the_name(stem: str, sizes: list[int]) -> None:
    glued = [(f"{stem}{size}", str(size)) for size in sizes]

    assert names(*glued) == [stem] * len(sizes)


def test_a_nest_in_layers_of_its_sizes_is_one_piece(tmp_path: FilePath) -> None:
    groups = "".join(
        f'<g id="{size}"><path id="yoke{size}" d="M 0 0 h {size}0 v 80 h -{size}0 z"/>'
        "</g>"
        for size in (38, 40, 42)
    )
    job = job_of(tmp_path, groups, 'sizes = "layer"\n')

    sizes = read_pattern(job).sizes

    assert [(one.size, one.pieces[0].name) for one in sizes] == [
        ("38", "yoke"),
        ("40", "yoke"),
        ("42", "yoke"),
    ]

"""Texts within pieces: which piece they are about, and what they say of it."""

import numpy as np
import pytest
from drawn import drawing, drawn, text
from shapes import polygon, rectangle

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import DrawnLine, DrawnText, Reading
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.settings import FindingSettings, SizeSource

FRONT = rectangle(400, 300)
POCKET = polygon(100 + 100j, 180 + 100j, 180 + 180j, 100 + 180j)


def at(path: Path, by: complex) -> Path:
    shift = Affine(1, 0, 0, 1, by.real, by.imag)
    return Path(transform(path.segments, shift), path.closed)


def found(
    *lines: DrawnLine,
    texts: tuple[DrawnText, ...],
    settings: FindingSettings | None = None,
) -> tuple[Piece, ...]:
    reading = Reading(drawing(*lines, texts=texts), ())
    return find_pieces(reading, settings or FindingSettings()).pieces


def titles(pieces: tuple[Piece, ...]) -> list[tuple[str, str | None]]:
    return [(piece.name, piece.size) for piece in pieces]


def test_a_text_within_a_piece_names_it() -> None:
    texts = (
        text("Front bodice", 50 + 60j),
        text("Size M", 50 + 50j),
        text("cut 1 on fold", 50 + 40j),
        text("outside", 900),
    )

    (piece,) = found(drawn(FRONT), texts=texts)

    assert (piece.name, piece.size) == ("Front bodice", "M")
    assert piece.quantity == "cut 1 on fold"


def test_each_piece_is_named_by_its_own_text() -> None:
    pieces = found(
        drawn(FRONT, layer="Cut"),
        drawn(at(FRONT, 500), layer="Cut"),
        texts=(text("back", 550 + 50j), text("front", 50 + 50j)),
    )

    assert titles(pieces) == [("front", None), ("back", None)]


@pytest.mark.parametrize(
    "marks",
    [
        {"label": "Bib"},
        {"id": "Bib"},
        {"layer": "All", "groups": ("All", "Bib")},
        {"layer": "Bib"},
    ],
)
def test_what_the_line_itself_is_called_comes_before_a_text(
    marks: dict[str, str],
) -> None:
    (piece,) = found(
        drawn(FRONT, **marks),  # type: ignore[arg-type]
        texts=(text("Front bodice", 50 + 60j),),
    )

    assert piece.name == "Bib"


@pytest.mark.parametrize("layer", ["Cut", "cutting lines", "Outlines", "0", "Pattern"])
def test_a_layer_that_says_what_lines_are_for_does_not(layer: str) -> None:
    (piece,) = found(drawn(FRONT, layer=layer), texts=(text("Bib", 50 + 60j),))

    assert piece.name == "Bib"


def test_a_layer_that_several_pieces_share_does_not() -> None:
    pieces = found(
        drawn(FRONT, layer="Smock"),
        drawn(at(FRONT, 500), layer="Smock"),
        texts=(text("front", 50 + 50j),),
    )

    assert titles(pieces) == [("front", None), ("Smock", None)]


def test_a_text_in_a_pocket_placement_does_not_name_the_piece() -> None:
    lines = drawn(FRONT), drawn(POCKET)
    texts = text("pocket placement", 110 + 120j), text("front", 300 + 250j)

    assert titles(found(*lines, texts=texts)) == [("front", None)]


def test_a_text_within_the_sewing_line_is_about_the_piece() -> None:
    sewing = Path(transform(FRONT.segments, Affine(0.95, 0, 0, 0.95, 10, 7)), True)

    (piece,) = found(drawn(FRONT), drawn(sewing), texts=(text("front", 200 + 150j),))

    assert piece.name == "front"


def nested(count: int = 4, **marks: object) -> list[DrawnLine]:
    return [
        drawn(
            Path(transform(FRONT.segments, Affine(k, 0, 0, k, 10 * n, 10 * n)), True),
            **{key: value[n] for key, value in marks.items()},  # type: ignore[index]
        )
        for n, k in ((n, 1 - 0.08 * n) for n in range(count))
    ]


def test_one_text_names_all_sizes_of_a_nest() -> None:
    lines = nested(layer=[f"Size {size}" for size in "LMSX"])

    pieces = found(*lines, texts=(text("front", 200 + 150j, layer="Words"),))

    assert titles(pieces) == [("front", size) for size in "LMSX"]


def test_one_text_names_a_nest_whose_sizes_are_not_known() -> None:
    pieces = found(*nested(), texts=(text("front", 200 + 150j),))

    assert [piece.name for piece in pieces] == [
        "front",
        "front 2",
        "front 3",
        "front 4",
    ]


def test_a_text_of_one_size_names_no_other() -> None:
    lines = nested(2, layer=["Size L", "Size M"])
    texts = text("front L", 200 + 150j, layer="Size L"), text("size 9", 200 + 140j)

    assert titles(found(*lines, texts=texts)) == [("front", "L"), ("piece 1", "M")]


def test_a_piece_within_another_has_its_own_text() -> None:
    front = drawn(FRONT, layer="All", groups=("All", "path1"))
    pocket = drawn(POCKET, layer="All", groups=("All", "pocket"))

    pieces = found(front, pocket, texts=(text("size 7", 110 + 120j),))

    assert titles(pieces) == [("All", None), ("pocket", "7")]


def test_a_size_in_a_text_counts_only_where_nothing_else_gives_one() -> None:
    texts = (text("Size M", 50 + 50j),)

    assert found(drawn(FRONT, layer="Size S"), texts=texts)[0].size == "S"
    by_file = FindingSettings(sizes=SizeSource.FILE)
    assert found(drawn(FRONT), texts=texts, settings=by_file)[0].size == "test"
    by_colour = FindingSettings(sizes=SizeSource.COLOUR)
    assert found(drawn(FRONT), texts=texts, settings=by_colour)[0].size is None


def test_a_name_that_could_move_the_cursor_is_harmless() -> None:
    (piece,) = found(drawn(FRONT), texts=(text("front\x1b[2J\u202e", 50 + 50j),))

    assert piece.name == "front [2J"


def test_thousands_of_texts_are_sorted_in_one_pass() -> None:
    lines = [drawn(at(POCKET, 100 * n)) for n in range(300)]
    texts = tuple(
        text(f"pocket {n}", 110 + 100 * n + (110 + k) * 1j)
        for n in range(300)
        for k in range(10)
    )

    pieces = found(*lines, texts=texts)

    assert titles(pieces) == [(f"pocket {n}", None) for n in range(300)]


def test_texts_in_a_deep_nest_do_not_fill_the_memory() -> None:
    lines = [
        drawn(polygon(*(np.array([0, 1, 1 + 1j, 1j]) * (2000 - 5 * n)).tolist()))
        for n in range(300)
    ]
    texts = tuple(text("front", 10 + 10j) for _ in range(20_000))

    assert len(found(*lines, texts=texts)) == 300

import pytest
from svg_texts import length_of, read_body

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.path import Path
from edgefinder.importers.svg import outlines as svg_outlines
from edgefinder.importers.svg.outlines import Outline, read_outlines
from edgefinder.importers.svg.shapes import PathText
from edgefinder.importers.svg.subpath import Subpath, line

MM = Affine()


def paths(found: tuple[Path, ...] | DrawingError) -> tuple[Path, ...]:
    assert not isinstance(found, DrawingError)
    return found


def test_what_is_read_together_comes_out_in_order_with_its_own_map() -> None:
    outlines = [
        Outline(PathText("M0 0L1 0"), Affine(a=2)),
        Outline((Subpath((line(0, 3),), closed=False),), MM),
        Outline(PathText("M0 0A1 1 0 011 1"), MM),  # flags run together
        Outline(PathText(""), MM),
        Outline(PathText("M0 0L5 0M0 1L0 7"), Affine(a=10, d=10)),
    ]

    found = [paths(one) for one in read_outlines(outlines)]

    assert [[path.end for path in one] for one in found] == [
        [2],
        [3],
        [pytest.approx(1 + 1j)],
        [],
        [50, 70j],
    ]


def test_a_mistake_is_that_of_its_own_outline() -> None:
    outlines = [
        Outline(PathText("M0 0L1 0"), MM),
        Outline(PathText("M0 0L1"), MM),
        Outline(PathText("M0 0L1 0"), Affine(a=1e11)),
        Outline(PathText("M0 0L\u0661 0"), MM),
        Outline(PathText("M0 0L1 0"), MM),
    ]

    first, wrong, far, foreign, last = read_outlines(outlines)

    assert paths(first)[0].end == paths(last)[0].end == 1
    assert "in its path data" in str(wrong)
    assert "reaches beyond 1,000 km" in str(far)
    assert "is not a command or a number" in str(foreign)


@pytest.mark.parametrize("size", [1, 7, 100, 10**9])
def test_how_many_are_read_together_changes_nothing(
    size: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(svg_outlines, "BATCH_CHARACTERS", size)
    body = "".join(
        f'<path d="m0 0l{i} 4z"/><rect width="{i}" height="1"/>' for i in range(1, 40)
    )

    lines = read_body(body).drawing.lines

    assert [line.kind for line in lines] == ["path", "rect"] * 39
    for i, one in enumerate(lines[::2], 1):
        assert length_of(one) == pytest.approx(2 * abs(complex(i, 4)))


def test_outlines_without_length_are_read_together_up_to_a_number(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(svg_outlines, "BATCH_OUTLINES", 3)

    assert len(read_body("<rect width='1' height='1'/>" * 11).drawing.lines) == 11


def test_a_drawing_of_too_many_segments_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(svg_outlines, "MAX_SEGMENTS", 100)
    monkeypatch.setattr(svg_outlines, "BATCH_CHARACTERS", 10)

    with pytest.raises(DrawingError) as caught:
        read_body('<path d="M0 0h1h1h1h1"/>' * 30)

    assert caught.value.messages == (
        "test.svg: draws more than 100 segments; export the pattern pieces alone",
    )


def test_an_outline_of_too_many_characters_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(svg_outlines, "MAX_PATH_CHARACTERS", 20)

    with pytest.raises(DrawingError, match="path data of 21 characters, more than 20"):
        read_body(f'<path d="M0 0{"H1" * 8} "/>')


def test_mistakes_are_told_in_the_order_of_the_drawing() -> None:
    body = (
        '<path d="M0 0L1"/>\n<circle r="-1"/>\n<path d="M0 0L2"/>\n'
        '<polyline points="1 2 3"/>\n<path transform="x" d="M0 0"/>'
    )

    with pytest.raises(DrawingError) as caught:
        read_body(body)

    lines = [message.split(": ")[1] for message in caught.value.messages]
    assert lines == ["line 2", "line 3", "line 4", "line 5", "line 6"]


def test_points_are_no_path_data_even_if_they_could_be() -> None:
    for points in ("0,0 L5 5", "0 0M5 5", "0 0z"):
        with pytest.raises(DrawingError, match="in its points"):
            read_body(f'<polyline points="{points}"/>')

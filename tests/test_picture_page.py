"""Sheets of pieces: true to scale, nothing on top of anything, safe to open."""

import re
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from command_line import APRON, SMOCK
from sheet_cases import (
    HOSTILE,
    hostile_release,
    made,
    outline,
    random_release,
    run_of,
)

from edgefinder.reports.picture.pens import (
    BAND_FILLS,
    LEADER,
    RUN_COLOURS,
    run_letter,
    run_pen,
)
from edgefinder.reports.picture.place_stretches import numbered_places
from edgefinder.reports.picture.release_picture import (
    MARK,
    picture_svg,
    piece_pictures,
)
from edgefinder.reports.place_text import place_where
from edgefinder.reports.svg_drawing import NAMESPACE
from edgefinder.schedule.release import Release, release_from_file

SVG = f"{{{NAMESPACE}}}"
RECTANGLE = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")


def root_of(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)  # noqa: S314 - made a line above


def of_kind(svg: str, *kinds: str) -> list[ElementTree.Element]:
    return [one for one in root_of(svg).iter() if one.get("class") in kinds]


def points(element: ElementTree.Element) -> list[complex]:
    pairs = [pair.split(",") for pair in element.get("points", "").split()]
    return [complex(float(x), float(y)) for x, y in pairs]


def releases() -> list[Release]:
    return [release_from_file(job) for job in (APRON, SMOCK)]


def test_pieces_are_drawn_to_the_scale_that_the_bar_names(tmp_path: Path) -> None:
    svg = picture_svg(made(tmp_path, RECTANGLE, run_of("top", "bib 1")))

    root = root_of(svg)
    _, _, across, along = map(float, root.get("viewBox", "").split())
    width, height = (
        float(root.get(k, "").removesuffix("mm")) for k in ("width", "height")
    )
    (said,) = re.findall(r"drawn 1 : ([\d.]+)", svg)
    assert across / width == pytest.approx(float(said), rel=1e-4)
    assert along / height == pytest.approx(float(said), rel=1e-4)
    corners = [p for edge in of_kind(svg, "edge") for p in points(edge)]
    assert max(p.real for p in corners) - min(p.real for p in corners) == pytest.approx(
        300
    )
    assert max(p.imag for p in corners) - min(p.imag for p in corners) == pytest.approx(
        200
    )
    bar = points(of_kind(svg, "scale-bar")[0])
    (size,) = re.findall(r">(\d+) mm, drawn", svg)
    assert abs(bar[1] - bar[0]) == pytest.approx(float(size))


def test_every_size_and_piece_of_the_demo_is_on_the_sheet() -> None:
    for release in releases():
        texts = [
            "".join(t.itertext())
            for t in root_of(picture_svg(release)).iter(f"{SVG}text")
        ]

        for size in release.sizes:
            assert f"Size {size.size}" in texts
        for tagged in release.sizes[0].tagged.pieces:
            assert texts.count(tagged.piece.name) == len(release.sizes)


def test_a_pattern_without_sizes_has_one(tmp_path: Path) -> None:
    release = made(tmp_path, RECTANGLE, run_of("top", "bib 1"))

    texts = ["".join(t.itertext()) for t in of_kind(picture_svg(release), "words")]

    assert "One size" in texts
    (picture,) = piece_pictures(release, release.sizes[0], "p")
    assert "bib, one size</title>" in picture.svg


def test_the_numbers_lead_to_the_places_told_below() -> None:
    release = release_from_file(APRON)

    texts = ["".join(t.itertext()) for t in of_kind(picture_svg(release), "words")]

    assert texts.count("Places to watch") == len(release.sizes)
    whole = " ".join(texts)
    for size in release.sizes:
        for numbered in numbered_places(size):
            said = place_where(numbered.report, release.job.unit)
            assert said in whole
            assert str(numbered.number) in texts


def test_runs_differ_in_colour_or_pattern_and_neighbours_in_both() -> None:
    pens = [run_pen(i) for i in range(30)]

    assert len({(pen.colour, pen.dashes) for pen in pens}) == 30
    for one, other in pairwise(pens):
        assert one.colour != other.colour
        assert one.dashes != other.dashes
    assert len({run_letter(i) for i in range(800)}) == 800


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def on_white(colour: str) -> float:
    return 1.05 / (luminance(colour) + 0.05)


def test_lines_stand_out_from_the_paper_as_much_as_wcag_asks() -> None:
    assert on_white("#000000") == pytest.approx(21.0)
    assert min(on_white(colour) for colour in RUN_COLOURS) >= 3.0
    assert on_white(LEADER.colour) >= 7.0
    assert len(set(BAND_FILLS.values())) == len(BAND_FILLS)


def boxes(svg: str) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Boxes of texts by the widest that their letters can be thought of."""
    found = []
    for text in root_of(svg).iter(f"{SVG}text"):
        size = float(text.get("font-size", ""))
        said = "".join(text.itertext())
        # DejaVu Sans Bold, the widest font in common use, has 0.77 em for a capital.
        wide = float(text.get("textLength", 0)) or 0.55 * size * len(said)
        x, y = float(text.get("x", "")), float(text.get("y", ""))
        left = x - wide / 2 if text.get("text-anchor") == "middle" else x
        found.append((said, (left, y - 0.75 * size, left + wide, y)))
    return found


def assert_apart(svg: str) -> None:
    for (one, a), (other, b) in combinations(boxes(svg), 2):
        touch = a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
        assert not touch, (one, other)


def test_no_text_stands_on_another_on_the_demo() -> None:
    for release in releases():
        assert_apart(picture_svg(release))
        for picture in piece_pictures(release, release.sizes[0], "p"):
            assert_apart(picture.svg)


@pytest.mark.parametrize("seed", range(10))
def test_no_text_stands_on_another_on_random_pieces(tmp_path: Path, seed: int) -> None:
    assert_apart(picture_svg(random_release(tmp_path, seed)))


def test_a_picture_says_what_it_shows_to_those_who_do_not_see_it() -> None:
    release = release_from_file(APRON)

    for picture in piece_pictures(release, release.sizes[0], "s1"):
        root = root_of(picture.svg)
        title, description = root[0], root[1]
        assert (title.tag, description.tag) == (f"{SVG}title", f"{SVG}desc")
        assert root.get("role") == "img"
        assert (
            root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
        )
        assert title.text == f"{picture.piece}, size S"
    front = piece_pictures(release, release.sizes[0], "s1")[0]
    assert "on the fold" in front.svg
    assert "places to watch: 1, 2, 4, 5." in front.svg


def test_hostile_names_are_text_and_nothing_is_run_or_styled(tmp_path: Path) -> None:
    release = hostile_release(tmp_path)

    for svg in (
        picture_svg(release),
        *(p.svg for p in piece_pictures(release, release.sizes[0], "p")),
    ):
        tags = {one.tag.removeprefix(SVG) for one in root_of(svg).iter()}
        assert tags <= {
            "svg",
            "title",
            "desc",
            "rect",
            "polygon",
            "polyline",
            "line",
            "text",
        }
        for one in root_of(svg).iter():
            assert "style" not in one.attrib
            assert not any(key.lower().startswith("on") for key in one.attrib)
    texts = [
        "".join(t.itertext()) for t in root_of(picture_svg(release)).iter(f"{SVG}text")
    ]
    assert HOSTILE[0] in texts


def test_the_same_release_gives_the_same_bytes_and_is_known_again() -> None:
    release = release_from_file(APRON)

    assert picture_svg(release) == picture_svg(release_from_file(APRON))
    assert picture_svg(release).startswith(MARK)

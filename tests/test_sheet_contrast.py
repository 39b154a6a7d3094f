"""Contrast in everything that is drawn: texts on what lies below them, lines on paper.

The formula is that of WCAG 2.2 (W3C Recommendation, 2023), "relative luminance" and
"contrast ratio"; texts need 4.5:1 (1.4.3), lines and shapes 3:1 (1.4.11). Colours and
grounds are taken from the pictures as they are drawn.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import shapely
from command_line import APRON, SMOCK
from html_page import Node, parsed
from shapely.affinity import rotate
from sheet_cases import hostile_release, large_job, random_release

from edgefinder.reports.chart_marks import text_width
from edgefinder.reports.cutting_files import release_charts
from edgefinder.reports.picture.pens import RUN_COLOURS, RUN_DASHES
from edgefinder.reports.picture.release_picture import picture_svg
from edgefinder.reports.sheet.page import sheet_html
from edgefinder.schedule.release import Release, release_from_file

TEXT = 4.5
LINE = 3.0
WHITE = "#FFFFFF"
RUNS = 2 * len(RUN_DASHES)
"""Of one pattern: every colour and every dash comes at least once."""


def luminance(colour: str) -> float:
    """Relative luminance of a colour #RRGGBB."""
    assert len(colour) == 7, f"{colour} is not a plain colour"
    assert colour.startswith("#")
    shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [
        s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares
    ]
    return sum(c * s for c, s in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_known_ratios() -> None:
    assert contrast("#000000", WHITE) == pytest.approx(21.0)
    # Greys that Understanding WCAG 2.2 and its tools name as just enough on white.
    assert contrast("#767676", WHITE) == pytest.approx(4.54, abs=0.005)
    assert contrast("#949494", WHITE) == pytest.approx(3.03, abs=0.005)


@dataclass(frozen=True, slots=True)
class Filled:
    """A shape with a colour, or with a pattern."""

    shape: shapely.Polygon
    fill: str


def releases(folder: Path) -> Iterator[Release]:
    yield release_from_file(APRON)
    yield release_from_file(SMOCK)
    for seed in (3, 4, 8):
        yield random_release(folder, seed)
    yield hostile_release(folder)
    yield release_from_file(large_job(folder, RUNS, 1))


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> list[Node]:
    """Every picture, chart and sample of every release."""
    folder = tmp_path_factory.mktemp("contrast")
    found: list[Node] = []
    for release in releases(folder):
        charts = release_charts(release)
        texts = [sheet_html(release), picture_svg(release)]
        texts += [text for name, text in charts.items() if name.endswith(".svg")]
        found += [
            svg for text in texts for svg in parsed(_without_heading(text)).all("svg")
        ]
    return found


def _without_heading(text: str) -> str:
    return text.partition("?>")[2] if text.startswith("<?xml") else text


def drawn(picture: Node) -> Iterator[Node]:
    """What is drawn, in painting order; patterns are no part of it by themselves."""
    for one in picture.children:
        if one.tag not in {"defs", "title", "desc"}:
            yield one
            yield from drawn(one)


def points(node: Node) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in node.attributes["points"].split()]
    return [(float(x), float(y)) for x, y in pairs]


def filled(node: Node) -> Filled | None:
    """The area that an element covers, if it covers any."""
    said = node.attributes
    fill = said.get("fill", "#000000")
    if fill == "none" or node.tag not in {"rect", "polygon", "polyline"}:
        return None
    if node.tag == "rect":
        x, y = float(said.get("x", 0)), float(said.get("y", 0))
        wide, high = float(said["width"]), float(said["height"])
        return Filled(shapely.box(x, y, x + wide, y + high), fill)
    return Filled(shapely.make_valid(shapely.Polygon(points(node))), fill)


def places(node: Node) -> list[shapely.Point]:
    """Points all along the middle of a text."""
    said = node.attributes
    size, x, y = (float(said[key]) for key in ("font-size", "x", "y"))
    wide = text_width(node.text, size)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}
    start = x + left[said.get("text-anchor", "start")]
    found = [
        shapely.Point(start + wide * share, y - 0.35 * size)
        for share in (0.1, 0.3, 0.5, 0.7, 0.9)
    ]
    if "transform" not in said:
        return found
    angle, *about = said["transform"].removeprefix("rotate(").removesuffix(")").split()
    centre = tuple(map(float, about)) if about else (0.0, 0.0)
    return [rotate(point, float(angle), origin=centre) for point in found]


def test_every_picture_stands_on_white_paper_of_its_own(pictures: list[Node]) -> None:
    assert len(pictures) > 100
    for picture in pictures:
        ground = filled(next(drawn(picture)))
        left, top, wide, high = map(float, picture.attributes["viewbox"].split())
        assert ground is not None
        assert ground.fill == WHITE
        whole = shapely.box(left, top, left + wide, top + high)
        assert ground.shape.buffer(0.02).covers(whole)


def test_every_text_keeps_its_contrast_on_what_lies_below_it(
    pictures: list[Node],
) -> None:
    grounds = set()
    for picture in pictures:
        below: list[Filled] = []
        for one in drawn(picture):
            shape = filled(one)
            if shape is not None:
                below.append(shape)
            if one.tag != "text" or not one.text:
                continue
            colour = one.attributes.get("fill", "#000000")
            for place in places(one):
                on = next(s.fill for s in reversed(below) if s.shape.intersects(place))
                assert contrast(colour, on) >= TEXT, (one.text, colour, on)
                grounds.add((colour, on))

    assert ("#FFFFFF", "#000000") in grounds  # a number in a black frame
    assert len(grounds) > 1


def test_every_line_and_shape_keeps_its_contrast_on_paper(
    pictures: list[Node],
) -> None:
    colours = set()
    for picture in pictures:
        for one in drawn(picture):
            said = one.attributes
            kind, stroke = said.get("class"), said.get("stroke")
            if one.tag != "text" and stroke is not None and kind != "bound-below":
                assert contrast(stroke, WHITE) >= LINE, (kind, stroke)
                colours.add(stroke)
            shape = filled(one)
            if shape is None or shape.fill == WHITE or shape.fill.startswith("url("):
                continue
            assert contrast(shape.fill, WHITE) >= LINE, (kind, shape.fill)
            colours.add(shape.fill)

    assert colours >= set(RUN_COLOURS)


def test_a_hatch_is_lines_that_keep_their_contrast(pictures: list[Node]) -> None:
    patterns = [one for picture in pictures for one in picture.all("pattern")]

    assert len(patterns) > 5
    for pattern in patterns:
        for line in pattern.children:
            assert contrast(line.attributes["stroke"], WHITE) >= LINE


def test_a_run_keeps_its_contrast_on_black_bands_by_a_white_line_below(
    pictures: list[Node],
) -> None:
    found = 0
    for picture in pictures:
        before: Node | None = None
        for one in drawn(picture):
            if one.attributes.get("class") == "bound":
                assert before is not None
                assert before.attributes["class"] == "bound-below"
                assert before.attributes["stroke"] == WHITE
                assert before.attributes["points"] == one.attributes["points"]
                wider = float(before.attributes["stroke-width"])
                assert wider > float(one.attributes["stroke-width"])
                found += 1
            before = one
    assert found > 100

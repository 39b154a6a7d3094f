"""Pictures in a PDF: every line and word of the SVG, where it is there."""

import io
import math
import re
from pathlib import Path
from typing import Final
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from command_line import APRON, SMOCK
from hypothesis import given
from hypothesis import strategies as st
from pdf_pages import page_texts, painted, read, squeezed
from reportlab.platypus import SimpleDocTemplate
from shapely import LineString, MultiLineString, Polygon
from sheet_cases import random_release

from edgefinder.reports.chart_marks import text_width
from edgefinder.reports.pdf.hatch import Hatch, hatch_lines
from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.picture import Picture
from edgefinder.reports.sheet.content import sheet_content
from edgefinder.schedule.release import Release, release_from_file

MM: Final = 72 / 25.4
LETTERS: Final = Letters(())
HEAD: Final = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" '
    'viewBox="-10 -20 200 100">'
)
HATCH: Final = (
    '<defs><pattern id="h" patternUnits="userSpaceOnUse" width="4" height="4" '
    'patternTransform="rotate(45)"><line x1="0" y1="2" x2="4" y2="2" '
    'stroke="#000000" stroke-width="0.5"/></pattern></defs>'
)


def drawn(svg: str, room: tuple[float, float] = (2000.0, 2000.0)) -> bytes:
    """Draw a picture whose lower left corner is that of the page."""
    picture = Picture(svg, room, LETTERS)
    stream = io.BytesIO()
    SimpleDocTemplate(
        stream,
        pagesize=(picture.width + 12.0, picture.height + 12.0),
        leftMargin=0,
        rightMargin=0,
        topMargin=0,
        bottomMargin=0,
        invariant=1,
    ).build([picture])
    return stream.getvalue()


def on_page(x: float, y: float) -> tuple[float, float]:
    """Where a point of a drawing that begins as `HEAD` stands: 6 points of margin."""
    return 6 + (x + 10) / 2 * MM, 6 + (50 - (y + 20) / 2) * MM


def pictures(release: Release) -> list[str]:
    content = sheet_content(release)
    return [
        str(svg)
        for size in content.sizes
        for svg in (
            *(piece.picture for piece in size.pieces),
            *(tape.chart for tape in size.tapes if tape.chart is not None),
        )
    ]


def test_lines_stand_where_the_svg_has_them_at_its_size() -> None:
    svg = (
        f'{HEAD}<polyline points="0,0 100,50 120,-10" fill="none" stroke="#D55E00" '
        'stroke-width="2" stroke-dasharray="6 3" stroke-linejoin="round"/></svg>'
    )

    (path,) = painted(drawn(svg))

    wanted = [on_page(0, 0), on_page(100, 50), on_page(120, -10)]
    assert path.how == "S"
    np.testing.assert_allclose(path.points, wanted, atol=0.01)
    # The drawing is made half as large.
    assert path.width == pytest.approx(2 / 2 * MM, abs=1e-3)
    assert path.dashes == pytest.approx((6 / 2 * MM, 3 / 2 * MM), abs=1e-3)


@pytest.mark.parametrize("job", [APRON, SMOCK], ids=lambda path: path.stem)
def test_every_shape_of_the_demo_is_painted_point_for_point(job: Path) -> None:
    for svg in pictures(release_from_file(job))[:8]:
        root = ET.fromstring(svg)  # noqa: S314 - drawn by the program itself
        left, top, wide, _ = map(float, root.attrib["viewBox"].split())
        scale = float(root.attrib["width"].removesuffix("mm")) * MM / wide
        high = float(root.attrib["height"].removesuffix("mm")) * MM
        shapes = []
        for one in root:
            name = one.tag.rpartition("}")[2]
            paint = {one.attrib.get(key, "none") for key in ("fill", "stroke")}
            if name in {"polygon", "polyline"} and paint != {"none"}:
                pairs = [p.split(",") for p in one.attrib["points"].split()]
                points = [(float(x), float(y)) for x, y in pairs]
                shapes.append(
                    [
                        (6 + (x - left) * scale, 6 + high - (y - top) * scale)
                        for x, y in points
                    ]
                )

        found = [path.points for path in painted(drawn(svg))]

        for shape in shapes:
            assert any(
                len(path) == len(shape) and np.allclose(path, shape, atol=0.02)
                for path in found
            )


@pytest.mark.parametrize("seed", range(6))
def test_every_word_of_a_picture_is_in_the_text(tmp_path: Path, seed: int) -> None:
    for svg in pictures(random_release(tmp_path, seed)):
        root = ET.fromstring(svg)  # noqa: S314
        words = [one.text or "" for one in root if one.tag.endswith("text")]

        (text,) = page_texts(drawn(svg))

        for word in words:
            assert squeezed(word) in text


@pytest.mark.parametrize(
    ("anchor", "share"), [("start", 0), ("middle", 0.5), ("end", 1)]
)
def test_words_stand_at_their_anchor(anchor: str, share: float) -> None:
    svg = (
        f'{HEAD}<text x="80" y="10" font-size="8" text-anchor="{anchor}">abc</text>'
        "</svg>"
    )

    ((x, y),) = places_of(drawn(svg), "abc")

    wide = LETTERS.width("abc", 8.0)
    assert (x, y) == pytest.approx(on_page(80 - share * wide, 10), abs=0.05)


def test_words_are_squeezed_into_the_length_that_is_given() -> None:
    svg = (
        f'{HEAD}<text x="0" y="10" font-size="8" textLength="40" '
        'lengthAdjust="spacingAndGlyphs">größte Breite</text></svg>'
    )
    page = read(drawn(svg)).pages[0]
    found = []
    page.extract_text(
        visitor_text=lambda text, cm, tm, *_: found.append((text, cm, tm))
    )

    (matrix,) = [cm for text, cm, _ in found if "Breite" in text]
    wide = LETTERS.width("größte Breite", 8.0)
    assert matrix[0] == pytest.approx(40 / wide * MM / 2, rel=1e-3)


def places_of(data: bytes, word: str) -> list[tuple[float, float]]:
    """Return where a word begins on a page, in points."""
    found = []

    def seen(text: str, cm: list[float], tm: list[float], *_: object) -> None:
        if word in text:
            x, y = tm[4], tm[5]
            found.append((x * cm[0] + y * cm[2] + cm[4], x * cm[1] + y * cm[3] + cm[5]))

    read(data).pages[0].extract_text(visitor_text=seen)
    return found


def test_turned_words_run_upwards() -> None:
    svg = (
        f'{HEAD}<text x="80" y="10" font-size="8" transform="rotate(-90 80 10)">up'
        "</text></svg>"
    )
    page = read(drawn(svg)).pages[0]
    found = []
    page.extract_text(visitor_text=lambda text, cm, *_: found.append((text, cm)))

    (matrix,) = [cm for text, cm in found if "up" in text]
    # The way of writing and the way up, as they come out on the page.
    assert matrix[:4] == pytest.approx([0, MM / 2, -MM / 2, 0], abs=1e-3)
    assert matrix[4:6] == pytest.approx(on_page(80, 10), abs=0.05)


def test_a_drawing_that_is_too_large_is_made_smaller_as_a_whole() -> None:
    svg = f'{HEAD}<line x1="-10" y1="-20" x2="190" y2="80" stroke="#000000"/></svg>'

    small = Picture(svg, (50 * MM, 100 * MM), LETTERS)

    assert small.share == pytest.approx(0.5)
    assert (small.width, small.height) == pytest.approx((50 * MM, 25 * MM))
    # It is never made larger: its scale is that which it states.
    assert Picture(svg, (9000.0, 9000.0), LETTERS).share == 1.0


@pytest.mark.parametrize(
    "part",
    [
        '<path d="M 0 0 L 1 1"/>',
        '<image href="http://a.example/a.png"/>',
        '<line x1="0" x2="1" stroke="#000000" opacity="0.5"/>',
        '<g transform="scale(2)"></g>',
        "<script>alert(1)</script>",
    ],
)
def test_what_is_not_known_is_not_left_out_unseen(part: str) -> None:
    with pytest.raises(ValueError, match="a drawing has"):
        drawn(f"{HEAD}{part}</svg>")


def test_a_hatched_shape_is_clipped_to_itself() -> None:
    svg = f'{HEAD}{HATCH}<polygon points="0,0 60,0 60,40 0,40" fill="url(#h)"/></svg>'

    clip, *lines = painted(drawn(svg))

    corners = [on_page(*p) for p in ((0, 0), (60, 0), (60, 40), (0, 40))]
    assert clip.how == "n"
    np.testing.assert_allclose(clip.points, corners, atol=0.01)
    # 45 degrees across a 60 x 40 box, a line every 4: (60 + 40) / sqrt(2) / 4.
    points = [point for path in lines for point in path.points]
    assert len(points) // 2 == pytest.approx(100 / math.sqrt(2) / 4, abs=1)


COORDINATES = st.floats(-200, 200)
POINTS = st.tuples(COORDINATES, COORDINATES)


@given(
    st.lists(POINTS, min_size=3, max_size=8),
    st.floats(1.0, 20.0),
    st.floats(0.0, math.pi),
)
def test_hatch_lines_cover_a_shape_at_one_distance(
    points: list[tuple[float, float]], apart: float, angle: float
) -> None:
    hatch = Hatch(apart, apart / 2, angle, 0.5, "#000000")

    lines = hatch_lines(hatch, points)

    # By shapely: no point of the shape is farther from a line than their distance.
    hull = Polygon(points).convex_hull.simplify(0)
    if not lines:
        across = [y * math.cos(angle) - x * math.sin(angle) for x, y in points]
        assert max(across) - min(across) < apart + 1e-6
        return
    drawn_lines = MultiLineString([LineString([line[:2], line[2:]]) for line in lines])
    assert hull.hausdorff_distance(drawn_lines) >= 0
    for x, y in points:
        assert any(
            abs((y - y0) * math.cos(angle) - (x - x0) * math.sin(angle)) <= apart
            for x0, y0, _, _ in lines
        )
    # Each lies along the angle.
    for x0, y0, x1, y1 in lines:
        assert (y1 - y0) * math.cos(angle) - (x1 - x0) * math.sin(
            angle
        ) == pytest.approx(0, abs=1e-6)


def test_the_letters_of_pictures_fit_the_boxes_that_are_kept_free_for_them() -> None:
    """Boxes are estimated from above for a wide font; the PDF's must not be wider."""
    for svg in pictures(release_from_file(APRON)):
        for bold, text in re.findall(r"<text[^>]*?(bold)?[^>]*>([^<]+)</text>", svg):
            is_bold = bold == "bold"
            own = LETTERS.width(text, 10.0, bold=is_bold)
            assert own <= text_width(text, 10.0, bold=is_bold) + 0.3 * 10.0 / 2.9

import re
from itertools import combinations, pairwise
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
import shapely
from cutting_cases import INCH, WORKED, cuttings, every_cutting, named, needs
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from edgefinder.reports.chart_marks import (
    PENS,
    Line,
    boxes_touch,
    label_box,
)
from edgefinder.reports.chart_page import PAPER_HEIGHT_MM, PAPER_WIDTH_MM
from edgefinder.reports.cutting_chart import chart_sheet, cutting_chart
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut
from edgefinder.yardage.cutting import TUBES, Cutting, Method, Need
from edgefinder.yardage.methods import cut_everything

SVG = "{http://www.w3.org/2000/svg}"
SQUARE = cuttings(WORKED)[Method.TUBE_FROM_SQUARE]
BIAS = cuttings(WORKED)[Method.BIAS_STRIPS]
CASES = every_cutting()
AS_CUT = [as_cut(cutting, Unit.MILLIMETRE) for cutting in CASES]
"""Pieces on marks of a metric ruler: what a chart in millimetres shows."""
WRITTEN_MM = 0.02
"""Coordinates are written to 0.01 mm."""
HOSTILE = "</title><script>alert(1)</script> \"'&]]>\x00\x1b[31m\u202e" + "x" * 500


def drawn(cutting: Cutting, unit: Unit = Unit.MILLIMETRE, name: str = "") -> Element:
    return ElementTree.fromstring(  # noqa: S314 - written by the code under test
        cutting_chart(cutting, unit, name=name)
    )


def points(root: Element, key: str) -> list[tuple[float, float]]:
    """The places of one mark, y up."""
    (found,) = (e for e in root.iter() if e.get("id") == f"chart-{key}")
    pairs = (pair.split(",") for pair in found.attrib["points"].split())
    return [(float(x), -float(y)) for x, y in pairs]


def shape(root: Element, key: str) -> Polygon:
    return Polygon(points(root, key))


def texts(root: Element) -> list[str]:
    return [e.text or "" for e in root.iter(f"{SVG}text")]


def view_box(root: Element) -> list[float]:
    return [float(figure) for figure in root.attrib["viewBox"].split()]


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_a_chart_tells_what_it_shows_to_those_who_do_not_see_it(
    cutting: Cutting,
) -> None:
    root = drawn(cutting, name="neck")

    first, second = list(root)[:2]
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{first.get('id')} {second.get('id')}"
    assert first.tag == f"{SVG}title"
    assert first.text is not None
    assert first.text.startswith("Cutting chart. ")
    assert first.text.endswith(": neck")
    assert second.tag == f"{SVG}desc"
    assert f"{cutting.strips} strip" in (second.text or "")


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_a_strict_content_policy_blocks_nothing_of_a_chart(cutting: Cutting) -> None:
    text = cutting_chart(cutting, Unit.INCH)
    root = drawn(cutting)

    assert "style" not in text
    assert "href" not in text
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {
        *("svg", "title", "desc", "defs", "pattern"),
        *("rect", "line", "polygon", "polyline", "text"),
    }
    assert not any(key.startswith("on") for e in root.iter() for key in e.attrib)
    assert {e.get("font-family") for e in root.iter()} == {None, "sans-serif"}


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_ids_are_unique_and_two_charts_share_none(cutting: Cutting) -> None:
    ids = [
        set(re.findall(r' id="([^"]*)"', chart))
        for chart in (
            cutting_chart(cutting, Unit.INCH, prefix="one"),
            cutting_chart(cutting, Unit.INCH, prefix="two"),
        )
    ]
    every = re.findall(r' id="([^"]*)"', cutting_chart(cutting, Unit.INCH))

    assert len(every) == len(set(every))
    assert not ids[0] & ids[1]
    assert all(i.startswith("one-") for i in ids[0])


def test_a_prefix_that_cannot_begin_an_id_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="cannot begin an id"):
        cutting_chart(SQUARE, Unit.INCH, prefix='a"><script>')


@pytest.mark.parametrize("cutting", CASES[:5], ids=named)
def test_a_hostile_name_stays_a_text(cutting: Cutting) -> None:
    plain = drawn(cutting, name="n")

    root = drawn(cutting, name=HOSTILE)

    tags = [e.tag for e in root.iter() if e.tag != f"{SVG}text"]
    assert tags == [e.tag for e in plain.iter() if e.tag != f"{SVG}text"]
    title = root.find(f"{SVG}title")
    assert title is not None
    assert "</title><script>alert(1)</script> \"'&]]>" in (title.text or "")
    assert not any(not c.isprintable() for text in texts(root) for c in text)


def test_a_name_of_one_long_word_does_not_leave_the_paper() -> None:
    sheet = chart_sheet(SQUARE, Unit.INCH, name="W" * 5000)

    widest = max(label_box(label, sheet.scale)[2] for label in sheet.labels)
    assert widest <= sheet.width
    assert any(label.text.endswith("..") for label in sheet.labels)


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_the_same_cutting_gives_the_same_bytes(cutting: Cutting) -> None:
    once = cutting_chart(cutting, Unit.CENTIMETRE, name="neck")

    assert cutting_chart(cutting, Unit.CENTIMETRE, name="neck") == once
    assert once.endswith("</svg>\n")


@pytest.mark.parametrize("cutting", AS_CUT, ids=named)
def test_a_chart_is_drawn_in_millimetres_of_cloth_and_fits_the_paper(
    cutting: Cutting,
) -> None:
    root = drawn(cutting)

    _, _, across, along = view_box(root)
    width = float(root.attrib["width"].removesuffix("mm"))
    height = float(root.attrib["height"].removesuffix("mm"))
    assert width == PAPER_WIDTH_MM <= 210.0 - 2 * 15.0  # A4 less its margins
    assert height <= PAPER_HEIGHT_MM <= 279.4 - 2 * 15.0  # US Letter less its margins
    assert across / width == pytest.approx(along / height, rel=1e-3)
    left, low, right, high = shape(root, "piece").bounds
    assert (right - left, high - low) == pytest.approx(cutting.cut_size, abs=WRITTEN_MM)


@pytest.mark.parametrize(
    ("unit", "one"),
    [(Unit.INCH, INCH), (Unit.MILLIMETRE, 1.0), (Unit.CENTIMETRE, 10.0)],
)
@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_the_bar_of_the_scale_is_as_long_as_it_says(
    cutting: Cutting, unit: Unit, one: float
) -> None:
    root = drawn(cutting, unit)

    (x, _), (end, _) = points(root, "scale-bar")

    (said,) = (text for text in texts(root) if text.endswith("mm wide)"))
    figure = re.match(rf"([\d.]+) {unit} ", said)
    assert figure is not None
    assert end - x == pytest.approx(float(figure[1]) * one, abs=WRITTEN_MM)


@pytest.mark.parametrize("cutting", [c for c in AS_CUT if c.method in TUBES], ids=named)
def test_the_drawn_tube_is_the_tube(cutting: Cutting) -> None:
    root = drawn(cutting)
    wide, high = max(cutting.cut_size), min(cutting.cut_size)
    seam, cut = cutting.need.seam, cutting.need.cut_width

    triangle, body = shape(root, "triangle"), shape(root, "body")
    slanted = shape(root, "slanted")
    strips = [shape(root, f"strip-{i}") for i in range(1, cutting.strips + 1)]

    assert triangle.area == pytest.approx(high**2 / 2, rel=1e-3)
    assert triangle.area + body.area == pytest.approx(wide * high, rel=1e-3)
    assert slanted.area == pytest.approx((wide - 2 * seam) * high, rel=1e-3)
    moved = shape(root, "triangle-moved")
    assert moved.area == pytest.approx(triangle.area, rel=1e-3)
    (a, b) = points(root, "first-cut")
    assert b[0] - a[0] == pytest.approx(high, abs=WRITTEN_MM)
    assert b[1] - a[1] == pytest.approx(high, abs=WRITTEN_MM)
    for strip in strips:
        # Between its sewing lines a strip is L/n long; with both allowances
        # 2 s sqrt 2 more.
        long = cutting.strip_lengths[0] + 2 * seam * 2**0.5
        assert strip.area == pytest.approx(long * cut, rel=2e-3)
    assert shapely.unary_union(strips).buffer(-1).within(slanted)


def test_the_lines_of_the_drawn_tube_are_two_inches_apart() -> None:
    root = drawn(SQUARE)
    lines = [LineString(points(root, f"line-{i}")) for i in range(1, 6)]

    for before, after in pairwise(lines):
        (x, y), (u, v) = before.coords
        assert u - x == pytest.approx(v - y, abs=WRITTEN_MM)  # 45 degrees
        endless = LineString([(x - 1e4, y - 1e4), (x + 1e4, y + 1e4)])
        assert endless.distance(after) == pytest.approx(2 * INCH, abs=WRITTEN_MM)


@pytest.mark.parametrize("cutting", [c for c in CASES if c.method in TUBES], ids=named)
def test_the_sides_of_the_tube_meet_out_of_step_by_one_strip(cutting: Cutting) -> None:
    root = drawn(cutting)
    step = cutting.need.cut_width * 2**0.5

    for i in range(1, cutting.strips):
        end, start = shape(root, f"end-{i}"), shape(root, f"start-{i + 1}")
        both = shapely.unary_union([end.buffer(0.02), start.buffer(0.02)])
        assert both.geom_type == "Polygon"
        assert both.convex_hull.area == pytest.approx(both.area, rel=2e-3)

    (left, _), (right, _) = points(root, "seam-b")
    free = points(root, "start-1")[0][0]
    assert left - free == pytest.approx(step, abs=WRITTEN_MM)
    assert right - left == pytest.approx((cutting.strips - 1) * step, abs=WRITTEN_MM)


@pytest.mark.parametrize(
    "cutting", [c for c in AS_CUT if c.method not in TUBES], ids=named
)
def test_the_drawn_strips_are_as_long_and_wide_as_those_of_the_cutting(
    cutting: Cutting,
) -> None:
    root = drawn(cutting)

    lengths = dict(enumerate(cutting.strip_lengths, start=1))
    if cutting.order is not None:  # some are recut, and some are left out
        lengths = {p.strip.number: p.strip.length for p in cutting.order.placed}
    strips = [shape(root, f"strip-{i}") for i in lengths]

    for strip, length in zip(strips, lengths.values(), strict=True):
        assert strip.area == pytest.approx(length * cutting.need.cut_width, rel=1e-3)
    cloth = shape(root, "cloth")
    assert shapely.unary_union(strips).difference(cloth.buffer(0.02)).area < 0.1
    across, along = cutting.cut_size
    used = sum(lengths.values()) * cutting.need.cut_width
    left_over = cloth.difference(shapely.unary_union(strips)).area
    assert left_over == pytest.approx(across * along - used, rel=1e-3, abs=across)


def test_two_bias_strips_lie_edge_on_edge_before_they_are_sewn() -> None:
    root = drawn(BIAS)
    lower, upper = shape(root, "join-lower"), shape(root, "join-upper")
    (x, y), (u, v) = points(root, "join-seam")

    seam = LineString([(x, y), (u, v)])

    # From notch to notch: the seam ends where the sides of the two strips cross.
    for place in seam.boundary.geoms:
        assert lower.exterior.distance(place) < WRITTEN_MM
        assert upper.exterior.distance(place) < WRITTEN_MM
    (a, b), (c, d) = points(root, "join-lower")[1:3], points(root, "join-upper")[1:3]
    assert LineString([a, b]).distance(seam) > 0.0
    assert LineString([a, d]).distance(LineString([b, c])) < WRITTEN_MM  # one line
    assert b[0] - a[0] == pytest.approx(b[1] - a[1], abs=WRITTEN_MM)
    assert d[0] - c[0] == pytest.approx(d[1] - c[1], abs=WRITTEN_MM)


def test_corners_that_are_dropped_are_hatched_not_coloured() -> None:
    root = drawn(BIAS)

    (pattern,) = root.iter(f"{SVG}pattern")
    (cloth,) = (e for e in root.iter() if e.get("id") == "chart-cloth")

    assert cloth.get("fill") == f"url(#{pattern.get('id')})"
    assert [e.get("stroke") for e in pattern] == ["#000000"]
    assert "not used" in texts(root)


def test_every_kind_of_line_is_known_without_its_colour() -> None:
    kinds = [PENS[line] for line in Line]

    looks = {(pen.width, pen.dashes) for pen in kinds}
    coloured = {pen.colour for pen in kinds} - {"#000000"}

    assert len(looks) == len(kinds)
    assert len({pen.dashes for pen in kinds if pen.dashes}) == len(kinds) - 2
    # Okabe and Ito 2002, those with 3:1 or more on white.
    assert coloured == {"#0072B2", "#D55E00", "#009E73", "#CC79A7"}


def test_the_chart_of_the_worked_example_carries_its_figures() -> None:
    """Check 144 in of 2 in: 17.47 in a side; 2 sqrt 2 = 2.83 in from line to line."""
    said = texts(drawn(SQUARE, Unit.INCH, name="quilt"))
    whole = " ".join(said)

    assert "Tube from a square: quilt" in said
    assert said.count("17 1/2 in") == 2
    assert "42 in between the selvages" in said
    assert "2 in apart" in said
    assert "2 13/16 in along the edge" in said
    assert "Rule 5 lines 2 in apart" in whole
    assert "1/4 in" in said
    assert "free end of strip 1" in said
    assert "free end of strip 6" in said
    assert said.count("A") == 2
    assert said.count("B") == 4
    assert "A-A" in said
    assert [said.count(str(i)) for i in (3, 6)] == [4, 3]  # a caption is 3, too
    assert {"selvage", "grain"} <= set(said)


def test_lines_too_near_to_each_other_are_thinned_out_and_the_chart_says_so() -> None:
    (cutting,) = (
        c
        for c in cut_everything(Need(300_000.0, 10.0)).cuttings
        if c.method is Method.CROSSWISE_STRIPS
    )

    root = drawn(cutting)

    ids = [e.get("id") or "" for e in root.iter()]
    lines = sum(i.startswith("chart-line-") for i in ids)
    said = re.search(r"One line in (\d+) is drawn", " ".join(texts(root)))
    assert said is not None
    assert lines == pytest.approx(cutting.lines / int(said[1]), abs=3)
    assert sum(i.startswith("chart-strip-") for i in ids) == cutting.strips


@pytest.mark.parametrize("need", [206.0, 216.625, 226.875, 240.125])
def test_every_bias_strip_has_its_number(need: float) -> None:
    """On 42 inches of cloth; strips that are narrow on paper are numbered in steps."""
    strips = cuttings(
        Need(need * INCH, 1.5625 * INCH, seam=INCH / 4, usable_width=42 * INCH)
    )[Method.BIAS_STRIPS]

    found = texts(drawn(strips, Unit.INCH))

    assert strips.strips >= 18
    assert {str(n) for n in range(1, strips.strips + 1)} <= set(found)


def test_one_strip_alone_has_no_lines_and_no_join() -> None:
    cutting = cuttings(Need(500.0, 20.0))[Method.CROSSWISE_STRIPS]

    root = drawn(cutting)

    assert cutting.strips == 1
    assert "Cut this strip off the cloth." in texts(root)
    assert not any("join" in (e.get("id") or "") for e in root.iter())


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_texts_do_not_touch_by_an_estimate_of_their_own(cutting: Cutting) -> None:
    """Letters of common fonts are 0.55 of the font size wide on average, or less."""
    boxes = []
    for text in drawn(cutting, Unit.INCH, name="neck").iter(f"{SVG}text"):
        size = float(text.attrib["font-size"])
        long = 0.55 * size * len(text.text or "")
        start = {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor", ""), 0.0)
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        if "transform" in text.attrib:
            x, y = (
                float(part)
                for part in re.findall(r"[\d.]+", text.attrib["transform"])[1:]
            )
            boxes.append(
                (x - size / 2, y - (1 - start) * long, x + size / 2, y + start * long)
            )
        else:
            left = x - start * long
            boxes.append((left, y - 0.75 * size, left + long, y + 0.2 * size))

    touching = [pair for pair in combinations(boxes, 2) if boxes_touch(*pair)]

    assert touching == []


@given(needs(), st.sampled_from(Unit), st.text(max_size=60))
@settings(max_examples=25)
def test_labels_never_touch_and_never_leave_the_sheet(
    need: Need, unit: Unit, name: str
) -> None:
    for cutting in cut_everything(need).cuttings:
        sheet = chart_sheet(cutting, unit, name=name)

        boxes = [label_box(label, sheet.scale) for label in sheet.labels]
        assert not any(boxes_touch(*pair) for pair in combinations(boxes, 2))
        slack = 1e-6 * sheet.scale
        for left, low, right, high in boxes:
            assert left >= -slack
            assert right <= sheet.width + slack
            assert low >= -sheet.height - slack
            assert high <= slack
        for mark in sheet.marks:
            for x, y in mark.points:
                assert -slack <= x <= sheet.width + slack
                assert -sheet.height - slack <= y <= slack

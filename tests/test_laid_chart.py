"""Charts of several tapes in one cloth, and of scraps."""

import re
from xml.etree import ElementTree as ET  # our own drawings are read here

import pytest
import shapely

from edgefinder.classifier.job import Grain
from edgefinder.reports.cutting_files import one_cut_files, scrap_files
from edgefinder.reports.cutting_steps import steps_text
from edgefinder.reports.laid_chart import (
    one_cut_chart,
    one_cut_facts,
    scrap_chart,
    taken_scraps,
)
from edgefinder.reports.laid_steps import one_cut_steps, scraps_steps
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.one_cut import WantedTape, one_cut
from edgefinder.yardage.scrap_outlines import scrap_polygon
from edgefinder.yardage.scraps import (
    ScrapCover,
    least_scraps,
    scrap_rectangle,
)
from edgefinder.yardage.strip_rows import OneCut

SVG = "{http://www.w3.org/2000/svg}"
NEED = Need(4000.0, 36.0)
TAPES = (
    WantedTape("neck", Need(2000.0, 36.0)),
    WantedTape("hem <b>", Need(3000.0, 48.0)),
    WantedTape("piping", Need(1000.0, 25.0)),
)


def together(grain: Grain) -> OneCut:
    cut = one_cut(TAPES, grain)
    assert isinstance(cut, OneCut)
    return cut


def cover() -> ScrapCover:
    triangle = shapely.Polygon([(0, 0), (500, 60), (120, 480)])
    scraps = (
        scrap_rectangle("1 (30 x 50 cm)", 300.0, 500.0),
        scrap_polygon("armhole & co", triangle, 1.2),
        scrap_rectangle("small", 40.0, 40.0),
    )
    return least_scraps(scraps, NEED)


def polygons(text: str) -> dict[str, shapely.Polygon]:
    """Strips and cloth of a chart by their ids, moved to where they lie."""
    root = ET.fromstring(text)  # noqa: S314 - written by this test
    found = {}
    for shape in root.iter(f"{SVG}polygon"):
        name = shape.get("id")
        if name is not None:
            pairs = [p.split(",") for p in shape.attrib["points"].split()]
            found[name.removeprefix("chart-")] = shapely.Polygon(
                [(float(x), -float(y)) for x, y in pairs]
            )
    return found


@pytest.mark.parametrize("grain", Grain)
def test_every_strip_of_one_cut_is_drawn_at_scale_and_apart(grain: Grain) -> None:
    cut = together(grain)

    shapes = polygons(one_cut_chart(cut, Unit.MILLIMETRE))

    strips = [shapes[f"strip-{one.strip.number}"] for one in cut.strips]
    for one, shape in zip(cut.strips, strips, strict=True):
        area = one.strip.length * one.strip.cut_width
        assert shape.area == pytest.approx(area, rel=2e-3)
    union = shapely.union_all(strips)
    assert union.area == pytest.approx(sum(s.area for s in strips), rel=2e-3)
    assert union.difference(shapes["cloth"].buffer(0.1)).area < 1.0


@pytest.mark.parametrize("grain", Grain)
def test_the_letter_of_every_tape_is_explained(grain: Grain) -> None:
    cut = together(grain)

    text = one_cut_chart(cut, Unit.INCH)
    facts = one_cut_facts(cut, Unit.INCH)

    assert "hem &lt;b&gt;" in text
    assert "<b>" not in text
    assert "<style" not in text
    assert "<script" not in text
    assert [fact[:3] for fact in facts[1:]] == ["a: ", "b: ", "c: "]
    drawn = set(re.findall(r">([abc])\d+</text>", text))
    assert drawn == {"a", "b", "c"}


def test_the_first_line_of_every_tape_on_the_bias_is_told() -> None:
    cut = together(Grain.BIAS)

    facts = one_cut_facts(cut, Unit.MILLIMETRE)

    # The tape that lies in the upper left corner begins on the two sides that meet
    # there, as far down as along.
    first = min(cut.strips, key=lambda one: one.strip.corners[0][0])
    place = min(x - y for x, y in first.strip.corners) + cut.length
    (said,) = (fact for fact in facts if f" {first.tape}," in fact)
    assert f"from {place:.0f} mm down the left side" in said
    assert f"to {place:.0f} mm along the upper side" in said


@pytest.mark.parametrize("grain", Grain)
def test_the_steps_of_one_cut_give_every_tape(grain: Grain) -> None:
    cut = together(grain)

    text = steps_text(one_cut_steps(cut, 6.35, Unit.MILLIMETRE))

    for tape in TAPES:
        assert cut.tape_length(tape.name, 6.35) >= tape.need.length - 1e-6
        assert f"{tape.name}: join strips " in text
    for caution in ("rotary cutter:", "scissors:", "iron:"):
        assert f"Caution: {caution}" in text


def test_the_strips_of_a_scrap_are_drawn_in_it_with_their_numbers() -> None:
    found = cover()
    assert len(found.taken) == 2

    numbers: list[int] = []
    for tape, strips in taken_scraps(found):
        shapes = polygons(scrap_chart(tape, strips, Unit.MILLIMETRE))
        assert shapes["cloth"].area == pytest.approx(tape.scrap.area, rel=1e-3)
        for strip in strips:
            shape = shapes[f"strip-{strip.number}"]
            assert shape.difference(shapes["cloth"].buffer(0.1)).area < 1.0
            numbers.append(strip.number)
    assert numbers == [strip.number for strip in found.strips]


def test_files_of_scraps_are_one_chart_each_and_steps_for_all() -> None:
    files = scrap_files(cover(), NEED, Unit.CENTIMETRE)

    assert list(files) == [
        "scraps.txt",
        "scrap-1-30-x-50-cm.svg",
        "scrap-armhole-co.svg",
    ]
    text = " ".join(files["scraps.txt"].split())
    assert "armhole & co: rule " in text
    assert "at 45 degrees to the grain" in text
    assert "400.0 cm is needed" in text


@pytest.mark.parametrize(
    ("grain", "words"),
    [
        (Grain.LENGTHWISE, "along the grain"),
        (Grain.CROSSWISE, "across the grain"),
    ],
)
def test_straight_strips_of_scraps_are_joined_on_the_diagonal(
    grain: Grain, words: str
) -> None:
    need = Need(1500.0, 36.0, grain=grain)
    found = least_scraps([scrap_rectangle("rest", 300.0, 500.0)], need)

    text = " ".join(steps_text(scraps_steps(found, need, Unit.INCH)).split())

    assert words in text
    assert "Join on the diagonal" in text


def test_the_same_cut_gives_the_same_bytes() -> None:
    cut = together(Grain.BIAS)
    settings = one_cut_files(cut, 6.35, Unit.INCH, "all")

    assert settings == one_cut_files(cut, 6.35, Unit.INCH, "all")
    assert set(settings) == {"all.svg", "all.txt"}

"""The page on curves: its drawings are drawn anew, its figures worked out again."""

import math
import re
import subprocess
import sys
from itertools import pairwise
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import numpy as np
import pytest
from doc_examples import DOCS, ROOT

from edgefinder.binding.cloth import Limits, find_cloth
from edgefinder.binding.turn_of_cloth import CLOTH_THICKNESS_MM, turn_of_cloth
from edgefinder.classifier.job import TapeFold
from edgefinder.curvature.band import feed_range, least_radius
from edgefinder.curvature.choosing import limits_at

SCRIPT: Final = ROOT / "fixtures" / "drafting" / "draw_curves.py"
DRAWN: Final = DOCS / "pictures"
PICTURES: Final = ("band.svg", "turn-of-cloth.svg")
SVG: Final = "{http://www.w3.org/2000/svg}"
TEXT: Final = (DOCS / "curves.md").read_text("utf-8")
QUILTING: Final = find_cloth("quilting cotton", ()).bias.limit


def test_drawing_the_pictures_again_writes_the_same_bytes(tmp_path: Path) -> None:
    command = [sys.executable, "-B", str(SCRIPT), str(tmp_path)]

    run = subprocess.run(  # noqa: S603 - a script of our own
        command, check=True, capture_output=True, text=True, cwd=ROOT
    )

    assert run.stderr == ""
    assert [Path(line).name for line in run.stdout.splitlines()] == list(PICTURES)
    for name in PICTURES:
        assert (tmp_path / name).read_bytes() == (DRAWN / name).read_bytes()


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_says_what_it_shows_and_is_shown(name: str) -> None:
    root = ElementTree.parse(DRAWN / name).getroot()  # noqa: S314 - our own file

    title, said = root[0], root[1]

    assert (title.tag, said.tag) == (f"{SVG}title", f"{SVG}desc")
    assert said.text is not None
    assert len(said.text) > 80
    assert f"![{title.text}](pictures/{name})" in TEXT


def test_the_worked_example_of_the_feed_is_what_the_band_says() -> None:
    feeds = feed_range(np.array([-1 / 45]), 10.0, QUILTING)

    assert (round(feeds.low[0], 3), round(feeds.high[0], 3)) == (1.036, 1.053)
    assert "1.222/1.18 = 1.036 to 1/0.95 = 1.053" in TEXT
    for inside, printed in ((True, "41.3 mm"), (False, "51.3 mm")):
        assert f"{least_radius(10.0, QUILTING, inside=inside):.1f} mm" == printed
        assert printed in TEXT
    # What 2 per cent more or less stretch would do, in widths.
    more = Limits(0.20, QUILTING.ease)
    assert [f"{least_radius(1.0, e, inside=True):.1f}" for e in (more, QUILTING)] == [
        "3.8",
        "4.1",
    ]


def test_the_drawing_of_the_feed_names_the_feed_of_the_example() -> None:
    words = (DRAWN / "band.svg").read_text("utf-8")

    assert ">f = 1.036<" in words
    assert f">+{100 * QUILTING.stretch:g} %<" in words
    assert f">-{100 * QUILTING.ease:g} %<" in words


def test_the_shares_off_the_true_bias_are_sin_2a() -> None:
    table = TEXT.split("| angle to the warp, degrees |", 1)[1].split("\n\n", 1)[0]
    angles, _, shares = (
        [float(x) for x in re.findall(r"\d+", line)] for line in table.splitlines()
    )
    cloth = find_cloth("quilting cotton", ())

    assert len(angles) == 6
    for angle, share in zip(angles, shares, strict=True):
        assert share == round(100 * math.sin(2 * math.radians(angle)))
        given = limits_at(cloth, math.radians(angle)).limit.stretch
        assert round(100 * given / cloth.bias.limit.stretch) == share


def test_a_net_that_is_sheared_gives_off_the_bias_what_the_page_says() -> None:
    """l^2 = 1 + sin 2a sin g, from two unit threads whose angle is drawn together."""
    shear = math.asin(1.2**2 - 1)  # 20 per cent on the true bias

    for degrees in (45.0, 30.0, 20.0):
        a = math.radians(degrees)
        one, other = 1 + 0j, np.exp(1j * (math.pi / 2 - shear))
        strip = abs(math.cos(a) * one + math.sin(a) * other)
        assert strip**2 == pytest.approx(1 + math.sin(2 * a) * math.sin(shear))
        if degrees == 30.0:
            first_order = 20 * math.sin(2 * a)
            assert f"{first_order:.1f} % at 30 degrees" in TEXT
            assert f"the net {100 * (strip - 1):.1f} %" in TEXT


# --- turn of cloth ---


def half_circles(number: int) -> float:
    """Length of all half circles of one cross section of the drawing."""
    paths = ElementTree.parse(DRAWN / "turn-of-cloth.svg").iter(f"{SVG}path")  # noqa: S314
    data = [path.attrib["d"] for path in paths][number]
    return sum(math.pi * float(r) for r in re.findall(r"A ([\d.]+)", data))


def straights(number: int) -> list[float]:
    """Lengths of the straight parts of one cross section of the drawing."""
    paths = ElementTree.parse(DRAWN / "turn-of-cloth.svg").iter(f"{SVG}path")  # noqa: S314
    data = [path.attrib["d"] for path in paths][number]
    (start,) = re.findall(r"M ([\d.]+)", data)
    ends = [float(start), *(float(x) for x in re.findall(r"H ([\d.]+)", data))]
    return [abs(b - a) for a, b in pairwise(ends)]


@pytest.mark.parametrize(
    ("number", "widths", "edges", "layers", "printed"),
    [
        (0, 2, 1, 1, "π (T + t)/2"),
        (1, 4, 1, 5, "π (T + 5 t)/2"),
        (2, 6, 2, 13, "π (2 T + 13 t)/2"),
    ],
)
def test_the_half_circles_that_are_drawn_add_up_to_the_formula(
    number: int, widths: int, edges: int, layers: int, printed: str
) -> None:
    edge, layer, width = 22.0, 7.0, 120.0  # in the drawing

    assert straights(number) == pytest.approx([width] * widths)
    assert half_circles(number) == pytest.approx(
        math.pi * (edges * edge + layers * layer) / 2
    )
    assert f"| {printed} |" in TEXT


def test_the_program_adds_what_the_page_says_it_adds() -> None:
    t = edge = CLOTH_THICKNESS_MM["quilting cotton"]
    single, double, layers, facing = (
        turn_of_cloth(fold, t, edge)
        for fold in (
            TapeFold.SINGLE,
            TapeFold.DOUBLE,
            TapeFold.DOUBLE_LAYER,
            TapeFold.FACING,
        )
    )
    derived = math.pi * (2 * edge + 13 * t) / 2

    assert single == pytest.approx(math.pi * (edge + t) / 2)
    assert double == pytest.approx(math.pi * (edge + 5 * t) / 2)
    assert facing == pytest.approx(math.pi * t)
    assert f"{single:.1f}, {double:.1f} and {derived:.1f} mm" in TEXT
    assert layers == pytest.approx(derived)


# --- references ---


def test_every_reference_that_the_page_names_is_in_its_list() -> None:
    body, listed = TEXT.split("\n## References\n")
    names = re.findall(r"^- \[(S\d+)\]", listed, re.MULTILINE)

    assert names == [f"S{n}" for n in range(1, len(names) + 1)]
    assert set(re.findall(r"\bS\d+\b", body)) == set(names)

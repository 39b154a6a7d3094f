"""Digitised outlines the whole way, from the file to lengths and verdicts."""

import math
from pathlib import Path as FilePath

import numpy as np
import pytest
from command_line import TAPE, job, run, sheet
from drawn import bodice, drawn, pieces_of, reading
from scipy.special import ellipe
from shapes import circle_outline, ellipse_outline
from traced import points_along, through, traced

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes
from edgefinder.pattern.digitised_outlines import smooth_rings
from edgefinder.pattern.edges import Ring
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.settings import FindingSettings

SEEDS = range(6)


def polygon_element(points: Complexes, name: str) -> str:
    """An SVG polygon; y runs down."""
    numbers = " ".join(f"{z.real:.5f},{600 - z.imag:.5f}" for z in points)
    return f'<polygon id="{name}" points="{numbers}" fill="none" stroke="black"/>'


def clean_bodice(folder: FilePath) -> FilePath:
    """The exact outline of `drawn.bodice` as an SVG path."""
    return sheet(
        folder,
        '<path id="front" fill="none" stroke="black" d="M 0 600 H 150 L 160 420 '
        'C 120 410 110 370 120 300 L 60 280 C 55 320 30 340 0 340 Z"/>',
    )


def traced_bodice(folder: FilePath, seed: int) -> FilePath:
    points = points_along(bodice(), 2.0, 0.1, seed)
    return sheet(folder, polygon_element(points, "front"))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_traced_ellipse_in_a_drawing_has_its_radius_and_its_length(
    tmp_path: FilePath, seed: int
) -> None:
    a, b = 120.0, 60.0
    outline = ellipse_outline(a, b, tilt=0.4, centre=300 + 300j)
    file = sheet(tmp_path, polygon_element(points_along(outline, 2.0, 0.1, seed), "x"))

    said = run("edges", file, "--json")

    assert said.exit_code == 0
    (piece,) = said.json["pieces"]
    (edge,) = piece["edges"]
    exact = 4 * a * float(ellipe(1 - (b / a) ** 2))
    assert edge["length_mm"] == pytest.approx(exact, rel=1e-3)
    assert piece["perimeter_mm"] == pytest.approx(edge["length_mm"])
    assert piece["area_mm2"] == pytest.approx(math.pi * a * b, rel=2e-3)
    assert edge["tightest_outside_mm"] == pytest.approx(b * b / a, rel=0.1)
    assert edge["tightest_inside_mm"] is None
    assert edge["drawn_length_mm"] == pytest.approx(exact, rel=0.01)
    assert edge["drawn_length_mm"] != edge["length_mm"]
    assert edge["turning_deg"] == pytest.approx(360, abs=0.1)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_traced_bodice_has_the_edges_of_the_clean_one(
    tmp_path: FilePath, seed: int
) -> None:
    clean = run("edges", clean_bodice(tmp_path), "--json").json["pieces"][0]["edges"]

    found = run("edges", traced_bodice(tmp_path, seed), "--json").json
    edges = found["pieces"][0]["edges"]

    assert [edge["number"] for edge in edges] == [1, 2, 3, 4, 5, 6]
    for edge, exact in zip(edges, clean, strict=True):
        assert edge["length_mm"] == pytest.approx(exact["length_mm"], abs=1.5)
        assert edge["corner_after_deg"] == pytest.approx(
            exact["corner_after_deg"], abs=12
        )
        apart = np.subtract(edge["start_mm"], exact["start_mm"])
        assert np.hypot(*apart) < 2
        assert edge["tightest_outside_mm"] is None
        if exact["tightest_inside_mm"] is None:
            assert edge["tightest_inside_mm"] is None
        else:
            assert edge["tightest_inside_mm"] == pytest.approx(
                exact["tightest_inside_mm"], rel=0.15
            )


RUNS = """
[[runs]]
name = "armhole"
tape = "main"
edges = ["front 3"]

[[runs]]
name = "neck"
tape = "main"
edges = ["front 5"]
"""

CLOTHS = """
[fabric]
cloth = "my lawn"

[[cloths]]
name = "my lawn"
stretch_ok_percent = {ok}
stretch_limit_percent = {limit}
ease_ok_percent = 3
ease_limit_percent = 5
"""


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("ok", "limit"), [(30, 40), (12, 30), (4, 9)])
def test_the_verdicts_of_a_traced_bodice_are_those_of_the_clean_one(
    tmp_path: FilePath, seed: int, ok: int, limit: int
) -> None:
    # Least radii of curves that are 47 and 54 mm tight: well below, so that both lie
    # flat; between the two bounds; well above, so that both are too tight.
    text = CLOTHS.format(ok=ok, limit=limit) + TAPE + RUNS
    clean_bodice(tmp_path)
    clean = _verdicts(job(tmp_path, text))

    traced_bodice(tmp_path, seed)
    found = _verdicts(job(tmp_path, text))

    assert found == clean


def _verdicts(file: FilePath) -> dict[str, str | None]:
    said = run("curves", file, "--json")
    assert said.exit_code == 0, said
    worst = ["lies flat", "ease and steam", "too tight", "mitre"]
    (size,) = said.json["sizes"]
    return {
        one["name"]: max(
            (place["verdict"] for place in one["places"]), key=worst.index, default=None
        )
        for one in size["runs"]
    }


def test_a_finding_says_how_the_outline_was_traced() -> None:
    outline = traced(ellipse_outline(120, 60), 1.0, 0.1, 3)

    (finding,) = find_pieces(reading(drawn(outline)), FindingSettings()).findings

    assert finding.code == "digitised"
    assert finding.where == "test.svg: line 1"
    assert finding.message.startswith(
        "digitised: points every 1.0 mm with noise of 0.1"
    )
    assert "% longer than the smoothed one" in finding.message


def test_a_drafted_outline_is_not_said_to_be_traced() -> None:
    found = find_pieces(reading(drawn(bodice())), FindingSettings())

    assert found.findings == ()
    assert all(edge.digitised is None for edge in found.pieces[0].edges)
    assert all(e.drawn_length == e.length for e in found.pieces[0].edges)


def test_numbers_do_not_depend_on_where_the_trace_begins() -> None:
    points = points_along(bodice(), 2.0, 0.1, 5)
    lengths = []
    for first in (0, 17, 300):
        ring = np.roll(points, first)
        (piece,) = pieces_of(drawn(through(ring, closed=True)))
        lengths.append([edge.length for edge in piece.edges])

    for other in lengths[1:]:
        assert other == pytest.approx(lengths[0], abs=1e-2)


def test_a_smooth_outline_begins_at_its_lower_left() -> None:
    outline = traced(circle_outline(100, 300 + 300j), 2.0, 0.1, 5)

    (piece,) = pieces_of(drawn(outline))

    (edge,) = piece.edges
    lower_left = 300 + 300j - 100 * (1 + 1j) / math.sqrt(2)
    assert abs(edge.start - lower_left) < 4
    assert edge.profile.length == pytest.approx(edge.length)
    assert edge.drawn_length == pytest.approx(sum(_sides(outline)), rel=1e-9)


def test_a_small_mirror_image_has_outside_curves_of_the_same_radius() -> None:
    outline = traced(ellipse_outline(120, 60), 2.0, 0.1, 4)
    mirrored = Path(transform(outline.segments, Affine(-1, 0, 0, 1, 0, 0)), True)

    (one,), (other,) = (pieces_of(drawn(path)) for path in (outline, mirrored))

    a, b = one.edges[0].tightest_outside, other.edges[0].tightest_outside
    assert a is not None
    assert b is not None
    assert a.radius == pytest.approx(b.radius, rel=1e-2)


def test_smoothing_keeps_the_line_that_names_the_piece() -> None:
    line = drawn(traced(bodice(), 2.0, 0.1, 1), label="front")
    owners = np.zeros(len(line.path.segments), dtype=np.intp)

    (ring,), findings = smooth_rings([Ring(line.path, (line,), owners)])

    assert ring.sources == (line,)
    assert len(ring.source_of_segment) == len(ring.path.segments)
    assert len(findings) == 1


def _sides(path: Path) -> list[float]:
    control = path.segments.control
    sides: list[float] = np.abs(control[:, 1] - control[:, 0]).tolist()
    return sides

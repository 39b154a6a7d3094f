"""Places where the libraries go wrong, and that nothing here follows them.

Where a trap can be sprung, the library itself is asked too: a test that no longer finds
it wrong says so, and the way round it can go.
"""

import ast
import cmath
import math
import threading
import warnings
from itertools import pairwise
from pathlib import Path as FilePath

import numpy as np
import pytest
from dxf_drawings import codes, drawing, read, simple
from mpmath import mp, mpf
from test_chaining import line

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.headings import turnings
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
    quadratic_segments,
)
from edgefinder.importers.chaining import chain_lines
from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf import document as loading
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.formats import read_drawing

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import QuadraticBezier

PACKAGE = FilePath(loading.__file__).parents[2]
DEMO = FilePath(__file__).parents[1] / "fixtures" / "demo"

NEVER_USED = {
    "svgpathtools": {
        *("Document", "SaxDocument", "svg2paths", "svg2paths2", "svgstr2paths"),
        *("Path", "Line", "Arc", "CubicBezier", "QuadraticBezier", "transform"),
    },
    "shapely": {"offset_curve", "set_precision", "snap", "line_merge", "polygonize"},
    "ezdxf": {
        *("make_path", "from_hatch", "iterdxf", "single_pass_modelspace"),
        *("virtual_entities", "explode", "flattening", "conversion_factor"),
    },
}
"""Names that give wrong or late answers: lengths and arcs of svgpathtools, moved lines
and grids of shapely, cubics for arcs and rounded inches of ezdxf."""


@pytest.mark.parametrize("library", NEVER_USED)
def test_no_module_uses_what_is_wrong(library: str) -> None:
    found: set[tuple[str, str]] = set()
    for path in PACKAGE.rglob("*.py"):
        tree = ast.parse(path.read_text("utf-8"))
        of_library: set[str] = set()
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(
                library
            ):
                of_library |= {alias.name for alias in node.names}
            elif isinstance(node, ast.Attribute) and library in ast.unparse(node.value):
                of_library.add(node.attr)
        found |= {(path.name, name) for name in of_library & NEVER_USED[library]}

    assert found == set()


def parabola_length(p0: complex, p1: complex, p2: complex) -> float:
    """Integrate the speed of a quadratic to 40 digits (mpmath)."""
    with mp.workdps(40):
        a, b = (mp.mpc(z) for z in (2 * (p1 - p0), 2 * (p2 - 2 * p1 + p0)))
        turn = -(a * mp.conj(b)).real / abs(b) ** 2 if b else mpf(0)
        cuts = sorted({mpf(0), min(max(turn, mpf(0)), mpf(1)), mpf(1)})
        return float(mp.quad(lambda t: abs(a + b * t), cuts))


@pytest.mark.parametrize("off", [0.0, 1e-12, 1e-9, 1e-8, 1e-7, 1e-5, 1e-3])
def test_a_quadratic_whose_handle_is_near_the_middle_of_its_chord_is_measured(
    off: float,
) -> None:
    for direction in (1, 1j, 0.3 - 0.7j):
        points = (3 + 4j, 53 + 24j + off * direction, 103 + 44j)

        (length,) = lengths(quadratic_segments([points]))

        assert length == pytest.approx(parabola_length(*points), rel=1e-12)


def test_svgpathtools_still_gets_such_a_quadratic_wrong() -> None:
    worst = 0.0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for off in np.geomspace(1e-9, 1e-4, 40):
            points = (3 + 4j, 53 + 24j + off * 1j, 103 + 44j)
            theirs = QuadraticBezier(*points).length()
            worst = max(worst, abs(theirs / parabola_length(*points) - 1))

    assert not worst < 1e-9


@pytest.mark.parametrize(
    "control",
    [
        (0j, 0j, 40 + 60j, 100 + 0j),  # no first handle
        (0j, 30 + 50j, 100 + 0j, 100 + 0j),  # no last one
        (0j, 0j, 100 + 50j, 100 + 50j),  # neither
        (0j, 1e-9j, 40 + 60j, 100 + 0j),  # one that is hardly there
    ],
)
def test_without_a_handle_the_turning_is_finite_while_the_curvature_is_not(
    control: tuple[complex, ...],
) -> None:
    (turning,) = turnings(cubic_segments([control]))

    points = [control[0], *(z for z in control[1:] if z != control[0])]
    chords = [b - a for a, b in pairwise(points) if a != b]
    expected = sum(cmath.phase(after / before) for before, after in pairwise(chords))
    assert turning == pytest.approx(expected, abs=1e-12)


def test_the_area_of_an_outline_with_arcs_is_its_closed_form() -> None:
    """Half an ellipse on its axis: svgpathtools takes half a minute for an arc."""
    half = arc_segments(10 + 5j, 80 + 0j, 20j, 0.0, math.pi)
    outline = Path(concatenate([half, line_segments(-70 + 5j, 90 + 5j)]), closed=True)

    assert signed_area(outline) == pytest.approx(math.pi * 80 * 20 / 2, rel=1e-12)


@pytest.mark.parametrize("grid", [0.01, 0.025, 0.05, 0.1, 1.0])
def test_ends_on_both_sides_of_the_line_of_a_grid_are_one_point(grid: float) -> None:
    """Rounding to a grid parts points that lie near each other across a line of it."""
    gap = JOIN_TOLERANCE_MM * 0.9 / math.sqrt(2)
    for cell in range(1, 40):
        corner = complex(cell, cell) * grid * 1.5 + complex(grid, grid) / 2
        before, after = corner - complex(gap, gap) / 2, corner + complex(gap, gap) / 2
        lines = [
            line(before, corner + 100, "a"),
            line(corner + 100, corner + 100j, "b"),
            line(corner + 100j, after, "c"),
        ]

        chained = chain_lines(lines, tolerance=JOIN_TOLERANCE_MM)

        assert len(chained.outlines) == 1
        assert not chained.leftover


@pytest.mark.parametrize("kind", ["PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY"])
def test_an_underlay_is_said(tmp_path: FilePath, kind: str) -> None:
    document = drawing()
    space = document.modelspace()
    space.add_line((0, 0), (1, 1))
    definition = document.add_underlay_def("other.pdf", kind[:3].lower())
    space.add_underlay(definition)

    (finding,) = read(tmp_path, document).findings

    assert (finding.code, kind in finding.message) == ("underlay", True)


@pytest.mark.parametrize("least", [0, 10**9])
@pytest.mark.parametrize("count", [1, 2, 50])
def test_the_last_entity_of_a_file_is_read(
    tmp_path: FilePath, least: int, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(loading, "LEAST_BYTES", least)
    tags = [
        tag
        for k in range(count)
        for tag in (0, "LINE", 5, f"{k + 256:X}", 8, 1, 10, k, 20, 0, 11, k, 21, 9)
    ]
    path = tmp_path / "front.dxf"
    path.write_text(simple(*tags))

    reading = read_dxf(path)

    assert [line.path.start.real for line in reading.drawing.lines] == list(
        range(count)
    )
    assert codes(reading) == ["unit-assumed"]


def test_an_inch_of_a_dxf_is_25_4_mm_to_the_last_digit(tmp_path: FilePath) -> None:
    document = drawing(unit=1)
    document.modelspace().add_line((0, 0), (1000, 0))

    (one,) = read(tmp_path, document).drawing.lines

    assert one.path.end == 25400


def test_a_drawing_that_is_read_in_a_thread_is_the_same() -> None:
    """numpy 2.1.0 and 2.1.1 keep small whole numbers small there: 310 mm became 54."""
    path = DEMO / "orchard-apron.svg"
    found: list[Reading] = []

    def look() -> None:
        found.append(read_drawing(path))

    thread = threading.Thread(target=look)
    thread.start()
    thread.join()
    look()
    one, other = ([line.path for line in reading.drawing.lines] for reading in found)
    assert len(one) == len(other) > 0
    for first, second in zip(one, other, strict=True):
        assert np.array_equal(first.segments.control, second.segments.control)

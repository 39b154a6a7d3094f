"""What Chromium, the second reader, makes of SVG files that others drew."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from conformance.collection import FEATURES, OTHERS, name_of, says_size
from conformance.curves import Subpath, length, path_data, total_length
from conformance.page import Page, Shape
from conformance.second_reader import subpaths
from svg_texts import length_of

from edgefinder.constants import JOIN_TOLERANCE_MM, MM_PER_INCH, PX_PER_INCH
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.svg.reading import read_svg

if TYPE_CHECKING:
    from conformance.browser import Browser

ENOUGH_FILES: Final = 80

MEASURED: Final = 2e-4
"""Relative: Chromium measures four cubics in place of an ellipse."""
INTEGRATED: Final = 1e-9
"""Relative: the length by quadrature under Chromium's own matrix."""
SINGLE: Final = 1e-6
"""Relative: where Chromium itself holds its numbers in single precision."""
RESOLVED: Final = 1e-5
"""Relative: where it says them with six digits."""
ALIKE: Final = 1e-3
"""Relative: boxes of a shape and of the same enlarged. Half turns in one arc command
move by this much when their numbers are rounded."""

UNIT_MM: Final = 1e5
"""Drawings are read so large that no gap that is drawn is within the join tolerance:
Chromium closes it by a line, the reader takes it up by bending the last segment."""

_SIZED: Final = tuple(filter(says_size, OTHERS + FEATURES))

every_file = pytest.mark.parametrize("path", OTHERS + FEATURES, ids=name_of)


sized_file = pytest.mark.parametrize("path", _SIZED, ids=name_of)


@dataclass(frozen=True, slots=True)
class Pair:
    """A shape as Chromium draws it, and what the reader makes of it."""

    shape: Shape
    subpaths: list[Subpath]
    lines: tuple[DrawnLine, ...]


def pair_up(page: Page, lines: tuple[DrawnLine, ...]) -> list[Pair]:
    pairs, at = [], 0
    for shape in page.shapes:
        found = subpaths(shape)
        if found and not shape.matrix.is_flat:
            pairs.append(Pair(shape, found, lines[at : at + len(found)]))
            at += len(found)
    assert at == len(lines)
    return pairs


def read_pairs(browser: "Browser", path: Path) -> list[Pair]:
    lines = read_svg(path, unit_mm=UNIT_MM).drawing.lines
    return pair_up(browser.page(path), lines)


def reach(page: Page) -> float:
    """Return how far a drawing lies from its origin, in its outermost user units."""
    corners = (
        shape.matrix.point(complex(shape.box[i], shape.box[j]))
        for shape in page.shapes
        for i, j in ((0, 1), (2, 3))
    )
    return max((abs(corner) for corner in corners), default=1.0)


def test_enough_files_that_others_drew() -> None:
    assert len(OTHERS) >= ENOUGH_FILES


@every_file
def test_draws_the_shapes_that_chromium_draws(browser: "Browser", path: Path) -> None:
    pairs = read_pairs(browser, path)

    for pair in pairs:
        assert {line.kind for line in pair.lines} == {pair.shape.tag}
        assert {line.id for line in pair.lines} == {pair.shape.id}


@every_file
def test_lines_are_as_long_as_chromium_measures_them(
    browser: "Browser", path: Path
) -> None:
    for pair in read_pairs(browser, path):
        scale = pair.shape.matrix.scale
        if scale is None:
            # getTotalLength knows nothing of the transforms around a shape.
            size = max(abs(side) for side in pair.shape.box)
            factor = browser.enlarged / size
            data = path_data(pair.subpaths, pair.shape.matrix, factor)
            measured = browser.length(data) / factor
        else:
            measured = pair.shape.length * scale

        ours = sum(length_of(line) for line in pair.lines) / UNIT_MM
        assert ours == pytest.approx(measured, rel=MEASURED, abs=0)


@every_file
def test_lines_are_as_long_as_integrated_over_chromiums_matrices(
    browser: "Browser", path: Path
) -> None:
    for pair in read_pairs(browser, path):
        accuracy = SINGLE if pair.shape.is_rounded else INTEGRATED
        for subpath, line in zip(pair.subpaths, pair.lines, strict=True):
            integrated = total_length(subpath, pair.shape.matrix)

            ours = length_of(line) / UNIT_MM
            assert ours == pytest.approx(integrated, rel=accuracy, abs=0)


@every_file
def test_lines_start_where_chromium_puts_them(browser: "Browser", path: Path) -> None:
    near = SINGLE * reach(browser.page(path))
    for pair in read_pairs(browser, path):
        for subpath, line in zip(pair.subpaths, pair.lines, strict=True):
            start = pair.shape.matrix.point(subpath[0].start)

            ours = (line.path.start / UNIT_MM).conjugate()
            assert abs(ours - start) <= near


@sized_file
def test_lines_are_as_long_on_paper_as_on_the_screen(
    browser: "Browser", path: Path
) -> None:
    page = browser.page(path)
    lines = read_svg(path).drawing.lines

    for pair in pair_up(page, lines):
        for subpath, line in zip(pair.subpaths, pair.lines, strict=True):
            in_px = math.fsum(
                length(curve.mapped(pair.shape.matrix).mapped(page.to_screen))
                for curve in subpath
            )
            on_screen = in_px * MM_PER_INCH / PX_PER_INCH
            # A small gap is taken up, and not bridged as in Chromium.
            assert length_of(line) == pytest.approx(
                on_screen, rel=MEASURED, abs=JOIN_TOLERANCE_MM
            )


@every_file
def test_what_is_asked_of_chromium_holds_together(
    browser: "Browser", path: Path
) -> None:
    page = browser.page(path)
    near = RESOLVED * reach(page)

    for copied, written_out in page.copies:
        assert written_out == pytest.approx(copied, rel=RESOLVED, abs=near)
    for shape in page.shapes:
        size = max(abs(side) for side in shape.box)
        assert shape.enlarged_box == pytest.approx(
            shape.box, rel=ALIKE, abs=ALIKE * size
        )
        largest = max(map(abs, shape.matrix))
        assert tuple(shape.matrix) == pytest.approx(
            tuple(shape.single_matrix), rel=SINGLE, abs=SINGLE * largest
        )

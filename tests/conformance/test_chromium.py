"""What Chromium, the second reader, makes of SVG files that others drew."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from conformance.collection import FEATURES, OTHERS, name_of
from conformance.curves import Matrix, Subpath, path_data, total_length
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
SINGLE: Final = 5e-7
"""Relative: where Chromium itself holds its numbers in single precision."""
SHORTEST: Final = 1e-3
"""Share of a drawing; box sides nearer than this times `SINGLE` are the same."""

UNIT_MM: Final = 1e5
"""Drawings are read so large that no gap that is drawn is within the join tolerance:
Chromium closes it by a line, the reader takes it up by bending the last segment."""
IDENTITY: Final = Matrix(1, 0, 0, 1, 0, 0)

every_file = pytest.mark.parametrize("path", OTHERS + FEATURES, ids=name_of)


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
        if found:
            pairs.append(Pair(shape, found, lines[at : at + len(found)]))
            at += len(found)
    assert at == len(lines)
    return pairs


def read_pairs(browser: "Browser", path: Path) -> list[Pair]:
    lines = read_svg(path, unit_mm=UNIT_MM).drawing.lines
    return pair_up(browser.page(path), lines)


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

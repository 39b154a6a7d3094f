"""A third opinion on the files that others drew: svgelements, a reader in Python."""

import math
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import pytest
from conformance.collection import OTHERS, name_of
from svg_texts import length_of
from svgelements import SVG, Close, Line, Matrix, Move, Shape
from svgelements import Path as ItsPath

from edgefinder.importers.svg.reading import read_svg

SAME: Final = 1e-7
"""Relative: it is asked for lengths to 1e-8 and keeps twelve digits of a scale."""

WRONG: Final = MappingProxyType(
    {
        "picosvg/drop-anon-symbols-before": "draws a symbol that is not used",
        "picosvg/transform-before": "arcs under a skew are not those of the ellipse",
    }
)
"""Where it is not right, and Chromium says so too."""


def its_length(path: Path) -> float:
    svg = SVG.parse(str(path), ppi=96)
    to_px = Matrix(svg.viewbox_transform or "")
    total = sum(
        _length(segment)
        for element in svg.elements()
        if isinstance(element, Shape)
        for segment in abs(ItsPath(element))
    )
    return float(total / math.sqrt(abs(to_px.a * to_px.d - to_px.b * to_px.c)))


def _length(segment: Any) -> float:
    if isinstance(segment, Move) or segment.start is None or segment.end is None:
        return 0.0
    if isinstance(segment, Line | Close):
        return float(abs(segment.end - segment.start))
    return float(segment.length(error=1e-8))


def our_length(path: Path) -> float:
    # Large, so that no gap that is drawn is within the join tolerance.
    unit_mm = 1e5
    lines = read_svg(path, unit_mm=unit_mm).drawing.lines
    return sum(length_of(line) for line in lines) / unit_mm


@pytest.mark.parametrize(
    "path", [path for path in OTHERS if name_of(path) not in WRONG], ids=name_of
)
def test_all_lines_together_are_as_long_as_svgelements_finds(path: Path) -> None:
    assert our_length(path) == pytest.approx(its_length(path), rel=SAME, abs=0)


@pytest.mark.parametrize(
    "path", [path for path in OTHERS if name_of(path) in WRONG], ids=name_of
)
def test_svgelements_is_left_out_only_where_it_differs(path: Path) -> None:
    assert our_length(path) != pytest.approx(its_length(path), rel=SAME, abs=0)

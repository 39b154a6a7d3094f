"""What svgelements, another reader, makes of the same drawings."""

import io

import numpy as np
import pytest
from svg_texts import read_body, svg_text, vertices
from svgelements import SVG, Path, Shape

from edgefinder.geometry.segments import Complexes

IN_MM = 25.4 / 96
ROUNDED_INCH = 2e-6
"""svgelements takes 1 mm for 0.0393701 in."""
SHAPE = '<path d="M1 2 L 30 4 L 7 50 L 12 13"/>'
LINE = '<line x1="10%" y1="20%" x2="3mm" y2="2pt"/>'


def others(body: str, size: str) -> list[Complexes]:
    svg = SVG.parse(io.BytesIO(svg_text(body, size)), ppi=96)
    found = []
    for element in svg.elements():
        if isinstance(element, Shape):
            path = abs(Path(element))
            ends = [segment.end for segment in path]
            points = [complex(z.x, -z.y) * IN_MM for z in ends if z is not None]
            found.append(np.array(points, dtype=np.complex128))
    return found


def ours(body: str, size: str) -> list[Complexes]:
    return [vertices(line) for line in read_body(body, size).drawing.lines]


def assert_same(body: str, size: str) -> None:
    mine, its = ours(body, size), others(body, size)

    assert len(mine) == len(its) > 0
    for one, other in zip(mine, its, strict=True):
        np.testing.assert_allclose(one, other, rtol=ROUNDED_INCH, atol=1e-4)


@pytest.mark.parametrize("unit", ["", "px", "mm", "cm", "in", "pt", "pc"])
def test_sizes_in_every_unit(unit: str) -> None:
    size = f'width="50{unit}" height="80{unit}" viewBox="-3 5 100 160"'

    assert_same(SHAPE + LINE, size)


@pytest.mark.parametrize("how", ["", " meet", " slice"])
@pytest.mark.parametrize(
    "alignment",
    [f"x{x}Y{y}" for x in ("Min", "Mid", "Max") for y in ("Min", "Mid", "Max")]
    + ["none"],
)
@pytest.mark.parametrize("view_box", ["0 0 100 40", "-5 7 40 100"])
def test_every_alignment(view_box: str, alignment: str, how: str) -> None:
    size = f'width="60mm" height="70mm" viewBox="{view_box}"'

    assert_same(SHAPE, f'{size} preserveAspectRatio="{alignment}{how}"')


@pytest.mark.parametrize(
    "body",
    [
        f'<g transform="translate(3 4) rotate(20)">{SHAPE}</g>',
        f'<g transform="skewX(20)"><g transform="rotate(9 3 4)">{SHAPE}</g></g>',
        f'<defs><g id="a">{SHAPE}</g></defs><use href="#a" x="5" y="7"/>',
        f'<g id="a">{SHAPE}</g><use xlink:href="#a" transform="scale(2)" x="5"/>',
        f'<g display="none">{SHAPE}</g>{SHAPE}',
        f'<svg x="10" y="5" width="40" height="30" viewBox="0 0 80 90">{SHAPE}</svg>',
        '<polyline points="1,2 3,4 9,1"/><polygon points="1,2 3,4 9,1"/>',
        '<rect x="1" y="2" width="30" height="40"/>',
    ],
)
def test_groups_copies_and_nested_drawings(body: str) -> None:
    assert_same(body, 'width="100mm" height="90mm" viewBox="0 0 100 90"')

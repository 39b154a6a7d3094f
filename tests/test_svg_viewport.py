import math

import numpy as np
import pytest
from svg_texts import length_of, read_line, vertices

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.viewport import (
    Alignment,
    Box,
    fit,
    read_alignment,
    read_view_box,
)


def test_a_view_box_is_four_numbers_with_an_area() -> None:
    assert read_view_box("-1, 2 30 40") == Box(-1, 2, 30, 40)
    assert read_view_box(None) is None
    assert read_view_box(" none ") is None
    for wrong in ("0 0 1", "0 0 1 2 3", "0 0 1 x", "0 0 0 5", "0 0 5 -1"):
        with pytest.raises(DrawingError):
            read_view_box(wrong)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (None, Alignment(0.5, 0.5, covers=False)),
        ("", Alignment(0.5, 0.5, covers=False)),
        ("none", None),
        ("none meet", None),
        ("xMinYMax", Alignment(0.0, 1.0, covers=False)),
        ("xMaxYMid slice", Alignment(1.0, 0.5, covers=True)),
        ("defer xMidYMin meet", Alignment(0.5, 0.0, covers=False)),
    ],
)
def test_alignments_are_read(text: str | None, expected: Alignment | None) -> None:
    assert read_alignment(text) == expected


@pytest.mark.parametrize("text", ["xMin", "xmidymid", "xMidYMid fit", "meet"])
def test_other_alignments_are_refused(text: str) -> None:
    with pytest.raises(DrawingError):
        read_alignment(text)


@pytest.mark.parametrize("covers", [False, True])
@pytest.mark.parametrize("across", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("down", [0.0, 0.5, 1.0])
def test_the_view_box_meets_or_covers_the_viewport_at_the_named_side(
    across: float, down: float, covers: bool
) -> None:
    box, viewport = Box(5, 7, 20, 10), Box(100, 200, 40, 80)

    affine = fit(box, viewport, Alignment(across, down, covers))

    corners = affine.points(np.array([5 + 7j, 25 + 17j]))
    low, high = complex(corners[0]), complex(corners[1])
    size = high - low
    assert size.real / size.imag == pytest.approx(2)
    # Where the share is 0, 0.5 or 1 the left sides, middles or right sides agree.
    assert low.real + across * size.real == pytest.approx(100 + across * 40)
    assert low.imag + down * size.imag == pytest.approx(200 + down * 80)
    wide, tall = size.real / 40, size.imag / 80
    assert (min if covers else max)(wide, tall) == pytest.approx(1)


@pytest.mark.parametrize(
    ("size", "mm"),
    [
        ('width="1in" height="1in" viewBox="0 0 10 10"', 25.4),
        ('width="96" height="96" viewBox="0 0 10 10"', 25.4),
        ('width="72pt" height="72pt" viewBox="0 0 10 10"', 25.4),
        ('width="6pc" height="6pc" viewBox="0 0 10 10"', 25.4),
        ('width="400Q" height="400Q" viewBox="0 0 10 10"', 100),
        ('width="10cm" height="10cm" viewBox="0 0 10 10"', 100),
        ('style="width:10cm;height:10cm" viewBox="0 0 10 10"', 100),
        ('width="10cm" viewBox="0 0 10 10"', 100),
        ('width="10cm" height="100%" viewBox="0 0 10 10"', 100),
        ('height="10cm" viewBox="0 0 10 10"', 100),
        ('width="10cm" height="5cm" viewBox="0 0 10 10"', 50),
        (
            (
                'width="10cm" height="5cm" viewBox="0 0 10 10"'
                ' preserveAspectRatio="xMidYMid slice"'
            ),
            100,
        ),
        (
            'width="10cm" height="5cm" viewBox="0 0 10 10" preserveAspectRatio="none"',
            100,
        ),
        ('width="10cm" height="5cm"', 10 * 25.4 / 96),
    ],
)
def test_ten_units_across_come_out_in_millimetres(size: str, mm: float) -> None:
    assert length_of(read_line('<path d="M0 0H10"/>', size)) == pytest.approx(mm)


def test_lengths_with_units_inside_a_view_box_are_96_units_to_the_inch() -> None:
    size = 'width="1000mm" height="1000mm" viewBox="0 0 500 500"'

    line = read_line('<line x2="1in" y2="2.54cm"/>', size)

    # SVG 2, section 8.9: an inch is 96 user units, whatever the viewBox makes of them.
    np.testing.assert_allclose(vertices(line), [0, 192 - 192j], atol=1e-9)
    assert length_of(line) == pytest.approx(192 * math.sqrt(2))

import math

import pytest

from edgefinder.binding.tape import CUT_WIDTHS_PER_FINISHED, cut_width
from edgefinder.classifier.job import TapeFold
from edgefinder.errors import SettingsError
from edgefinder.yardage.strip_width import Layers, strip_width

INCH = 25.4


@pytest.mark.parametrize("width_in", [0.25, 0.5, 0.75])
def test_a_single_layer_of_1921_is_two_widths_and_three_quarters(
    width_in: float,
) -> None:
    # Published: The New Dressmaker, 1921, p. 131: 2 w + 3/4 in.
    cut = strip_width(width_in * INCH, Layers.SINGLE, 0.375 * INCH)

    assert cut / INCH == pytest.approx(2 * width_in + 0.75)


@pytest.mark.parametrize(
    ("layers", "fold"),
    [(Layers.SINGLE, TapeFold.DOUBLE), (Layers.DOUBLE, TapeFold.DOUBLE_LAYER)],
)
def test_with_a_seam_as_wide_as_the_binding_it_is_the_familiar_rule(
    layers: Layers, fold: TapeFold
) -> None:
    assert strip_width(9.0, layers, 9.0, 3.0) == pytest.approx(
        cut_width(9.0, fold, 3.0)
    )
    assert CUT_WIDTHS_PER_FINISHED[fold] * 9.0 == strip_width(9.0, layers, 9.0)


def test_a_published_double_layer_is_six_widths_and_a_quarter_inch() -> None:
    # Published in a sewing manual: 6 w + 1/4 in.
    cut = strip_width(10.0, Layers.DOUBLE, 10.0, 0.25 * INCH)

    assert cut == pytest.approx(60.0 + 0.25 * INCH)


def test_a_flat_strip_covers_one_side_only() -> None:
    assert strip_width(25.0, Layers.FLAT, 6.0) == 37.0
    assert strip_width(25.0, Layers.FLAT, 0.0) == 25.0


@pytest.mark.parametrize(
    ("figures", "line"),
    [
        ((-1.0, 5.0, 0.0), "the finished width is -1 mm"),
        ((5.0, math.nan, 0.0), "the seam allowance of the strip is nan mm"),
        ((5.0, 5.0, math.inf), "the turn of cloth is inf mm"),
        ((0.1, 0.0, 0.0), "the strip comes out 0 mm"),
    ],
)
def test_a_figure_that_cannot_be_is_named(
    figures: tuple[float, float, float], line: str
) -> None:
    with pytest.raises(SettingsError) as caught:
        strip_width(figures[0], Layers.FLAT, figures[1], figures[2])

    assert caught.value.messages[0].startswith(line)

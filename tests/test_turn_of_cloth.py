"""Turn of cloth against the length of the line that a folded strip lies along."""

import math
from pathlib import Path

import pytest
import shapely
from tape_cases import job_of

from edgefinder.binding.tape import make_tapes
from edgefinder.binding.turn_of_cloth import CLOTH_THICKNESS_MM, turn_of_cloth
from edgefinder.classifier.job import TapeFold
from edgefinder.errors import SettingsError

LONG = 50.0


def round_a_core(core: float, layer: float) -> float:
    """Length of the middle of a layer round a straight core, its sides left out."""
    line = shapely.LineString([(0, 0), (LONG, 0)])
    middle = line.buffer((core + layer) / 2, quad_segs=2000).exterior
    half = shapely.intersection(middle, shapely.box(LONG, -LONG, 2 * LONG, LONG))
    return float(half.length)


@pytest.mark.parametrize("layer", [0.15, 0.3, 0.6])
@pytest.mark.parametrize("edge", [0.3, 0.9, 2.0])
def test_every_fold_takes_the_middle_of_its_layer(layer: float, edge: float) -> None:
    on_nothing = round_a_core(0.0, layer)
    round_edge = round_a_core(edge, layer)
    round_inner = round_a_core(edge + 2 * layer, layer)

    assert turn_of_cloth(TapeFold.SINGLE, layer, edge) == pytest.approx(
        round_edge, rel=1e-5
    )
    assert turn_of_cloth(TapeFold.DOUBLE, layer, edge) == pytest.approx(
        round_inner + 2 * on_nothing, rel=1e-5
    )
    assert turn_of_cloth(TapeFold.DOUBLE_LAYER, layer, edge) == pytest.approx(
        round_inner
        + round_a_core(edge + 4 * layer, layer)
        + 2 * on_nothing
        + round_a_core(2 * layer, layer),
        rel=1e-5,
    )
    assert turn_of_cloth(TapeFold.FACING, layer, edge) == pytest.approx(
        2 * on_nothing, rel=1e-5
    )
    assert turn_of_cloth(TapeFold.FLAT, layer, edge) == 0.0


def test_light_and_thick_cloth_take_what_experience_has() -> None:
    """2 to 3 mm for light cloth and 3 to 6 mm for thick cloth (from memory)."""
    lawn, twill = CLOTH_THICKNESS_MM["lawn"], CLOTH_THICKNESS_MM["twill"]

    assert 1.5 < turn_of_cloth(TapeFold.DOUBLE, lawn, 2 * lawn) < 3
    assert 3 < turn_of_cloth(TapeFold.DOUBLE, twill, twill) < 6


def made(folder: Path, more: str) -> float:
    settings = f'[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n{more}\n'
    (tape,), _ = make_tapes(job_of(folder, "", settings))
    return tape.cut_width


@pytest.mark.parametrize(
    ("more", "extra"),
    [
        ("", 0.0),
        ('turn_of_cloth = "2 mm"', 2.0),
        ('turn_of_cloth = "by thickness"', math.pi / 2 * (4 * 0.3) + math.pi * 0.3),
        ('thickness = "0.5 mm"', math.pi / 2 * (4 * 0.5) + math.pi * 0.5),
        (
            'thickness = "0.5 mm"\nedge_thickness = "2 mm"',
            math.pi / 2 * (2 + 3 * 0.5) + math.pi * 0.5,
        ),
    ],
)
def test_a_job_says_it_or_gives_the_thickness(
    tmp_path: Path, more: str, extra: float
) -> None:
    assert made(tmp_path, more) == pytest.approx(36 + extra)


def test_a_word_that_is_no_length_is_a_mistake(tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        made(tmp_path, 'turn_of_cloth = "some"')

    assert "turn_of_cloth" in caught.value.messages[0]

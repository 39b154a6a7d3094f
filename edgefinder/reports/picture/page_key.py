"""The key of a sheet of pieces, and its scale bar."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from edgefinder.constants import MM_PER_INCH
from edgefinder.curvature.verdict import Verdict
from edgefinder.reports.picture.growing_sheet import LINE_SHARE, TEXT_MM, GrowingSheet
from edgefinder.reports.picture.labels import short
from edgefinder.reports.picture.pens import (
    BAND,
    BAND_FILLS,
    OUTLINE,
    run_letter,
    run_pen,
)
from edgefinder.reports.picture.strokes import Stroke, corner_mark
from edgefinder.units import Unit

SAMPLE_MM: Final = 11.0
"""Length of a line in the key, on paper."""
BAR_MM: Final = 50.0
"""The bar of the scale is at most this long on paper."""
LONGEST_KEY: Final = 70
"""Letters of a name in the key."""


def write_marks_key(sheet: GrowingSheet) -> None:
    """Explain the small square."""
    scale = sheet.scale
    step = TEXT_MM * LINE_SHARE * scale
    middle = complex(SAMPLE_MM * scale / 2, sheet.y - step / 2)
    sheet.strokes.append(corner_mark(middle, scale))
    sheet.write("here one edge ends and the next begins", TEXT_MM, _beside(scale))


def _beside(scale: float) -> float:
    """Return where the words beside a sample of the key begin."""
    return (SAMPLE_MM + 2.0) * scale


def write_key(
    sheet: GrowingSheet, runs: Sequence[tuple[int, str]], verdicts: set[Verdict]
) -> None:
    """Write what the lines of runs and the bands of places mean."""
    scale = sheet.scale
    step = TEXT_MM * LINE_SHARE * scale
    for index, name in runs:
        y = sheet.y - step / 2
        line = np.array([complex(0.0, y), complex(SAMPLE_MM * scale, y)])
        sheet.strokes.append(Stroke(line, run_pen(index), kind="key"))
        said = f"{run_letter(index)}: {short(name, LONGEST_KEY)}"
        sheet.write(said, TEXT_MM, _beside(scale))
    for verdict in (v for v in BAND_FILLS if v in verdicts):
        high = 0.35 * step
        y = sheet.y - step / 2
        corners = np.array(
            [
                complex(0.0, y - high),
                complex(SAMPLE_MM * scale, y - high),
                complex(SAMPLE_MM * scale, y + high),
                complex(0.0, y + high),
            ]
        )
        fill = BAND_FILLS[verdict]
        sheet.strokes.append(Stroke(corners, BAND, fill, closed=True, kind="key"))
        said = f"the tape here: {verdict}"
        sheet.write(said, TEXT_MM, _beside(scale))


def draw_bar(sheet: GrowingSheet, unit: Unit) -> None:
    """Draw the bar of the scale and write how long it is."""
    scale = sheet.scale
    sheet.gap(1.0)
    size, text = scale_bar(unit, scale)
    step = TEXT_MM * LINE_SHARE * scale
    y, half = sheet.y - step / 2, 0.9 * scale
    for start, end in (
        (complex(0.0, y), complex(size, y)),
        (complex(0.0, y - half), complex(0.0, y + half)),
        (complex(size, y - half), complex(size, y + half)),
    ):
        sheet.strokes.append(Stroke(np.array([start, end]), OUTLINE, kind="scale-bar"))
    sheet.write(f"{text}, drawn 1 : {scale:g}", TEXT_MM, size + 2.0 * scale)


def scale_bar(unit: Unit, scale: float) -> tuple[float, str]:
    """Return the longest round length that the scale bar may have, and its name.

    Parameters
    ----------
    unit : Unit
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    float
        Millimetres of cloth.
    str
    """
    one = {Unit.INCH: MM_PER_INCH, Unit.MILLIMETRE: 1.0, Unit.CENTIMETRE: 10.0}[unit]
    most = BAR_MM * scale / one
    power = 10.0 ** math.floor(math.log10(most))
    count = max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)
    return count * one, f"{count:g} {unit}"

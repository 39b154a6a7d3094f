"""A piece of the line of a run, for the key of the sheet."""

from typing import Final

from markupsafe import Markup

from edgefinder.reports.picture.pens import run_pen
from edgefinder.reports.svg_drawing import element, numbers

SAMPLE_MM: Final = 12.0
"""Length of the sample."""


def run_sample(index: int) -> Markup:
    """Draw a piece of the line of a run, on white as the pictures are."""
    pen = run_pen(index)
    line = element(
        "line",
        {
            "x1": 1.0,
            "y1": 2.0,
            "x2": SAMPLE_MM - 1.0,
            "y2": 2.0,
            "stroke": pen.colour,
            "stroke-width": pen.width,
            "stroke-dasharray": numbers(*pen.dashes) if pen.dashes else None,
        },
    )
    ground = element("rect", {"width": SAMPLE_MM, "height": 4.0, "fill": "#FFFFFF"})
    sample = element(
        "svg",
        {
            "class": "sample",
            "width": f"{SAMPLE_MM:g}mm",
            "height": "4mm",
            "viewBox": numbers(0.0, 0.0, SAMPLE_MM, 4.0),
            "aria-hidden": "true",
        },
        ground,
        line,
    )
    return Markup(sample)  # noqa: S704 - figures only

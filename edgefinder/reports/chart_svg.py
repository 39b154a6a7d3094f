"""A sheet written as SVG."""

from typing import Final

from edgefinder.reports.chart_marks import (
    PENS,
    Anchor,
    Fill,
    Frame,
    Label,
    Mark,
    label_box,
)
from edgefinder.reports.chart_page import EDGE_MM, PAPER_WIDTH_MM, Sheet
from edgefinder.reports.svg_drawing import (
    NAMESPACE,
    checked_prefix,
    element,
    number,
    numbers,
    words,
)

HATCH_MM: Final = 1.3
"""Paper between the lines of the hatch."""


def sheet_svg(sheet: Sheet, title: str, description: str, prefix: str) -> str:
    """Write a sheet as SVG.

    Parameters
    ----------
    sheet : Sheet
    title, description : str
        For those who do not see the drawing; may hold names from a job file.
    prefix : str
        Begins every id, so that several drawings can stand on one page.

    Returns
    -------
    str
        One ``svg`` element, ending in a line feed. Its unit is a millimetre of
        cloth; its size is that on paper.

    Raises
    ------
    ValueError
        If ids cannot begin with the prefix.
    """
    prefix = checked_prefix(prefix)
    edge = EDGE_MM * sheet.scale
    across, along = sheet.width + 2.0 * edge, sheet.height + 2.0 * edge
    parts = [
        element("title", {"id": f"{prefix}-title"}, words(title)),
        element("desc", {"id": f"{prefix}-desc"}, words(description)),
        element("defs", {}, _hatch(prefix, sheet.scale)),
        element(
            "rect",
            {
                "x": -edge,
                "y": -edge,
                "width": across,
                "height": along,
                "fill": "#FFFFFF",
            },
        ),
        *(_mark(mark, prefix, sheet.scale) for mark in sheet.marks),
        *(_label(label, sheet.scale) for label in sheet.labels),
    ]
    whole = element(
        "svg",
        {
            "xmlns": NAMESPACE,
            "width": f"{number(PAPER_WIDTH_MM)}mm",
            "height": f"{number(along / sheet.scale)}mm",
            "viewBox": numbers(-edge, -edge, across, along),
            "role": "img",
            "aria-labelledby": f"{prefix}-title {prefix}-desc",
            "font-family": "sans-serif",
        },
        "\n",
        "\n".join(parts),
        "\n",
    )
    return whole + "\n"


def _hatch(prefix: str, scale: float) -> str:
    """Write the hatch: lines square to the bias strips, so that they stand out."""
    size = HATCH_MM * scale
    line = element(
        "line",
        {
            "x1": 0.0,
            "y1": size / 2,
            "x2": size,
            "y2": size / 2,
            "stroke": "#000000",
            "stroke-width": 0.2 * scale,
        },
    )
    return element(
        "pattern",
        {
            "id": f"{prefix}-hatch",
            "patternUnits": "userSpaceOnUse",
            "width": size,
            "height": size,
            "patternTransform": "rotate(45)",
        },
        line,
    )


def _mark(mark: Mark, prefix: str, scale: float) -> str:
    pen = None if mark.line is None else PENS[mark.line]
    fill = f"url(#{prefix}-hatch)" if mark.fill is Fill.DROPPED else str(mark.fill)
    places = " ".join(f"{number(x)},{number(-y)}" for x, y in mark.points)
    return element(
        "polygon" if mark.closed else "polyline",
        {
            "id": None if mark.key is None else f"{prefix}-{mark.key}",
            "points": places,
            "fill": fill,
            "stroke": None if pen is None else pen.colour,
            "stroke-width": None if pen is None else pen.width * scale,
            "stroke-dasharray": numbers(*(dash * scale for dash in pen.dashes))
            if pen is not None and pen.dashes
            else None,
            "stroke-linejoin": None if pen is None else "round",
        },
    )


def _label(label: Label, scale: float) -> str:
    x, y = label.at[0], -label.at[1]
    lower = 0.35 * label.height * scale  # half the height of a capital letter
    turned = f"rotate(-90 {numbers(x, y)})" if label.turned else None
    text = element(
        "text",
        {
            "x": x,
            "y": y + lower,
            "font-size": label.height * scale,
            "font-weight": "bold" if label.bold else None,
            "text-anchor": None if label.anchor is Anchor.START else str(label.anchor),
            "transform": turned,
        },
        words(label.text),
    )
    return _frame(label, scale) + text


def _frame(label: Label, scale: float) -> str:
    if label.frame is Frame.NONE:
        return ""
    left, low, right, high = label_box(label, scale)
    return element(
        "rect",
        {
            "x": left,
            "y": -high,
            "width": right - left,
            "height": high - low,
            "rx": (high - low) / 2 if label.frame is Frame.CIRCLE else None,
            "fill": "#FFFFFF",
            "stroke": None if label.frame is Frame.CLEARED else "#000000",
            "stroke-width": None if label.frame is Frame.CLEARED else 0.25 * scale,
        },
    )

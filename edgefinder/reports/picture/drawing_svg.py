"""A drawing of strokes and words, written as SVG."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes
from edgefinder.reports.chart_marks import Box, text_width
from edgefinder.reports.picture.labels import LABEL_MM, Frame, Label
from edgefinder.reports.picture.pens import INK, LEADER, PAPER, Pen
from edgefinder.reports.picture.strokes import Stroke
from edgefinder.reports.svg_drawing import (
    NAMESPACE,
    checked_prefix,
    element,
    number,
    numbers,
    pairs,
    words,
)

MARGIN_MM: Final = 2.0
"""Paper left white around a drawing."""
HALF_CAPITAL: Final = 0.35
"""Half the height of a capital letter as a share of its font size."""


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text that begins at a place.

    Parameters
    ----------
    text : str
        Untrusted.
    at : complex
        Left end, in the middle of its height, in millimetres of cloth.
    height : float
        Font size in millimetres of paper.
    bold : bool
    """

    text: str
    at: complex
    height: float
    bold: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """What is drawn on one sheet.

    Parameters
    ----------
    strokes : tuple of Stroke
    labels : tuple of Label
    words : tuple of Words
    box : tuple of float
        Left, bottom, right, top in millimetres of cloth.
    scale : float
        Millimetres of cloth to one of paper.
    """

    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    words: tuple[Words, ...]
    box: Box
    scale: float


def drawing_svg(drawing: Drawing, title: str, description: str, prefix: str) -> str:
    """Write a drawing as SVG.

    Parameters
    ----------
    drawing : Drawing
    title, description : str
        For those who do not see it; may hold names from a drawing.
    prefix : str
        Begins every id, so that several drawings can stand on one page.

    Returns
    -------
    str
        One ``svg`` element ending in a line feed, without ``style`` or script. Its
        unit is a millimetre of cloth; its size is that on paper.

    Raises
    ------
    ValueError
        If ids cannot begin with the prefix.
    """
    prefix, scale = checked_prefix(prefix), drawing.scale
    margin = MARGIN_MM * scale
    left, low, right, top = drawing.box
    across, along = right - left + 2 * margin, top - low + 2 * margin
    corner = left - margin, -top - margin
    parts = [
        element("title", {"id": f"{prefix}-title"}, words(title)),
        element("desc", {"id": f"{prefix}-desc"}, words(description)),
        element(
            "rect",
            {
                "x": corner[0],
                "y": corner[1],
                "width": across,
                "height": along,
                "fill": PAPER,
            },
        ),
        *(_stroke(stroke, scale) for stroke in drawing.strokes),
        *(_leader(label, scale) for label in drawing.labels if label.leader),
        *(_label(label, scale) for label in drawing.labels),
        *(_words(one, scale) for one in drawing.words),
    ]
    whole = element(
        "svg",
        {
            "xmlns": NAMESPACE,
            "width": f"{number(across / scale)}mm",
            "height": f"{number(along / scale)}mm",
            "viewBox": numbers(*corner, across, along),
            "role": "img",
            "aria-labelledby": f"{prefix}-title {prefix}-desc",
            "font-family": "sans-serif",
        },
        "\n",
        "\n".join(parts),
        "\n",
    )
    return whole + "\n"


def _points(points: Complexes) -> str:
    flat = np.column_stack([points.real, -points.imag])
    return pairs(flat.ravel().tolist())


def _pen(pen: Pen | None, scale: float) -> dict[str, str | float | None]:
    if pen is None:
        return {}
    dashes = numbers(*(dash * scale for dash in pen.dashes)) if pen.dashes else None
    return {
        "stroke": pen.colour,
        "stroke-width": pen.width * scale,
        "stroke-dasharray": dashes,
        "stroke-linejoin": "round",
    }


def _stroke(stroke: Stroke, scale: float) -> str:
    return element(
        "polygon" if stroke.closed else "polyline",
        {
            "class": stroke.kind or None,
            "points": _points(stroke.points),
            "fill": stroke.fill or "none",
            **_pen(stroke.pen, scale),
        },
    )


def _leader(label: Label, scale: float) -> str:
    if label.leader is None:
        return ""
    start, end = label.leader
    ends = {"x1": start.real, "y1": -start.imag, "x2": end.real, "y2": -end.imag}
    return element("line", {"class": "leader", **ends, **_pen(LEADER, scale)})


def _label(label: Label, scale: float) -> str:
    left, low, right, top = label.box
    framed = label.frame is not Frame.NONE
    text = element(
        "text",
        {
            "class": "label",
            "x": (left + right) / 2,
            "y": -(low + top) / 2 + HALF_CAPITAL * LABEL_MM * scale,
            "font-size": LABEL_MM * scale,
            "font-weight": "bold" if framed else None,
            "text-anchor": "middle",
            "fill": PAPER if label.frame is Frame.FILLED else INK,
            **_fitted(label.text, LABEL_MM, scale, bold=framed),
        },
        words(label.text),
    )
    return _frame(label, scale) + text


def _frame(label: Label, scale: float) -> str:
    if label.frame is Frame.NONE:
        return ""
    left, low, right, top = label.box
    high = top - low
    line = 0.3 * scale
    return element(
        "rect",
        {
            "class": "frame",
            "x": left + line / 2,
            "y": -top + line / 2,
            "width": right - left - line,
            "height": high - line,
            "rx": None if label.frame is Frame.SQUARE else (high - line) / 2,
            "fill": INK if label.frame is Frame.FILLED else PAPER,
            "stroke": INK,
            "stroke-width": line,
        },
    )


def _words(one: Words, scale: float) -> str:
    return element(
        "text",
        {
            "class": "words",
            "x": one.at.real,
            "y": -one.at.imag + HALF_CAPITAL * one.height * scale,
            "font-size": one.height * scale,
            "font-weight": "bold" if one.bold else None,
            **_fitted(one.text, one.height, scale, bold=one.bold),
        },
        words(one.text),
    )


def _fitted(
    text: str, height: float, scale: float, *, bold: bool
) -> dict[str, str | float | None]:
    """Hold a text to its estimated width where its letters may be wider than thought.

    Letters beyond ASCII come in fonts that nobody knows; some are many letters wide.
    """
    if text.isascii() or not text:
        return {}
    return {
        "textLength": text_width(text, height, bold=bold) * scale,
        "lengthAdjust": "spacingAndGlyphs",
    }

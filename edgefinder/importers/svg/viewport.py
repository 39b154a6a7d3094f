"""From the user units of a viewBox to the size a drawing has on paper."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.importers.svg.units import (
    MM_PER_PX,
    REAL_UNITS,
    Length,
    Viewport,
    read_numbers,
    shortened,
)

_ALIGNMENT: Final = re.compile(
    r"(?:defer\s+)?(?:none|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?"
)
_SHARES: Final = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in user units; its width and height are above zero."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Alignment:
    """How a viewBox is fitted where its shape differs from the viewport's.

    Parameters
    ----------
    across, down : float
        Share of the spare room that comes before the drawing: 0, 0.5 or 1.
    covers : bool
        Whether the drawing covers the viewport instead of fitting into it.
    """

    across: float = 0.5
    down: float = 0.5
    covers: bool = False


@dataclass(frozen=True, slots=True)
class Paper:
    """The outermost coordinate system.

    Parameters
    ----------
    to_mm : Affine
        From user units to millimetres, y still down.
    width, height : float or None
        What percentages are of, in user units.
    unit_mm : float
        Millimetres per user unit (the geometric mean where x and y differ).
    says_size : bool
        Whether the file or the person said how large it is.
    says_real_size : bool
        Whether that was in a unit that rulers know.
    """

    to_mm: Affine
    width: float | None
    height: float | None
    unit_mm: float
    says_size: bool
    says_real_size: bool


def read_view_box(text: str | None) -> Box | None:
    """Read a viewBox attribute.

    Raises
    ------
    DrawingError
        If it is not four numbers, or has no area.
    """
    if text is None or text.strip() in {"", "none"}:
        return None
    numbers = read_numbers(text)
    if len(numbers) != 4:
        raise DrawingError(f'viewBox "{shortened(text)}" is not four numbers')
    box = Box(*numbers)
    if not (box.width > 0 and box.height > 0):
        raise DrawingError(f'viewBox "{shortened(text)}" has no area')
    return box


def read_alignment(text: str | None) -> Alignment | None:
    """Read a preserveAspectRatio attribute; None stands for ``none``.

    Raises
    ------
    DrawingError
        If it is none of the nineteen that there are.
    """
    if text is None or not text.strip():
        return Alignment()
    match = _ALIGNMENT.fullmatch(text.strip())
    if match is None:
        raise DrawingError(f'preserveAspectRatio "{shortened(text)}" is not known')
    if match[1] is None:
        return None
    return Alignment(_SHARES[match[1]], _SHARES[match[2]], match[3] == "slice")


def fit(view_box: Box, viewport: Box, alignment: Alignment | None) -> Affine:
    """Return the map from a viewBox onto a viewport.

    References
    ----------
    SVG 2, section 8.2, "Computing the equivalent transform of an SVG viewport".
    """
    across = viewport.width / view_box.width
    down = viewport.height / view_box.height
    if alignment is None:
        return Affine(
            a=across,
            d=down,
            e=viewport.x - view_box.x * across,
            f=viewport.y - view_box.y * down,
        )
    scale = max(across, down) if alignment.covers else min(across, down)
    spare_across = viewport.width - view_box.width * scale
    spare_down = viewport.height - view_box.height * scale
    return Affine(
        a=scale,
        d=scale,
        e=viewport.x - view_box.x * scale + spare_across * alignment.across,
        f=viewport.y - view_box.y * scale + spare_down * alignment.down,
    )


def lay_on_paper(
    attribute: Callable[[str], str | None],
    viewport: Viewport,
    unit_mm: float | None,
) -> Paper:
    """Find the size of the outermost svg element.

    Parameters
    ----------
    attribute : callable
        The element's attribute or property by its name.
    viewport : Viewport
        Gives lengths in em, and is told of what depends on a font.
    unit_mm : float or None
        Millimetres per user unit, instead of what the file says.

    Raises
    ------
    DrawingError
        With the reason, if a size cannot be read or is zero.
    """
    view_box = read_view_box(attribute("viewBox"))
    alignment = read_alignment(attribute("preserveAspectRatio"))
    width = _absolute(attribute("width"), "width", viewport)
    height = _absolute(attribute("height"), "height", viewport)
    sizes = [size for size in (width, height) if size is not None]
    inner_width, inner_height = _inner_size(view_box, width, height)
    if unit_mm is not None:
        to_mm = Affine(a=unit_mm, d=unit_mm)
    elif view_box is None:
        to_mm = Affine(a=MM_PER_PX, d=MM_PER_PX)
    else:
        outer = _outer_size(view_box, width, height)
        to_mm = fit(view_box, outer, alignment)
    return Paper(
        to_mm,
        inner_width,
        inner_height,
        (to_mm.a * to_mm.d) ** 0.5 if to_mm.a != to_mm.d else to_mm.a,
        unit_mm is not None or bool(sizes),
        unit_mm is not None or any(size.unit in REAL_UNITS for size in sizes),
    )


def _outer_size(view_box: Box, width: Length | None, height: Length | None) -> Box:
    # One size alone sets the scale; none at all leaves one px to the unit.
    scale = MM_PER_PX
    if width is not None:
        scale = width.mm / view_box.width
    elif height is not None:
        scale = height.mm / view_box.height
    return Box(
        0.0,
        0.0,
        view_box.width * scale if width is None else width.mm,
        view_box.height * scale if height is None else height.mm,
    )


def _inner_size(
    view_box: Box | None, width: Length | None, height: Length | None
) -> tuple[float | None, float | None]:
    if view_box is not None:
        return view_box.width, view_box.height
    return width.px if width else None, height.px if height else None


def _absolute(text: str | None, name: str, viewport: Viewport) -> Length | None:
    if text is None or text.strip() in {"", "auto"}:
        return None
    length = viewport.absolute(text)
    if length.is_percentage:
        return None
    if not length.number > 0:
        raise DrawingError(f'{name} "{shortened(text)}" leaves nothing to be drawn')
    return length

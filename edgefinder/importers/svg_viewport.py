"""From the user units of a viewBox to the size a drawing has on paper."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from edgefinder.geometry.affine import Affine
from edgefinder.importers.svg_units import (
    FONT_UNITS,
    MM_PER_PX,
    REAL_UNITS,
    Length,
    Viewport,
    read_length,
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
    affine : Affine
        From user units with y down to millimetres with y up.
    width, height : float or None
        What percentages are of, in user units.
    unit_mm : float
        Millimetres per user unit (the geometric mean where x and y differ).
    says_size : bool
        Whether the file or the person said how large it is.
    says_real_size : bool
        Whether that was in a unit that rulers know.
    """

    affine: Affine
    width: float | None
    height: float | None
    unit_mm: float
    says_size: bool
    says_real_size: bool


def read_view_box(text: str | None) -> Box | None:
    """Read a viewBox attribute.

    Raises
    ------
    ValueError
        If it is not four numbers, or has no area.
    """
    if text is None or text.strip() in {"", "none"}:
        return None
    numbers = read_numbers(text)
    if len(numbers) != 4:
        raise ValueError(f'viewBox "{shortened(text)}" is not four numbers')
    box = Box(*numbers)
    if not (box.width > 0 and box.height > 0):
        raise ValueError(f'viewBox "{shortened(text)}" has no area')
    return box


def read_alignment(text: str | None) -> Alignment | None:
    """Read a preserveAspectRatio attribute; None stands for ``none``.

    Raises
    ------
    ValueError
        If it is none of the nineteen that there are.
    """
    if text is None or not text.strip():
        return Alignment()
    match = _ALIGNMENT.fullmatch(text.strip())
    if match is None:
        raise ValueError(f'preserveAspectRatio "{shortened(text)}" is not known')
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
        Told of units that depend on a font.
    unit_mm : float or None
        Millimetres per user unit, instead of what the file says.

    Raises
    ------
    ValueError
        With the reason, if a size cannot be read or is zero.
    """
    view_box = read_view_box(attribute("viewBox"))
    alignment = read_alignment(attribute("preserveAspectRatio"))
    width = _absolute(attribute("width"), "width", viewport)
    height = _absolute(attribute("height"), "height", viewport)
    sizes = [size for size in (width, height) if size is not None]
    inner_width, inner_height = _inner_size(view_box, width, height)
    if unit_mm is not None:
        affine = Affine(a=unit_mm, d=-unit_mm)
        return Paper(affine, inner_width, inner_height, unit_mm, True, True)
    to_px = Affine()
    if view_box is not None:
        # One size alone sets the scale; none at all leaves one px to the unit.
        scale = 1.0
        if width is None and height is not None:
            scale = height.value / view_box.height
        elif width is not None:
            scale = width.value / view_box.width
        outer = Box(
            0.0,
            0.0,
            view_box.width * scale if width is None else width.value,
            view_box.height * scale if height is None else height.value,
        )
        to_px = fit(view_box, outer, alignment)
    return Paper(
        Affine(a=MM_PER_PX, d=-MM_PER_PX) @ to_px,
        inner_width,
        inner_height,
        MM_PER_PX * (to_px.a * to_px.d) ** 0.5,
        bool(sizes),
        any(size.unit in REAL_UNITS for size in sizes),
    )


def _inner_size(
    view_box: Box | None, width: Length | None, height: Length | None
) -> tuple[float | None, float | None]:
    if view_box is not None:
        return view_box.width, view_box.height
    return width.value if width else None, height.value if height else None


def _absolute(text: str | None, name: str, viewport: Viewport) -> Length | None:
    if text is None or text.strip() in {"", "auto"}:
        return None
    length = read_length(text)
    if length.is_percentage:
        return None
    if length.unit in FONT_UNITS:
        viewport.on_font_unit(length.unit)
    if not length.value > 0:
        raise ValueError(f'{name} "{shortened(text)}" leaves nothing to be drawn')
    return length

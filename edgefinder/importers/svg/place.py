"""Where an element stands: transforms, viewport, look, groups and their names."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.importers.svg.declarations import (
    NOTHING_DECLARED,
    Declaration,
    Declarations,
    cascade,
    read_style,
)
from edgefinder.importers.svg.names import Names, label, names_of, readable_id, under
from edgefinder.importers.svg.shapes import Attribute
from edgefinder.importers.svg.style import Style
from edgefinder.importers.svg.transform import about, read_origin, read_transform
from edgefinder.importers.svg.units import Viewport
from edgefinder.importers.svg.viewport import Box, fit, read_alignment, read_view_box
from edgefinder.importers.svg.xml import Element

LANGUAGE: Final = "en"
"""The language for which a ``switch`` is answered; the drawing must not come out
different on another person's computer."""


Rules = Callable[[Element], Iterable[Declaration]]
"""What style sheets declare for an element, the weightiest last."""
_SIDES: Final = frozenset({"width", "height"})
_OTHER_MOVES: Final = ("translate", "rotate", "scale", "offset-path", "zoom")
"""CSS Transforms 2, section 5, and what else moves an element in a browser."""


@dataclass(frozen=True, slots=True)
class Place:
    """What an element takes over from those around it.

    Parameters
    ----------
    affine : Affine
        From its user units to millimetres with y up.
    style : Style
    viewport : Viewport
        What percentages are of.
    layer : str or None
    groups, classes : tuple of str
        As in `drawing.DrawnLine`.
    names : Names
        Of the groups, from the innermost outwards.
    """

    affine: Affine
    style: Style
    viewport: Viewport
    layer: str | None = None
    groups: tuple[str, ...] = ()
    classes: tuple[str, ...] = ()
    names: Names = ()


@dataclass(frozen=True, slots=True)
class Own:
    """What an element says itself.

    Parameters
    ----------
    element : Element
    declared : mapping of str to str
        From the style sheet and its style attribute.
    attribute : callable
        Gives a style property or an attribute by its name; what is declared wins.
    classes : tuple of str
    """

    element: Element
    declared: Declarations
    attribute: Attribute
    classes: tuple[str, ...]


def read_own(element: Element, rules: Rules | None) -> Own:
    """Collect what an element and the style sheets say of it.

    Parameters
    ----------
    element : Element
    rules : callable or None
        Gives what the style sheets declare for an element.
    """
    attributes = element.attributes
    classes = tuple(attributes["class"].split()) if "class" in attributes else ()
    inline = attributes.get("style")
    if not inline and rules is None:
        return Own(element, NOTHING_DECLARED, attributes.get, classes)
    ruled = () if rules is None else rules(element)
    declared = cascade((*ruled, *read_style(inline or "")))
    return Own(element, declared, {**attributes, **declared}.get, classes)


def paper_attribute(own: Own) -> Attribute:
    """Return what the outermost svg element says of its size on paper.

    A style that fits it to a window does not change how large the paper is.
    """

    def attribute(name: str) -> str | None:
        value = own.attribute(name)
        depends = value is not None and (value.strip() == "auto" or "%" in value)
        if depends and name in _SIDES:
            return own.element.attributes.get(name)
        return value

    return attribute


def moved(own: Own, affine: Affine, viewport: Viewport) -> Affine:
    """Return the map inside an element, from that around it and its transform."""
    if own.declared:
        _refuse_other_moves(own.declared)
    written = own.attribute("transform")
    if written is None:
        return affine
    map_ = read_transform(written, viewport)
    if (own.attribute("transform-box") or "view-box") != "view-box":
        if (map_.a, map_.b, map_.c, map_.d) != (1, 0, 0, 1):
            raise DrawingError("turns about a point of its own box, which is not read")
        return affine @ map_
    origin = own.attribute("transform-origin")
    if origin is not None:
        map_ = about(read_origin(origin, viewport), map_)
    return affine @ map_


def _refuse_other_moves(declared: Declarations) -> None:
    for name in _OTHER_MOVES:
        if declared.get(name, "none") not in {"none", "normal", "1"}:
            raise DrawingError(f"is moved by the style property {name}, not transform")


def in_viewport(own: Attribute, sizes: Attribute, place: Place) -> Place | None:
    """Return the place in the viewport of a nested svg or of a symbol.

    Parameters
    ----------
    own : callable
        The attributes of the svg or symbol.
    sizes : callable
        Those of the use element that copies it, whose width and height win; or the
        same ones.
    place : Place
        Around it.

    Returns
    -------
    Place or None
        None for a viewport of no width or height, in which nothing is drawn.

    Raises
    ------
    DrawingError
        With the reason, if an attribute cannot be read.

    References
    ----------
    SVG 2, sections 5.6, "The use element", and 8.2, "The initial viewport".
    """
    outer = place.viewport
    x = outer.across(own("x") or "0")
    y = outer.down(own("y") or "0")
    shift = Affine(e=x, f=y)
    view_box = read_view_box(own("viewBox"))
    written = [
        _size(sizes(side)) or _size(own(side)) or "100%" for side in ("width", "height")
    ]
    if view_box is None and outer.width is None and "100%" in written:
        # Nothing depends on the size unless a percentage asks for it.
        return replace(place, affine=place.affine @ shift)
    width, height = outer.across(written[0]), outer.down(written[1])
    if width < 0 or height < 0:
        raise DrawingError(f"has a size of {width:g} by {height:g}")
    if width == 0 or height == 0:
        return None
    if view_box is None:
        viewport = outer.sized(width, height)
        return replace(place, affine=place.affine @ shift, viewport=viewport)
    alignment = read_alignment(own("preserveAspectRatio"))
    fitted = fit(view_box, Box(x, y, width, height), alignment)
    return replace(
        place,
        affine=place.affine @ fitted,
        viewport=outer.sized(view_box.width, view_box.height),
    )


def named(element: Element, place: Place) -> Place:
    """Add a group to the layer, groups and names of a place, if it has a name."""
    own = names_of(element)
    name = label(element, own) or readable_id(element.attributes.get("id"))
    if not name:
        return place if not own else replace(place, names=under(own, place.names))
    layer = name if place.layer is None and element.tag == "g" else place.layer
    return replace(
        place,
        layer=layer,
        groups=(*place.groups, name),
        names=under(own, place.names),
    )


def applies(element: Element) -> bool:
    """Answer the conditions of an element: SVG 2, section 5.8."""
    if "requiredExtensions" in element.attributes:
        return False
    languages = element.attributes.get("systemLanguage")
    if languages is None:
        return True
    primary = {one.strip().lower().partition("-")[0] for one in languages.split(",")}
    return LANGUAGE in primary


def _size(text: str | None) -> str | None:
    return None if text is None or text.strip() in {"", "auto"} else text

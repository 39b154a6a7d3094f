"""Where an element stands: transforms, viewport, look, groups and their names."""

from dataclasses import dataclass, replace
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.importers.svg.shapes import Attribute
from edgefinder.importers.svg.sheet import Declarations
from edgefinder.importers.svg.style import Style
from edgefinder.importers.svg.transform import about, read_origin, read_transform
from edgefinder.importers.svg.units import Viewport
from edgefinder.importers.svg.viewport import Box, fit, read_alignment, read_view_box
from edgefinder.importers.svg.xml import Element

LANGUAGE: Final = "en"
"""The language for which a ``switch`` is answered; the drawing must not come out
different on another person's computer."""


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
    """

    affine: Affine
    style: Style
    viewport: Viewport
    layer: str | None = None
    groups: tuple[str, ...] = ()
    classes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Own:
    """What an element says itself.

    Parameters
    ----------
    element : Element
    declarations : mapping of str to str
        From the style sheet and its style attribute; they win over attributes.
    classes : tuple of str
    """

    element: Element
    declarations: Declarations
    classes: tuple[str, ...]

    def attribute(self, name: str) -> str | None:
        """Return a style property or an attribute."""
        declared = self.declarations.get(name)
        return self.element.attributes.get(name) if declared is None else declared


def moved(own: Attribute, affine: Affine, viewport: Viewport) -> Affine:
    """Return the map inside an element, from that around it and its transform."""
    written = own("transform")
    if written is None:
        return affine
    map_ = read_transform(written)
    origin = own("transform-origin")
    if origin is not None:
        if (own("transform-box") or "view-box") != "view-box":
            raise DrawingError("turns about a point of its own box, which is not read")
        map_ = about(read_origin(origin, viewport), map_)
    return affine @ map_


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
    """Add a group to the layer and groups of a place, if it has a name."""
    name = label(element) or element.attributes.get("id")
    if not name:
        return place
    layer = name if place.layer is None and element.tag == "g" else place.layer
    return replace(place, layer=layer, groups=(*place.groups, name))


def label(element: Element) -> str | None:
    """Return the name a person gave: a label of any editor, else the title."""
    attributes = element.attributes
    names = [attributes[key] for key in attributes if key.rpartition("}")[2] == "label"]
    # Some editors keep the name here, because an id cannot hold every letter.
    names.append(attributes.get("data-name", ""))
    names += [child.text for child in element.children if child.tag == "title"]
    written = (" ".join(name.split()) for name in names)
    return next((name for name in written if name), None)


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

"""The way through a drawing, element by element, to what is drawn."""

import math
from collections.abc import Iterator
from dataclasses import replace
from operator import itemgetter
from typing import Final

import numpy as np

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import DrawnLine, DrawnText
from edgefinder.importers.svg.findings import Tally
from edgefinder.importers.svg.names import in_order, label, names_of, readable_id, under
from edgefinder.importers.svg.outlines import Outline, read_outlines
from edgefinder.importers.svg.place import (
    Own,
    Place,
    Rules,
    applies,
    in_viewport,
    moved,
    named,
    paper_attribute,
    read_own,
)
from edgefinder.importers.svg.shapes import SHAPES, read_shape
from edgefinder.importers.svg.style import Style, inherit
from edgefinder.importers.svg.text import read_text
from edgefinder.importers.svg.transform import is_usable
from edgefinder.importers.svg.units import MM_PER_PX, Font, Viewport
from edgefinder.importers.svg.use import NEVER_DRAWN, Targets, elements_within, href
from edgefinder.importers.svg.viewport import Paper, lay_on_paper
from edgefinder.importers.svg.xml import Element

_CONTAINERS: Final = frozenset({"g", "a", "svg", "switch", "use", "symbol"})
_DRAWN: Final = _CONTAINERS | frozenset(SHAPES) | {"text"}
_SILENT: Final = frozenset(
    {
        "title",
        "desc",
        "metadata",
        "style",
        "script",
        "linearGradient",
        "radialGradient",
        "filter",
        "view",
        "cursor",
        "font",
        "font-face",
        "color-profile",
    }
)
"""Draw nothing by themselves: there is nothing to say about them."""

_Y_UP: Final = Affine(d=-1.0)
"""The one place where y is turned over."""
_SAME_SCALE: Final = 1e-9
MAX_STYLE_CHARACTERS: Final = 2**18
"""In one style attribute: some thousand declarations, or a small embedded picture."""
MAX_CLASSES: Final = 100
"""Classes of a line and of the groups around it; what has more is hostile, and the
first are kept."""
MAX_MISTAKES: Final = 10
"""Mistakes told before the rest is only counted."""


class Walk:
    """Goes through one drawing and collects what is drawn."""

    def __init__(
        self, name: str, rules: Rules | None, targets: Targets, tally: Tally
    ) -> None:
        self.texts: list[DrawnText] = []
        self._name = name
        self._rules = rules
        self._targets = targets
        self._tally = tally
        self._drawn: list[tuple[Element, Place]] = []
        self._outlines: list[Outline] = []
        # Each with the number of outlines before it, so that they can be put in order.
        self._mistakes: list[tuple[int, str]] = []
        self._line = 1

    def draw(self, root: Element, unit_mm: float | None) -> Paper:
        """Go through everything that is drawn; return the size of the paper."""
        own = self._own(root)
        style = inherit(Style(), own.attribute)
        font = Font(style.font.px, style.font.px)
        style = replace(style, font=font)
        viewport = Viewport(None, None, self._note_font_unit, font)
        try:
            paper = lay_on_paper(paper_attribute(own), viewport, unit_mm)
            turned = moved(own, Affine(), viewport)
        except DrawingError as error:
            raise DrawingError(f"{self._at(root)}: {error}") from error
        self._note_size(root, paper)
        if not is_usable(turned @ paper.to_mm):
            raise DrawingError(f"{self._at(root)}: has a size beyond any drawing")
        # Its transform acts outside the viewBox, where a unit is a px.
        outside = replace(turned, e=turned.e * MM_PER_PX, f=turned.f * MM_PER_PX)
        place = Place(
            _Y_UP @ outside @ paper.to_mm,
            style,
            viewport.sized(paper.width, paper.height),
            classes=own.classes,
        )
        if self._is_displayed(own):
            for child in root.children:
                self._visit(child, place)
        return paper

    def lines(self) -> Iterator[DrawnLine]:
        """Read what was drawn, in millimetres.

        Raises
        ------
        DrawingError
            If it is too much.
        """
        found = read_outlines(self._outlines)
        try:
            for index, paths in enumerate(found):
                element, place = self._drawn[index]
                if isinstance(paths, DrawingError):
                    self._note_mistake(element, str(paths), index)
                elif paths:
                    self._note_paint(element, place.style, len(paths))
                    yield from self._lines(index, paths)
        except DrawingError as error:
            raise DrawingError(
                f"{self._name}: {error}; export the pattern pieces alone"
            ) from error

    def _lines(self, index: int, paths: tuple[Path, ...]) -> Iterator[DrawnLine]:
        element, place = self._drawn[index]
        own = names_of(element)
        names = in_order(under(own, place.names))
        given = label(element, own)
        for path in paths:
            yield DrawnLine(
                path,
                readable_id(element.attributes.get("id")),
                element.tag,
                place.layer,
                place.groups,
                place.classes,
                place.style.stroke_colour,
                given,
                self._at(element),
                names,
                index,
                y_down=True,
            )

    def raise_mistakes(self) -> None:
        """Raise all mistakes that were met, if any."""
        self._mistakes.sort(key=itemgetter(0))
        told = [mistake for _, mistake in self._mistakes]
        more = len(told) - MAX_MISTAKES
        if more > 0:
            rest = f"{self._name}: {more} more mistakes like these"
            raise DrawingError(*told[:MAX_MISTAKES], rest)
        if told:
            raise DrawingError(*told)

    def _visit(self, element: Element, place: Place) -> None:
        if element.tag in _SILENT or not self._is_rendered(element):
            return
        own = self._own(element)
        if not self._is_displayed(own):
            return
        self._line = element.line
        try:
            inner = self._inner(own, place)
            if inner is None:
                return
            if element.tag not in _CONTAINERS:
                self._take(own, inner)
                return
            parts = self._parts(own, inner)
        except DrawingError as error:
            self._note_mistake(element, str(error))
            return
        for part, place_of_part in parts:
            self._visit(part, place_of_part)

    def _is_rendered(self, element: Element) -> bool:
        if element.tag in NEVER_DRAWN:
            self._note_never_drawn(element)
            return False
        if element.tag not in _DRAWN:
            noun = f"{element.tag} element"
            self._tally.add("skipped-element", element.line, noun)
            return False
        if not applies(element):
            self._tally.add("conditional", element.line, f"{element.tag} element")
            return False
        return True

    def _is_displayed(self, own: Own) -> bool:
        if (own.attribute("display") or "").strip().lower() != "none":
            return True
        shapes = sum(one.tag in SHAPES for one in elements_within(own.element))
        self._tally.add("hidden", own.element.line, "outline", count=shapes)
        return False

    def _inner(self, own: Own, place: Place) -> Place | None:
        """Return the place inside an element; None where nothing can be drawn."""
        element = own.element
        style = inherit(place.style, own.attribute)
        viewport = place.viewport
        if style is not place.style:
            viewport = viewport.in_font(style.font)
        affine = moved(own, place.affine, viewport)
        if affine is not place.affine:
            if not is_usable(affine):
                raise DrawingError("has transforms beyond the numbers of any drawing")
            if affine.determinant == 0:
                self._tally.add("flattened", element.line, f"{element.tag} element")
                return None
        if _is_clipped(own):
            self._tally.add("clipped", element.line, f"{element.tag} element")
        classes = place.classes
        if own.classes:
            classes = tuple(dict.fromkeys((*classes, *own.classes)))[:MAX_CLASSES]
        inner = Place(
            affine,
            style,
            viewport,
            place.layer,
            place.groups,
            classes,
            place.names,
        )
        if element.tag in _CONTAINERS:
            return named(element, inner)
        return inner

    def _parts(self, own: Own, inner: Place) -> list[tuple[Element, Place]]:
        """Return the elements inside a container, each with its place."""
        element = own.element
        if element.tag == "use":
            return self._copy(own, inner)
        if element.tag == "svg":
            return self._in_new_viewport(own, own, inner)
        parts = [(child, inner) for child in element.children]
        if element.tag == "switch":
            return [part for part in parts if _is_choice(part[0])][:1]
        return parts

    def _copy(self, own: Own, inner: Place) -> list[tuple[Element, Place]]:
        """Return what a use element draws: a symbol's or svg's children, or one."""
        use = own.element
        target = self._targets.target(use)
        if target is None:
            link = href(use)
            code = "missing-reference" if link[:1] in {"#", ""} else "outside-reference"
            self._tally.add(code, use.line, "link", f'"{link}"')
            return []
        x = inner.viewport.across(own.attribute("x") or "0")
        y = inner.viewport.down(own.attribute("y") or "0")
        place = replace(inner, affine=inner.affine @ Affine(e=x, f=y))
        if target.tag not in {"symbol", "svg"}:
            return [(target, place)]
        its = self._own(target)
        if not (applies(target) and self._is_displayed(its)):
            return []
        inside = self._inner(its, place)
        return [] if inside is None else self._in_new_viewport(its, own, inside)

    def _in_new_viewport(
        self, own: Own, sizes: Own, inner: Place
    ) -> list[tuple[Element, Place]]:
        element = own.element
        place = in_viewport(own.attribute, sizes.attribute, inner)
        if place is None:
            self._tally.add("flattened", element.line, f"{element.tag} element")
            return []
        return [(child, place) for child in element.children]

    def _take(self, own: Own, place: Place) -> None:
        element = own.element
        if not place.style.is_visible:
            self._tally.add(
                "hidden", element.line, "outline", count=element.tag in SHAPES
            )
            return
        if element.tag == "text":
            for line in read_text(element, place.viewport, self._font_size):
                at = complex(place.affine.points(np.asarray(line.at)))
                self.texts.append(DrawnText(line.text, at, place.layer, place.groups))
            return
        shape = read_shape(element.tag, own.attribute, place.viewport)
        self._drawn.append((element, place))
        self._outlines.append(Outline(shape, place.affine))

    def _own(self, element: Element) -> Own:
        size = len(element.attributes.get("style", ""))
        if size > MAX_STYLE_CHARACTERS:
            raise DrawingError(
                f"{self._at(element)}: has a style of {size} characters, more than "
                f"{MAX_STYLE_CHARACTERS}; save it with presentation attributes instead"
            )
        return read_own(element, self._rules)

    def _at(self, element: Element) -> str:
        return f"{self._name}: line {element.line}"

    def _note_mistake(
        self, element: Element, reason: str, order: int | None = None
    ) -> None:
        which = element.attributes.get("id") or label(element, names_of(element))
        named = f'{element.tag} "{which}"' if which else element.tag
        mistake = (
            f"{self._at(element)}: {named}: {reason}; "
            "mend it in the drawing program and save again as plain SVG"
        )
        self._mistakes.append((len(self._drawn) if order is None else order, mistake))

    def _note_never_drawn(self, element: Element) -> None:
        noun = f"outline in {element.tag}"
        waiting = [element]
        while waiting:
            one = waiting.pop()
            # What a use element draws is not skipped.
            if one.attributes.get("id") not in self._targets.used:
                self._tally.add("not-drawn", one.line, noun, count=one.tag in SHAPES)
                waiting.extend(one.children)

    def _font_size(self, element: Element) -> str | None:
        return self._own(element).attribute("font-size")

    def _note_font_unit(self, unit: str) -> None:
        code = "font-length" if unit == "ex" else "font-size"
        self._tally.add(code, self._line, f"length in {unit}")

    def _note_size(self, root: Element, paper: Paper) -> None:
        if not paper.says_size:
            self._tally.add("no-size", root.line)
        elif not paper.says_real_size:
            self._tally.add("px-size", root.line)
        if not math.isclose(paper.to_mm.a, paper.to_mm.d, rel_tol=_SAME_SCALE):
            self._tally.add("uneven-scale", root.line)

    def _note_paint(self, element: Element, style: Style, count: int) -> None:
        is_area_seen = style.is_area_seen and element.tag != "line"
        if not (style.is_line_seen or is_area_seen):
            self._tally.add("no-paint", element.line, "outline", count=count)
        elif style.is_stroked and style.stroke_colour is None:
            detail = f'"{style.stroke}"'
            self._tally.add("unknown-paint", element.line, "outline", detail, count)


def _is_clipped(own: Own) -> bool:
    clip, mask = own.attribute("clip-path"), own.attribute("mask")
    return (clip or "none") != "none" or (mask or "none") != "none"


def _is_choice(element: Element) -> bool:
    return element.tag not in _SILENT and applies(element)

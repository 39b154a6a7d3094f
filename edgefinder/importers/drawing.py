"""What a reader returns: the drawn lines of one file, at true size."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from edgefinder.findings import Finding
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.path import Path


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLine:
    """One subpath as drawn, in millimetres with y up, every transform applied.

    Parameters
    ----------
    path : Path
    id : str or None
        SVG id or DXF handle of the element.
    kind : str
        Element or entity type: ``"path"``, ``"circle"``, ``"LWPOLYLINE"``.
    layer : str or None
        DXF layer, or in SVG the label (else the id) of the outermost group.
    groups : tuple of str
        Labels (else ids) of all groups and blocks around it, outermost first.
    classes : tuple of str
        SVG class names of the element and of the groups around it.
    colour : str or None
        Stroke colour as ``#rrggbb``; None where it has no stroke.
    label : str or None
        Name given to the element itself (label attribute or title child), else
        the name of the DXF block it stands in.
    where : str
        File and line, or file and handle, for messages.
    names : tuple of str
        Every name that the drawing offers for it, in order of trust: labels, titles,
        data attributes, ids and descriptions, its own before those of the groups
        around it.
    element : int or None
        Number of the element as drawn, the same for all subpaths of one path; None
        where every line is an element of its own.
    y_down : bool
        Whether its file, and the program that shows it, count y downwards.
    """

    path: Path
    id: str | None
    kind: str
    layer: str | None
    groups: tuple[str, ...]
    classes: tuple[str, ...]
    colour: str | None
    label: str | None
    where: str
    names: tuple[str, ...] = ()
    element: int | None = None
    y_down: bool = False

    def say_place(self, place: complex) -> str:
        """Write a place as the program shows it that the line was drawn with.

        Parameters
        ----------
        place : complex
            Millimetres, y up.

        Returns
        -------
        str
            Millimetres from the origin of the drawing; in an SVG that is the upper
            left corner of the page, and y is counted downwards.
        """
        x, y = place.real, -place.imag if self.y_down else place.imag
        x, y = (round(value, 1) + 0.0 for value in (x, y))  # no -0.0
        return f"({x:.1f}, {y:.1f}) mm"


@dataclass(frozen=True, slots=True)
class DrawnText:
    """A line of text in a drawing, where it stands.

    Parameters
    ----------
    text : str
        Untrusted.
    at : complex
        Insertion point in millimetres, y up.
    layer : str or None
    groups : tuple of str
    """

    text: str
    at: complex
    layer: str | None
    groups: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrawnPoint:
    """A point that a drawing marks; a notch carries three more numbers.

    Parameters
    ----------
    at : complex
        Millimetres, y up.
    layer : str or None
    groups : tuple of str
        Names of the blocks around it, outermost first.
    depth, width : float or None
        Millimetres (DXF groups 30 and 39); None where it has none or 0.
    angle : float or None
        Radians anticlockwise from the x axis (DXF group 50).
    where : str
        File and handle, for messages.
    """

    at: complex
    layer: str | None
    groups: tuple[str, ...]
    depth: float | None
    width: float | None
    angle: float | None
    where: str


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """All lines, texts and points of one file.

    Parameters
    ----------
    name : str
        File name, for messages.
    lines : tuple of DrawnLine
        In drawing order.
    texts : tuple of DrawnText
    unit_mm : float
        Millimetres per drawing unit that were used (SVG: per user unit of the
        outermost coordinate system).
    points : tuple of DrawnPoint
        Of a DXF.
    turns : mapping of tuple of str to Affine
        By the names of the blocks around it, as in ``groups``: how the first insert of
        a block of a DXF turns, mirrors and stretches what is in it.
    """

    name: str
    lines: tuple[DrawnLine, ...]
    texts: tuple[DrawnText, ...]
    unit_mm: float
    names: tuple[str, ...] = ()
    points: tuple[DrawnPoint, ...] = ()
    turns: Mapping[tuple[str, ...], Affine] = field(
        default_factory=lambda: MappingProxyType({})
    )


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """A drawing and what was unusual about it."""

    drawing: Drawing
    findings: tuple[Finding, ...]

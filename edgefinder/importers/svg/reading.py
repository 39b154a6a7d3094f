"""Read the outlines of an SVG drawing at true size, and say what is skipped.

What SVG never draws is never measured: definitions, clip paths, masks, markers,
patterns, unused symbols, and what ``display`` or ``visibility`` hides. A mistake in an
outline is an error with its place, because a wrong length is worse than none.
"""

import math
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from edgefinder.files import read_bytes
from edgefinder.importers.drawing import Drawing, Reading
from edgefinder.importers.svg.findings import Tally
from edgefinder.importers.svg.names import in_order, names_of
from edgefinder.importers.svg.place import Rules
from edgefinder.importers.svg.units import shortened
from edgefinder.importers.svg.use import elements_within, read_targets
from edgefinder.importers.svg.walk import Walk
from edgefinder.importers.svg.xml import Document, parse_document

MAX_PREFIXES: Final = 3
"""Prefixes named in one finding."""


def read_svg(path: Path, *, unit_mm: float | None = None) -> Reading:
    """Read an SVG file, plain or compressed.

    Parameters
    ----------
    path : pathlib.Path
    unit_mm : float or None
        Millimetres per user unit of the outermost coordinate system, instead of
        what the file says.

    Returns
    -------
    Reading

    Raises
    ------
    DrawingError
        If the file cannot be read, is no SVG, or an outline in it has a mistake;
        one line for each mistake.
    """
    return read_svg_text(read_bytes(path), path.name, unit_mm=unit_mm)


def read_svg_text(data: bytes, name: str, *, unit_mm: float | None = None) -> Reading:
    """Read an SVG text; see `read_svg`.

    Parameters
    ----------
    data : bytes
    name : str
        File name, for messages.
    unit_mm : float or None
    """
    if unit_mm is not None and not 0 < unit_mm < math.inf:
        raise ValueError(f"a unit of {unit_mm} mm is none")
    document = parse_document(data, name)
    root = document.root
    tally = Tally(name)
    if not document.has_namespace:
        tally.add("no-namespace", root.line)
    if document.unbound:
        line, detail = min(document.unbound.values()), _prefixes(document.unbound)
        tally.add("unbound-prefix", line, detail=detail)
    tally.add("outside-sheet", 1, "style sheet", count=document.outside_sheets)
    walk = Walk(name, _rules(document, tally), read_targets(root, name), tally)
    paper = walk.draw(root, unit_mm)
    lines = tuple(walk.lines())
    if not lines:
        tally.add("no-outlines", root.line)
    walk.raise_mistakes()
    names = in_order(names_of(root))
    drawing = Drawing(name, lines, tuple(walk.texts), paper.unit_mm, names)
    return Reading(drawing, tally.findings())


def _prefixes(unbound: Iterable[str]) -> str:
    """Name some prefixes; one that is longer than any is cut."""
    named = [f'"{shortened(prefix)}"' for prefix in unbound]
    told, more = ", ".join(named[:MAX_PREFIXES]), len(named) - MAX_PREFIXES
    if more > 0:
        told += f" and {more} more"
    return f"{'prefix' if len(named) == 1 else 'prefixes'} {told}"


def _rules(document: Document, tally: Tally) -> Rules | None:
    """Read the style sheets of a drawing, if it has any."""
    styles = [
        one
        for one in elements_within(document.root)
        if one.tag == "style" and one.text.strip()
    ]
    if not styles:
        return None
    # The CSS library takes longer to load than most drawings take to read.
    from edgefinder.importers.svg.sheet import Sheet  # noqa: PLC0415

    return Sheet(document, styles, tally).declarations

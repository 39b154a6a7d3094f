"""The comment in a job file that lists the edges of a piece as they are drawn."""

import math
import re
from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.editing.job_places import named_tables, table_named
from edgefinder.classifier.sizes import ONE_SIZE
from edgefinder.classifier.toml_layout import sections_of
from edgefinder.errors import one_line
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.units import Unit, format_length

_COMMENT: Final = re.compile(
    r"^# edges in size (?P<size>.+), anticlockwise:(?P<end>\r?\n)"
    r"(?:#   [0-9]+: .+(?:\r?\n|$))+",
    re.MULTILINE,
)


def edge_comment(piece: Piece, size: str, unit: Unit) -> list[str]:
    """Say in words how every edge of a piece runs, to be found on paper."""
    each = [f"  {edge.number}: {_edge_words(edge, unit)}" for edge in piece.edges]
    return [one_line(f"edges in size {size}, anticlockwise:"), *each]


def with_edge_comment(text: str, name: str, pieces: Sequence[Piece], unit: Unit) -> str:
    """Let the comment that `edge_comment` wrote be true of the drawing as it is now.

    Parameters
    ----------
    text : str
        Of a job file.
    name : str
        Of the piece in the job file.
    pieces : sequence of Piece
        The piece in every size, at least one.
    unit : Unit

    Returns
    -------
    str
        The text itself where there is no such comment.
    """
    table = table_named(named_tables(text, "pieces"), name)
    if table is None:
        return text
    start = table.own.end
    later = [one.start for one in sections_of(text) if one.start >= start]
    found = _COMMENT.search(text, start, min(later, default=len(text)))
    if found is None:
        return text
    by_size = {piece.size or ONE_SIZE: piece for piece in pieces}
    size = found["size"] if found["size"] in by_size else next(iter(by_size))
    lines = edge_comment(by_size[size], size, unit)
    written = "".join(f"# {line}{found['end']}" for line in lines)
    return text[: found.start()] + written + text[found.end() :]


def _edge_words(edge: Edge, unit: Unit) -> str:
    words = [format_length(edge.length, unit)]
    inside, outside = edge.tightest_inside, edge.tightest_outside
    if inside is not None:
        words.append(f"inside curve, radius {format_length(inside.radius, unit)}")
    if outside is not None:
        words.append(f"outside curve, radius {format_length(outside.radius, unit)}")
    if inside is None and outside is None:
        words.append("straight")
    if edge.path.path.closed:
        words.append("no corner: one loop")
    else:
        words.append(f"runs {_direction(edge)}")
    return ", ".join(words)


def _direction(edge: Edge) -> str:
    """Say which way an edge runs, so that it can be found on paper."""
    chord = edge.end - edge.start
    angle = math.degrees(math.atan2(chord.imag, chord.real))
    return _COMPASS[round(angle / 45) % 8]


_COMPASS = (
    "to the right",
    "up and right",
    "upwards",
    "up and left",
    "to the left",
    "down and left",
    "downwards",
    "down and right",
)

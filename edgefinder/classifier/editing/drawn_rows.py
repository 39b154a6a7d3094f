"""Writing into a job file what the edges of a piece were when they were numbered."""

import math
from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.editing.job_places import NamedTable
from edgefinder.classifier.editing.table_edits import lines_of_section, with_piece
from edgefinder.classifier.editing.toml_edits import (
    Splice,
    end_of_section,
    quoted,
    spliced,
    with_table,
    without_entry,
)

HEADING: Final = (
    "[pieces.as_drawn]   # written by edgefinder: the edges as they were when numbered"
)
COLUMNS: Final = (
    "ring, length mm, turning deg, corner after deg, start x mm, start y mm "
    "from the lower left"
)


def write_as_drawn(
    text: str, piece: str, size: str, rows: Sequence[Sequence[float]]
) -> str:
    """Write or replace ``[pieces.as_drawn]`` of a piece.

    Parameters
    ----------
    text : str
        A job file that `read_job` reads.
    piece : str
        A piece that has no table yet is given one.
    size : str
    rows : sequence of sequence of float
        As `edgefinder.classifier.matching.edge_traits.rows_from_traits` returns
        them, one for each edge in the order of their numbers, from 1. All digits are
        written.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If the list of pieces is written in a way that cannot be added to.
    """
    text, table = with_piece(text, piece)
    text = _without_entries(text, table)
    text, table = with_piece(text, piece)
    lines = _lines(size, rows)
    sections = [s for s in table.sections if s.path[2:3] == ("as_drawn",)]
    if not sections:
        at = end_of_section(text, table.sections[-1])
        return spliced(text, [with_table(text, at, lines)])
    splices = []
    new = "".join(f"{line}\n" for line in lines)
    for section in sections:
        splices.append(Splice(*lines_of_section(text, section), new))
        new = ""
    return spliced(text, splices)


def _without_entries(text: str, table: NamedTable) -> str:
    """Take the rows out where they are written without a header of their own."""
    return spliced(
        text,
        [
            without_entry(text, entry)
            for entry in table.own.entries
            if entry.keys[0].name == "as_drawn"
        ],
    )


def _lines(size: str, rows: Sequence[Sequence[float]]) -> list[str]:
    written = [f"  [{', '.join(_numbers(row))}]," for row in rows]
    width = max(map(len, written), default=0)
    return [
        HEADING,
        f"size = {quoted(size)}",
        f"edges = [   # {COLUMNS}",
        *(f"{row:<{width}}   # {n}" for n, row in enumerate(written, start=1)),
        "]",
    ]


def _numbers(row: Sequence[float]) -> list[str]:
    if not all(map(math.isfinite, row)):
        raise ValueError(f"a row of an edge is {row}")
    ring, *others = row
    # Adding nothing takes the minus from a zero.
    return [str(int(ring)), *(repr(float(number) + 0.0) for number in others)]

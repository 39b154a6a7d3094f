"""A commented job file for a drawing, ready to be edited."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import tomlkit
from tomlkit import TOMLDocument, comment, nl
from tomlkit.items import AoT, Item, Table

from edgefinder.classifier.edge_comments import edge_comment
from edgefinder.classifier.editing.drawn_rows import write_as_drawn
from edgefinder.classifier.matching.edge_traits import piece_traits, rows_from_traits
from edgefinder.classifier.sizes import SizePieces
from edgefinder.errors import one_line
from edgefinder.pattern.pieces import Piece
from edgefinder.units import Unit


@dataclass(frozen=True, slots=True)
class ByHand:
    """What a person has said about a drawing.

    Parameters
    ----------
    unit_mm : float or None
        Millimetres per drawing unit.
    test_square : str or None
        The side of the test square, as it was typed.
    dialect : str or None
        How a DXF is meant.
    """

    unit_mm: float | None = None
    test_square: str | None = None
    dialect: str | None = None


def job_text(
    sizes: Sequence[SizePieces],
    drawing: Path,
    job: Path,
    *,
    unit: Unit,
    by_hand: ByHand | None = None,
) -> str:
    """Write a job file in which only the bound edges are still to be named.

    Parameters
    ----------
    sizes : sequence of SizePieces
        What the drawing holds.
    drawing, job : Path
    unit : Unit
        That reports are to be printed in.
    by_hand : ByHand or None
        What was given by hand; it holds for the job too.

    Returns
    -------
    str
        TOML.
    """
    document = tomlkit.document()
    _say(document, f"What is bound in {drawing.name}, and with which tape.")
    _say(document, 'A length is written with its unit: "3/8 in", "9 mm", "1/4 yd".')
    document.add(nl())
    document.add("name", tomlkit.string(one_line(drawing.stem)))
    document.add("unit", _noted(str(unit), "reports are printed in: in, mm or cm"))
    drawings = tomlkit.array()
    drawings.append(drawing_text(drawing, job))
    document.add("drawings", drawings)
    said = by_hand or ByHand()
    if said.unit_mm is not None:
        # Every digit, and none of the exponents that a length is not typed with.
        document.add("drawing_unit", f"{Decimal(repr(said.unit_mm)):f} mm")
    if said.test_square is not None:
        square = one_line(said.test_square)
        document.add("test_square", _noted(square, "the drawing is scaled by it"))
    if said.dialect is not None:
        document.add("dialect", _noted(said.dialect, "auto, plain or interchange"))
    note = "beyond every seam; 0 mm if outlines are the lines that are sewn"
    allowance = "10 mm" if unit.is_metric else "3/8 in"
    document.add("seam_allowance", _noted(allowance, note))
    document.add("wearer", _noted("adult", "adult, child or not worn"))
    _say(document, 'cut_lines = ["layer:Cut"]   # if not every closed line is a piece')
    document.add(nl())
    document.add("fabric", _fabric(unit))
    document.add("tapes", _tapes(unit))
    document.add("pieces", _pieces(sizes, unit))
    return _with_shapes(tomlkit.dumps(document), sizes) + _runs_comment(sizes)


def drawing_text(drawing: Path, job: Path) -> str:
    """Return how a job file names a drawing: from where it lies itself, if it can."""
    there = drawing.resolve()
    try:
        return os.path.relpath(there, job.resolve().parent)
    except ValueError:  # no way leads from one drive to another
        return str(there)


def _with_shapes(text: str, sizes: Sequence[SizePieces]) -> str:
    """Keep how the edges are drawn, so that their numbers outlive a changed drawing."""
    first = {p.name: (p, size.size) for size in reversed(sizes) for p in size.pieces}
    traits = piece_traits([piece for piece, _ in first.values()])
    for (piece, size), rings in zip(first.values(), traits, strict=True):
        rows = rows_from_traits(rings)
        text = write_as_drawn(text, piece.name, piece.size or size, rows)
    return text


def _say(document: TOMLDocument | Table, text: str) -> None:
    document.add(comment(one_line(text)))


def _noted(value: str, text: str) -> Item:
    return tomlkit.string(value).comment(text)


def _fabric(unit: Unit) -> Table:
    table = tomlkit.table()
    table.add("cloth", _noted("quilting cotton", "a class, or one of your [[cloths]]"))
    width = "110 cm" if unit.is_metric else "42 in"
    table.add("usable_width", _noted(width, "less the selvages"))
    seam = "6 mm" if unit.is_metric else "1/4 in"
    table.add("strip_seam", _noted(seam, "where strips are joined"))
    table.add(nl())
    return table


def _tapes(unit: Unit) -> AoT:
    tape = tomlkit.table()
    tape.add("name", "main")
    width = "9 mm" if unit.is_metric else "3/8 in"
    tape.add("finished_width", _noted(width, "shows on one side"))
    folds = "single fold, double fold or double layer"
    tape.add("fold", _noted("double fold", folds))
    tape.add("grain", _noted("bias", "bias, crosswise or lengthwise"))
    turn = "2 mm" if unit.is_metric else "1/16 in"
    tape.add("turn_of_cloth", _noted(turn, "extra cut width for thick layers"))
    tape.add(nl())
    tapes = tomlkit.aot()
    tapes.append(tape)
    return tapes


def _pieces(sizes: Sequence[SizePieces], unit: Unit) -> AoT:
    tables = tomlkit.aot()
    seen: set[str] = set()
    for size in sizes:
        for piece in size.pieces:
            if piece.name in seen:
                continue
            seen.add(piece.name)
            tables.append(_piece(piece, size.size, unit))
    return tables


def _piece(piece: Piece, size: str, unit: Unit) -> Table:
    table = tomlkit.table()
    table.add("name", tomlkit.string(one_line(piece.name)))
    table.add("cut", tomlkit.item(1).comment("2 for a mirrored pair"))
    _say(table, "fold_edge = 1   # the edge that lies on the fold, if there is one")
    if piece.quantity is not None:
        _say(table, f'the drawing says: "{piece.quantity}"')
    for line in edge_comment(piece, size, unit):
        _say(table, line)
    table.add(nl())
    return table


def _runs_comment(sizes: Sequence[SizePieces]) -> str:
    """Show a run as an example, commented out: nothing is bound by guessing."""
    name = sizes[0].pieces[0].name
    edge = tomlkit.string(one_line(f"{name} 1")).as_string()
    return f"""# A run is one continuous pass of tape; its edges stand in sewing order.
# Take the signs # off and name your own edges; "front 2 mirrored" is the other half
# of a piece on the fold, or the other one of a pair.
#
# [[runs]]
# name = "neck"
# tape = "main"
# edges = [{edge}]
# closed = false                 # true for a loop
# start = "turned under"         # turned under, caught in a seam or ties
# end = "turned under"
# times = 1                      # how often it is sewn in one garment
"""

"""The tables of the sheet: heads and cells as text, before they are HTML."""

from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.curvature.advice import PlaceReport
from edgefinder.reports.amounts import length, width
from edgefinder.reports.fabric_text import cutting_cells
from edgefinder.reports.picture.place_stretches import numbered_places
from edgefinder.reports.place_text import (
    TOOL_HEAD,
    place_advice,
    place_edge,
    place_from_to,
    place_side,
    place_what,
)
from edgefinder.reports.release_rows import (
    COVER_HEAD,
    EDGE_HEAD,
    cover_row,
    edge_rows,
    run_table,
    size_words,
)
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import SizeSchedule, TapeRow
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut_plan
from edgefinder.yardage.methods import CuttingPlan

METHOD_HEAD = ("method", "across x along", "strips", "joins", "spare", "waste", "buy")


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Parameters
    ----------
    caption : str
    head : tuple of str
    rows : tuple of tuple of str
        The first cell of a row names it.
    names : int
        How many columns, from the left, are words; the others are figures.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: int = 1


@dataclass(frozen=True, slots=True)
class Passage:
    """A few sentences and the tables that belong to them, under one heading.

    Parameters
    ----------
    title : str
        Of the heading.
    words : tuple of str
        Whole sentences, a paragraph each, before the tables.
    tables : tuple of Table
    """

    title: str
    words: tuple[str, ...]
    tables: tuple[Table, ...]


def cover_table(release: Release) -> Table:
    """Return the table for the back cover: sizes, tapes, fabric to buy."""
    unit = release.job.unit
    rows = [cover_row(size, row, unit) for size in release.sizes for row in size.tapes]
    caption = "Tape and fabric for every size"
    return Table(caption, COVER_HEAD, tuple(rows), names=2)


def runs_table(size: SizeSchedule, unit: Unit) -> Table:
    """Return the runs of a size with the parts of their tape."""
    head, rows = run_table(size, unit)
    return Table(f"Runs of {size_words(size.size)}", head, tuple(rows))


def edges_tables(size: SizeSchedule, unit: Unit) -> dict[str, Table]:
    """Return the bound edges of every piece that has any, by the piece's name."""
    tables: dict[str, Table] = {}
    for piece, rows in edge_rows(size, unit).items():
        if rows:
            caption = f"Bound edges of {piece}, {size_words(size.size)}"
            # The verdict is a word: here it follows the name.
            head, *ordered = (
                (row[0], row[-1], *row[1:-1]) for row in (EDGE_HEAD, *rows)
            )
            tables[piece] = Table(caption, head, tuple(ordered), names=2)
    return tables


def methods_table(plan: CuttingPlan, tape: str, size: str, unit: Unit) -> Table:
    """Return every way of cutting a tape, least waste first."""
    plan = as_cut_plan(plan, unit)
    rows = tuple(cutting_cells(cutting, unit) for cutting in plan.cuttings)
    return Table(f"Ways to cut tape {tape}, {size_words(size)}", METHOD_HEAD, rows)


def widths_table(row: TapeRow, size: str, unit: Unit) -> Table:
    """Return usual widths against the number of places that do not lie flat.

    Where any width is made by one of the person's fold tools, a column names it.
    """
    head: tuple[str, ...] = ("finished width", "ease and steam", "too tight")
    rows: list[tuple[str, ...]] = [
        (width(count.width, unit), str(count.steam), str(count.too_tight))
        for count in row.widths
    ]
    names = 1
    if any(count.tool is not None for count in row.widths):
        tools = ("-" if one.tool is None else one.tool.name for one in row.widths)
        head = (head[0], TOOL_HEAD, *head[1:])
        rows = [
            (first, tool, *others)
            for (first, *others), tool in zip(rows, tools, strict=True)
        ]
        names = 2
    caption = f"Places by finished width, tape {row.tape.name}, {size_words(size)}"
    return Table(caption, head, tuple(rows), names=names)


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A place to watch.

    Parameters
    ----------
    number : int
    cells : tuple of str
        As `PLACE_HEAD` without the number and what follows the cells.
    needs : str
    advice : tuple of str
    piece : str
        That its sharpest point lies on.
    """

    number: int
    cells: tuple[str, ...]
    needs: str
    advice: tuple[str, ...]
    piece: str


PLACE_HEAD = ("edge", "run", "lies", "curve", "radius", "along", "over")
"""Columns of a place between its number and the words; the last three are figures."""


def place_rows(size: SizeSchedule, unit: Unit) -> Sequence[PlaceRow]:
    """Return the places to watch of a size."""
    return [
        PlaceRow(
            numbered.number,
            (
                place_edge(numbered.report),
                numbered.row.run.name,
                str(numbered.report.place.verdict),
                place_side(numbered.report),
                length(numbered.report.place.radius, unit),
                length(numbered.report.place.at, unit),
                length(numbered.report.place.length, unit),
            ),
            _needs(numbered.report, unit),
            tuple(place_advice(numbered.report, unit)),
            numbered.report.place.edge.finished.piece.name,
        )
        for numbered in numbered_places(size)
    ]


def _needs(report: PlaceReport, unit: Unit) -> str:
    """Say from where to where a place goes, and what it takes."""
    parts = (place_from_to(report.place, unit), place_what(report, unit))
    text = "; ".join(part for part in parts if part)
    return f"{text[:1].upper()}{text[1:]}"

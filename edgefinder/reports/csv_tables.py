"""The tables of a schedule as CSV, one file per table, lengths in millimetres."""

import csv
import io
from collections.abc import Sequence
from typing import Final

from edgefinder.reports.records import Record
from edgefinder.reports.release_records import sizes_records
from edgefinder.schedule.release import Release

Cell = str | int | float

FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r")
"""A text that begins so would be run by a spreadsheet (CWE-1236; OWASP ASVS 5.0,
1.2.10): it gets a leading apostrophe. Numbers stay numbers."""


def csv_files(release: Release) -> dict[str, str]:
    """Return the text of every table by its file name.

    Parameters
    ----------
    release : Release

    Returns
    -------
    dict of str to str
        UTF-8 text with CRLF line ends, as RFC 4180 has it; the first row names the
        columns, and a column of lengths ends in ``_mm``.
    """
    return {name: _csv(rows) for name, rows in release_tables(release).items()}


def release_tables(release: Release) -> dict[str, list[list[Cell]]]:
    """Return the cells of every table by its file name, the first row its head.

    Texts are as they were written: whoever passes them on makes them harmless.
    """
    sizes = sizes_records(release)
    tables: dict[str, list[Record]] = {
        "edges.csv": [
            {"size": size["size"], "piece": piece["name"], "cut": piece["cut"], **edge}
            for size in sizes
            for piece in _rows(size, "pieces")
            for edge in _rows(piece, "edges")
        ],
        "runs.csv": [
            {"size": size["size"], **_flat(run)}
            for size in sizes
            for run in _rows(size, "runs")
        ],
        "tapes.csv": [
            {"size": size["size"], **tape}
            for size in sizes
            for tape in _rows(size, "tapes")
        ],
        "fabric.csv": [
            {"size": size["size"], "tape": fabric["tape"], **_flat(method)}
            for size in sizes
            for fabric in _rows(size, "fabric")
            for method in _rows(fabric, "methods")
        ],
        "widths.csv": [
            {
                "size": size["size"],
                "tape": fabric["tape"],
                "cloth": width["cloth"],
                "usable_width_mm": width["usable_width_mm"],
                **_flat(method),
            }
            for size in sizes
            for fabric in _rows(size, "fabric")
            for width in _rows(fabric, "widths")
            for method in _rows(width, "methods")
        ],
        "one_cuts.csv": [
            {"size": size["size"], **_flat(one)}
            for size in sizes
            for one in _rows(size, "one_cuts")
        ],
        "places.csv": [
            {"size": size["size"], **_place(place)}
            for size in sizes
            for place in _rows(size, "places")
        ],
    }
    return {
        name: [
            list(_HEADS[name]),
            *([_cell(row.get(key)) for key in _HEADS[name]] for row in rows),
        ]
        for name, rows in tables.items()
    }


_HEADS: Final = {
    "edges.csv": (
        "size",
        "piece",
        "cut",
        "number",
        "edge",
        "finish",
        "length_mm",
        "bound_length_mm",
        "across_fold",
        "bound_times",
        "turning_deg",
        "corner_after_deg",
        "tightest_inside_mm",
        "tightest_outside_mm",
        "allowance_mm",
        "runs",
        "verdict",
    ),
    "runs.csv": (
        "size",
        "name",
        "tape",
        "edges",
        "closed",
        "length_mm",
        "feed_mm",
        "mitres_mm",
        "join_mm",
        "tails_mm",
        "ends_mm",
        "ties_mm",
        "tape_mm",
        "times",
        "tape_to_cut_mm",
        "widest_flat_mm",
    ),
    "tapes.csv": (
        "size",
        "name",
        "finished_width_mm",
        "cut_width_mm",
        "fold",
        "grain",
        "cloth",
        "cloth_from",
        "total_mm",
        "widest_flat_mm",
    ),
    "fabric.csv": (
        "size",
        "tape",
        "method",
        "across_mm",
        "along_mm",
        "strips",
        "joins",
        "yield_mm",
        "spare_mm",
        "waste_percent",
        "buy_mm",
        "seams_in_tape",
        "ruler_across_mm",
        "ruler_along_mm",
        "contingency_mm",
        "squaring_mm",
        "shrinkage_mm",
        "rounding_mm",
        "cost_coins",
    ),
    "widths.csv": (
        "size",
        "tape",
        "cloth",
        "usable_width_mm",
        "method",
        "across_mm",
        "along_mm",
        "joins",
        "buy_mm",
        "cost_coins",
    ),
    "one_cuts.csv": (
        "size",
        "cloth",
        "grain",
        "tapes",
        "across_mm",
        "along_mm",
        "rows",
        "strips",
        "waste_percent",
        "lower_bound_mm",
        "is_exact",
        "buy_mm",
        "buy_alone_mm",
        "not_possible",
    ),
    "places.csv": (
        "size",
        "run",
        "piece",
        "edge",
        "mirrored",
        "verdict",
        "side",
        "at_mm",
        "x_mm",
        "y_mm",
        "from_edge",
        "from_mm",
        "to_edge",
        "to_mm",
        "over_mm",
        "turn_deg",
        "radius_mm",
        "point_radius_mm",
        "feed",
        "feed_least",
        "feed_most",
        "stretch_needed_percent",
        "stretch_limit_percent",
        "ease_limit_percent",
        "widest_flat_mm",
        "laid_width_mm",
        "restoring_cut_width_mm",
        "advice",
    ),
}


def _rows(record: Record, key: str) -> Sequence[Record]:
    rows = record[key]
    if not isinstance(rows, list):
        raise TypeError(f"{key} is not a list of records")
    return rows


def _flat(record: Record) -> Record:
    """Bring the parts of a tape and the sides of a cut up to columns."""
    flat = dict(record)
    parts = record.get("tape_parts_mm")
    if isinstance(parts, dict):
        flat |= {f"{name}_mm": value for name, value in parts.items()}
    cut = record.get("cut_mm")
    if isinstance(cut, list):
        flat |= {"across_mm": cut[0], "along_mm": cut[1]}
    ruler = record.get("ruler_mm")
    if isinstance(ruler, list):
        flat |= {"ruler_across_mm": ruler[0], "ruler_along_mm": ruler[1]}
    bought = record.get("buy_parts_mm")
    if isinstance(bought, dict):
        flat |= {f"{name}_mm": value for name, value in bought.items()}
    together = record.get("cut")
    if isinstance(together, dict):
        flat |= together
        flat["strips"] = len(together.get("strips", ()))
    edges = record.get("edges")
    if isinstance(edges, list):
        flat["edges"] = [_edge(edge) for edge in edges]
    return flat


def _place(record: Record) -> Record:
    """Bring the points and the feeds of a place up to columns."""
    flat = dict(record)
    for end in ("from", "to"):
        spot = record.get(end)
        if isinstance(spot, dict):
            flat |= {f"{end}_edge": _edge(spot), f"{end}_mm": spot["at_mm"]}
    point = record.get("point_mm")
    if isinstance(point, list):
        flat["x_mm"], flat["y_mm"] = point
    feeds = record.get("feed_range")
    if isinstance(feeds, list):
        flat["feed_least"], flat["feed_most"] = feeds
    return flat


def _edge(record: Record) -> str:
    mirrored = " mirrored" if record["mirrored"] else ""
    return f"{record['piece']} {record['edge']}{mirrored}"


def _csv(rows: Sequence[Sequence[Cell]]) -> str:
    stream = io.StringIO()
    csv.writer(stream).writerows([_harmless(cell) for cell in row] for row in rows)
    return stream.getvalue()


def _harmless(cell: Cell) -> Cell:
    is_formula = isinstance(cell, str) and cell.startswith(FORMULA_STARTS)
    return f"'{cell}" if is_formula else cell


def _cell(value: object) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return value
    if isinstance(value, list):
        value = "; ".join(_words(item) for item in value)
    return str(value)


def _words(item: object) -> str:
    return str(item["remedy"]) if isinstance(item, dict) else str(item)

"""The tables of a schedule as CSV, one file per table, lengths in millimetres."""

import csv
import io
from collections.abc import Sequence
from typing import Final

from edgefinder.reports.records import Record
from edgefinder.reports.release_records import sizes_records
from edgefinder.schedule.release import Release

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
        "places.csv": [
            {"size": size["size"], **place}
            for size in sizes
            for place in _rows(size, "places")
        ],
    }
    return {name: _csv(_HEADS[name], rows) for name, rows in tables.items()}


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
        "over_mm",
        "radius_mm",
        "stretch_needed_percent",
        "stretch_limit_percent",
        "widest_flat_mm",
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
    edges = record.get("edges")
    if isinstance(edges, list):
        flat["edges"] = [
            f"{e['piece']} {e['edge']}{' mirrored' if e['mirrored'] else ''}"
            for e in edges
        ]
    return flat


def _csv(head: Sequence[str], rows: Sequence[Record]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(head)
    writer.writerows([_cell(row.get(key)) for key in head] for row in rows)
    return stream.getvalue()


def _cell(value: object) -> str | int | float:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return value
    if isinstance(value, list):
        value = "; ".join(_words(item) for item in value)
    text = str(value)
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _words(item: object) -> str:
    return str(item["remedy"]) if isinstance(item, dict) else str(item)

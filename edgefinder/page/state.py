"""All that a page shows, as plain data; every figure is written by the reports."""

import tomllib
from collections.abc import Mapping
from typing import Any, Final

from edgefinder.classifier.job import Finish, Job
from edgefinder.findings import Finding, grouped
from edgefinder.memory import Memory
from edgefinder.page.desk import Seen
from edgefinder.page.forms import cloth_names
from edgefinder.page.piece_data import piece_data
from edgefinder.reports.amounts import length, to_cut, width, width_at_most
from edgefinder.reports.picture.pens import run_letter, run_pen
from edgefinder.reports.place_text import edge_name
from edgefinder.reports.release_rows import run_names, size_title
from edgefinder.reports.sheet.tables import (
    PLACE_HEAD,
    Table,
    cover_table,
    place_rows,
    runs_table,
    widths_table,
)
from edgefinder.schedule.draft import Draft
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow, SizeSchedule

Data = dict[str, Any]

WRITTEN: Final = ("tapes", "runs", "cloths", "pieces")
"""Lists of tables of which a page shows what is written."""


def state_data(seen: Seen, size: str, memory: Memory) -> Data:
    """Return how a job stands, with the pieces of one size.

    Parameters
    ----------
    seen : Seen
    size : str
        The first one is taken for a size that is not there.
    memory : Memory
        Only what changed is drawn again.

    Returns
    -------
    dict
    """
    draft = seen.draft
    job = draft.job
    shown = size if size in draft.sizes else (*draft.sizes, "")[0]
    return {
        "revision": seen.revision,
        "undo": seen.undo,
        "redo": seen.redo,
        "problem": seen.problem,
        "notice": seen.notice,
        "file": job.path.name,
        "name": job.name,
        "unit": str(job.unit),
        "sizes": [{"size": one, "title": size_title(one)} for one in draft.sizes],
        "size": shown,
        "mistakes": list(draft.mistakes),
        "missing": list(draft.missing),
        "doubts": [
            {
                "piece": one.piece,
                "edges": sorted(one.edges),
                "size": one.size,
                "count": one.count,
                "message": one.message,
                "why": one.why,
                "choices": [list(numbers) for numbers in one.choices],
            }
            for one in draft.doubts
        ],
        "findings": [_finding(one) for one in grouped(draft.findings)],
        "written": _written(seen.text),
        "cloths": cloth_names(job),
        "finishes": [str(one) for one in Finish],
        "pieces": _pieces(draft, shown, memory),
        **_figures(draft.release, shown, job),
    }


def _finding(finding: Finding) -> Data:
    return {
        "severity": str(finding.severity),
        "code": finding.code,
        "where": finding.where,
        "message": finding.message,
    }


def _written(text: str) -> Data:
    """Return what stands in the job file, for the fields of the forms."""
    data = tomllib.loads(text)
    tables = {key: data.get(key) for key in WRITTEN}
    plain = {k: v for k, v in data.items() if not isinstance(v, dict | list)}
    listed = {k: v for k, v in data.items() if _is_texts(v)}
    fabric = data.get("fabric")
    return {
        "": _as_json(plain | listed),
        "fabric": _as_json(fabric if isinstance(fabric, dict) else {}),
        **{
            key: [_as_json(one) for one in value if isinstance(one, dict)]
            if isinstance(value, list)
            else []
            for key, value in tables.items()
        },
    }


def _is_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def _as_json(table: Mapping[str, Any]) -> Data:
    """Leave out what no form shows: tables inside tables, dates."""
    return {
        key: value
        for key, value in table.items()
        if isinstance(value, str | bool | int | float) or _is_texts(value)
    }


def _pieces(draft: Draft, size: str, memory: Memory) -> list[Data]:
    names = () if draft.release is None else run_names(draft.release.sizes)
    shown = _schedule_of(draft, size)
    if shown is None:
        return []
    key = ("pieces", shown.tagged, shown.runs, names, draft.job.unit)
    return memory.recall(key, lambda: piece_data(shown, names, draft.job.unit, memory))


def _schedule_of(draft: Draft, size: str) -> SizeSchedule | None:
    """Return what is known of a size: its tags alone while there is no schedule."""
    if draft.release is not None:
        return next((one for one in draft.release.sizes if one.size == size), None)
    if draft.tagged is None:
        return None
    tagged = next((one for one in draft.tagged.sizes if one.size == size), None)
    return None if tagged is None else SizeSchedule(size, tagged, (), ())


def _figures(release: Release | None, size: str, job: Job) -> Data:
    nothing: Data = {
        "runs": [],
        "tapes": [],
        "places": [],
        "placeHead": list(PLACE_HEAD),
        "tables": [],
        "cautions": [],
    }
    if release is None:
        return nothing
    shown = next(one for one in release.sizes if one.size == size)
    names = run_names(release.sizes)
    return {
        "runs": [_run(row, names.index(row.run.name), job) for row in shown.runs],
        "tapes": [_tape(release, shown, name, job) for name in _tape_names(shown)],
        "places": [
            {
                "number": row.number,
                "cells": list(row.cells),
                "needs": row.needs,
                "advice": list(row.advice),
                "piece": row.piece,
            }
            for row in place_rows(shown, job.unit)
        ],
        "placeHead": list(PLACE_HEAD),
        "tables": [
            _table(cover_table(release)),
            _table(runs_table(shown, job.unit)),
            *(_table(widths_table(row, size, job.unit)) for row in shown.tapes),
        ],
        "cautions": list(release.cautions),
    }


def _tape_names(size: SizeSchedule) -> list[str]:
    return [row.tape.name for row in size.tapes]


def _run(row: RunRow, index: int, job: Job) -> Data:
    pen = run_pen(index)
    is_written = any(row.run.name == run.name for run in job.runs)
    return {
        "name": row.run.name,
        "index": index,
        "letter": run_letter(index),
        "colour": pen.colour,
        "dashes": list(pen.dashes),
        "tape": row.run.tape.name,
        "edges": [edge_name(edge) for edge in row.run.edges],
        "isWritten": is_written,
        "isClosed": row.run.settings.is_closed,
        "bound": length(row.run.length, job.unit),
        "toCut": to_cut(row.tape_to_cut, job.unit),
        "times": row.run.settings.times,
        "flatUpTo": width_at_most(row.widest, job.unit),
        "watch": len(row.judged.places),
    }


def _tape(release: Release, size: SizeSchedule, name: str, job: Job) -> Data:
    row = next(one for one in size.tapes if one.tape.name == name)
    limits = row.tape.cloth.along(row.tape.grain)
    cells = next(
        cells for cells in cover_table(release).rows if cells[:2] == (size.size, name)
    )
    return {
        "name": name,
        "finishedWidth": width(row.tape.finished_width, job.unit),
        "finishedMm": row.tape.finished_width,
        "cutWidth": width(row.tape.cut_width, job.unit),
        "cloth": row.tape.cloth.name,
        "stretch": f"{100 * limits.limit.stretch:g} %",
        "toCut": cells[2],
        "toBuy": cells[3],
        "flatUpTo": cells[4],
        "watch": cells[5],
    }


def _table(table: Table) -> Data:
    return {
        "caption": table.caption,
        "head": list(table.head),
        "rows": [list(row) for row in table.rows],
        "names": table.names,
    }

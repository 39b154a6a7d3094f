"""Every setting that a release was made with, and whether the job file says it."""

import tomllib
from collections.abc import Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any, Final

from edgefinder import __version__
from edgefinder.classifier.fields import Word
from edgefinder.classifier.job import AsDrawn, EdgeRule, Job, Origin
from edgefinder.classifier.price_words import Price
from edgefinder.classifier.width_words import ClothWidth
from edgefinder.pattern.name_pattern import NamePattern
from edgefinder.pattern.selectors import Selector
from edgefinder.pattern.settings import FindingSettings
from edgefinder.reports.amounts import degrees, percent, width
from edgefinder.reports.sheet.tables import Table
from edgefinder.units import Unit

HEAD: Final = ("setting", "value", "from")

_ANGLES: Final = frozenset({"corner_angle"})
_SHARES: Final = frozenset(
    {
        "stretch_ok",
        "stretch_limit",
        "ease_ok",
        "ease_limit",
        "shrinkage_lengthwise",
        "shrinkage_crosswise",
        "contingency",
    }
)
"""Fields that hold fractions; other figures are lengths."""

_WORDS: Final[Mapping[str, str]] = {
    "is_closed": "closed",
    "unit_mm": "drawing_unit",
    "rules": "edges",
    "corner_angle": "corner_angle_deg",
    "names": "match",
}
"""Keys of a job file that are called otherwise than the fields they fill."""

_ELSEWHERE: Final = frozenset(
    {
        "path",
        "text",
        "finding",
        "fabric",
        "cloths",
        "tapes",
        "pieces",
        "runs",
        "fold_tools",
        "origin",
    }
)
"""Fields with a table of their own, and those that hold no setting."""


def settings_tables(job: Job) -> tuple[Table, ...]:
    """Return the settings of a job, a table for each of its parts.

    Parameters
    ----------
    job : Job
        With the person's own list of cloths and tools.

    Returns
    -------
    tuple of Table
        The first one has the version of the program.
    """
    data: dict[str, Any] = tomllib.loads(job.text) if job.text else {}
    unit = job.unit
    general = (("edgefinder", __version__, "program"), *_rows(job, data, unit))
    tables = [
        Table("Pattern", HEAD, general, names=3),
        Table("Finding pieces", HEAD, _rows(job.finding, data, unit), names=3),
        Table("Fabric", HEAD, _rows(job.fabric, data.get("fabric", {}), unit), names=3),
    ]
    for key, word in (
        ("cloths", "Cloth"),
        ("tapes", "Tape"),
        ("pieces", "Piece"),
        ("runs", "Run"),
        ("fold_tools", "Fold tool"),
    ):
        written = _by_name(data.get(key))
        for one in getattr(job, key):
            own = written.get(one.name, {})
            origin = getattr(one, "origin", Origin.JOB_FILE)
            rows = _rows(one, own, unit, origin)
            tables.append(Table(f"{word} {one.name}", HEAD, rows, names=3))
    return tuple(tables)


def _by_name(tables: object) -> dict[str, dict[str, Any]]:
    """Return the tables of a job file by their names."""
    if not isinstance(tables, list):
        return {}
    return {
        " ".join(str(table.get("name", "")).split()): table
        for table in tables
        if isinstance(table, dict)
    }


def _rows(
    part: Any, data: Mapping[str, Any], unit: Unit, origin: Origin = Origin.JOB_FILE
) -> tuple[tuple[str, ...], ...]:
    """Return a row for every field of a part of a job."""
    rows = []
    for field in fields(part):
        if field.name in _ELSEWHERE or (field.name == "name" and part_has_title(part)):
            continue
        key = _WORDS.get(field.name, field.name)
        value = getattr(part, field.name)
        # No list has anything in it unless somebody wrote it.
        is_said = any(name in data for name in (key, f"{key}_percent"))
        is_said = is_said or (isinstance(value, tuple) and bool(value))
        source = "job file" if is_said else "default"
        if origin is Origin.OWN_LIST:
            source = str(origin)
        name = key.removesuffix("_deg").replace("_", " ")
        rows.append((name, _said(field.name, value, unit), source))
    return tuple(rows)


def part_has_title(part: Any) -> bool:
    """Whether the name of a part stands above its table already."""
    return not isinstance(part, Job | FindingSettings)


def _said(name: str, value: Any, unit: Unit) -> str:
    if value is None:
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _figure(name, value, unit)
    if isinstance(value, tuple):
        return _several(name, value, unit)
    return _one(value) or "not given"


def _several(name: str, value: tuple[Any, ...], unit: Unit) -> str:
    said = []
    for one in value:
        if isinstance(one, tuple):
            said.append(" = ".join(_said(name, part, unit) for part in one))
        else:
            said.append(_said(name, one, unit))
    return ", ".join(said) or "none"


def _figure(name: str, value: float, unit: Unit) -> str:
    if name in _ANGLES:
        return f"{degrees(value)} degrees"
    if name in _SHARES:
        return percent(value)
    exact = f"{value:.4g} mm"
    return exact if unit is Unit.MILLIMETRE else f"{width(value, unit)} ({exact})"


def _one(value: Any) -> str:
    """Write a value that is neither a figure nor a list."""
    match value:
        case Path():
            said = value.name
        case Selector() | Word() | NamePattern():
            said = value.text
        case ClothWidth():
            said = value.label
        case Price():
            said = f"{value.write(value.coins)} per {value.per}"
        case EdgeRule():
            said = f"{value.word.text}: {value.finish}"
        case AsDrawn():
            said = f"size {value.size}, {len(value.rows)} edges"
        case _:
            said = str(value)
    return said

"""Reading what stands at the top of a job file, and all of its tables."""

import math
from pathlib import Path
from typing import Final

from edgefinder.classifier.cloth_settings import cloth_settings, fold_tools
from edgefinder.classifier.fabric_settings import fabric_settings
from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import Finish, Job, Origin, Wearer
from edgefinder.classifier.keys import Key, Kind
from edgefinder.classifier.piece_settings import piece_settings
from edgefinder.classifier.run_settings import run_settings
from edgefinder.classifier.tape_settings import tape_settings
from edgefinder.constants import CORNER_ANGLE_DEG, JOIN_TOLERANCE_MM
from edgefinder.pattern.name_pattern import NamePattern, parse_name_pattern
from edgefinder.pattern.selectors import Selector, parse_selector
from edgefinder.pattern.settings import Dialect, FindingSettings, SizeSource
from edgefinder.units import Unit

TOP_KEYS: Final = (
    Key(
        "name",
        Kind.TEXT,
        "the pattern's name, at the head of the schedule",
        otherwise="none: the name of the file",
    ),
    Key("unit", Kind.CHOICE, "unit of the reports", default=Unit.MILLIMETRE),
    Key(
        "drawings",
        Kind.TEXTS,
        "files, SVG or DXF, found from where the job file lies",
        required=True,
    ),
    Key(
        "drawing_unit",
        Kind.LENGTH,
        "length of one unit of the drawing, if that is wrong",
        otherwise="none: what the drawing says",
        positive=True,
    ),
    Key(
        "test_square",
        Kind.LENGTH,
        "true side of the [test square](#the-scale); every drawing is scaled by its "
        "own",
        positive=True,
    ),
    Key(
        "seam_allowance",
        Kind.LENGTH,
        "drawn at every seam; 0 if outlines are the lines that are sewn",
        default=0.0,
        unit="mm",
    ),
    Key(
        "allowances",
        Kind.TABLE,
        "of all edges of a finish, in place of the usual: "
        '`{ hem = "20 mm", bound = "6 mm" }`',
    ),
    Key(
        "fold_tools",
        Kind.LENGTHS,
        "the [fold tools](#fold-tools) that you have, for tables of widths",
        otherwise="none: usual widths",
    ),
    Key(
        "wearer",
        Kind.CHOICE,
        "who wears it, for what is said about ties",
        default=Wearer.ADULT,
    ),
    Key(
        "cut_lines",
        Kind.SELECTORS,
        "the lines that are outlines of pieces",
        otherwise="none: every closed line",
    ),
    Key("ignore", Kind.SELECTORS, "lines that are not, whatever else chooses them"),
    Key(
        "cutouts",
        Kind.SELECTORS,
        "closed lines that are cut out of the piece around them",
    ),
    Key(
        "marker_lines",
        Kind.SELECTORS,
        "lines drawn along outlines to "
        "[mark stretches](#marker-lines-notches-and-texts) of them",
    ),
    Key(
        "notches",
        Kind.SELECTORS,
        "small lines that are notches",
        otherwise="none: what the drawing calls so",
    ),
    Key(
        "sewing_lines",
        Kind.SELECTORS,
        "lines that are sewing lines; allowances are measured to them",
        otherwise="none: lines close inside an outline",
    ),
    Key("sizes", Kind.CHOICE, "where the size is read", default=SizeSource.AUTO),
    Key(
        "size_names",
        Kind.TABLE,
        'what a size is called in the drawing, and its name: `{ "#d55e00" = "M" }`',
    ),
    Key(
        "names_like",
        Kind.TEXT,
        "a [pattern](#names-and-sizes-by-a-pattern) in which names hold piece and size",
    ),
    Key(
        "corner_angle_deg",
        Kind.NUMBER,
        "a jump of the tangent of this much or more is a corner",
        default=CORNER_ANGLE_DEG,
        unit="degrees",
        most=180.0,
    ),
    Key(
        "dialect",
        Kind.CHOICE,
        "how a DXF is meant",
        default=Dialect.AUTO,
        notes=(
            (Dialect.PLAIN, "as drawn"),
            (Dialect.INTERCHANGE, "as [pattern interchange](#pattern-interchange)"),
        ),
    ),
    Key(
        "join_tolerance",
        Kind.LENGTH,
        "loose ends nearer than this are one point",
        default=JOIN_TOLERANCE_MM,
        unit="mm",
        positive=True,
    ),
    Key("fabric", Kind.TABLE, "[the cloth](#fabric)"),
    Key("tapes", Kind.TABLES, "[the tapes](#tapes)"),
    Key("cloths", Kind.TABLES, "[cloths that you have tested](#cloths-a-swatch-test)"),
    Key("pieces", Kind.TABLES, "[what is said of a piece](#pieces)"),
    Key("runs", Kind.TABLES, "[the runs](#runs)"),
)
"""Of the top of the file."""


def job_settings(
    path: Path, fields: Fields, text: str = "", shown_in: Unit | None = None
) -> Job:
    """Read a whole job file; its mistakes are kept in the fields.

    Parameters
    ----------
    path : Path
        Of the job file; drawings are found beside it.
    fields : Fields
        The top of the file.
    text : str
        Of the file.
    shown_in : Unit or None
        The unit of the reports, in place of the one in the file.
    """
    fields.expect(TOP_KEYS)
    said = fields.choice("unit", Unit)
    unit = said if shown_in is None else shown_in
    pieces = fields.tables("pieces")
    job = Job(
        path=path,
        name=fields.text("name", path.stem),
        unit=unit,
        drawings=tuple(path.parent / name for name in fields.texts("drawings")),
        unit_mm=fields.length("drawing_unit"),
        seam_allowance=fields.length("seam_allowance") or 0.0,
        wearer=fields.choice("wearer", Wearer),
        finding=_finding(fields, pieces),
        fabric=fabric_settings(fields.table("fabric"), unit),
        cloths=tuple(
            cloth_settings(table, Origin.JOB_FILE) for table in fields.tables("cloths")
        ),
        tapes=tuple(tape_settings(table) for table in fields.tables("tapes")),
        pieces=tuple(piece_settings(table) for table in pieces),
        runs=tuple(run_settings(table) for table in fields.tables("runs")),
        allowances=_by_finish(fields.table("allowances")),
        fold_tools=fold_tools(fields, Origin.JOB_FILE),
        text=text,
    )
    fields.close()
    return job


def _finding(fields: Fields, pieces: list[Fields]) -> FindingSettings:
    names = []
    for table in pieces:
        for text in table.texts("match"):
            selector = table.parsed("match", text, parse_selector)
            name = table.text("name")
            if selector is not None and name:
                names.append((name, selector))
    angle = fields.number("corner_angle_deg")
    if angle == 0:
        fields.mistake("corner_angle_deg", "is 0: every point would be a corner")
    return FindingSettings(
        cut_lines=_selectors(fields, "cut_lines"),
        ignore=_selectors(fields, "ignore"),
        cutouts=_selectors(fields, "cutouts"),
        sizes=fields.choice("sizes", SizeSource),
        size_names=_size_names(fields.table("size_names")),
        names_like=_names_like(fields),
        names=tuple(names),
        corner_angle=math.radians(angle),
        join_tolerance=fields.length("join_tolerance") or JOIN_TOLERANCE_MM,
        test_square=fields.length("test_square"),
        marker_lines=_selectors(fields, "marker_lines"),
        notches=_selectors(fields, "notches"),
        sewing_lines=_selectors(fields, "sewing_lines"),
        dialect=fields.choice("dialect", Dialect),
    )


def _by_finish(fields: Fields) -> tuple[tuple[Finish, float], ...]:
    """Read the allowances of all edges of a finish."""
    finishes = [finish for finish in Finish if finish is not Finish.FOLD]
    found = [(finish, fields.length(str(finish), None)) for finish in finishes]
    fields.close()
    return tuple((finish, length) for finish, length in found if length is not None)


def _size_names(fields: Fields) -> tuple[tuple[str, str], ...]:
    return tuple((key, fields.text(key)) for key in fields.free_keys())


def _names_like(fields: Fields) -> NamePattern | None:
    text = fields.text("names_like", "")
    return fields.parsed("names_like", text, parse_name_pattern) if text else None


def _selectors(fields: Fields, key: str) -> tuple[Selector, ...]:
    parsed = [fields.parsed(key, text, parse_selector) for text in fields.texts(key)]
    return tuple(selector for selector in parsed if selector is not None)

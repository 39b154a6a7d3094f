"""Reading a job file, with every mistake in it reported together."""

import math
import tomllib
from pathlib import Path
from typing import Final

from edgefinder.classifier.cloth_settings import cloth_settings, fold_tools
from edgefinder.classifier.fabric_settings import fabric_settings
from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import (
    HANDLING_TAIL_MM,
    TURNED_UNDER_MM,
    End,
    Finish,
    Grain,
    InsideCorner,
    Job,
    Join,
    Origin,
    RunSettings,
    TapeFold,
    TapeSettings,
    Wearer,
)
from edgefinder.classifier.piece_settings import MOST_COPIES, piece_settings
from edgefinder.constants import (
    CORNER_ANGLE_DEG,
    JOIN_TOLERANCE_MM,
)
from edgefinder.errors import SettingsError
from edgefinder.files import read_bytes
from edgefinder.pattern.name_pattern import NamePattern, parse_name_pattern
from edgefinder.pattern.selectors import Selector, parse_selector
from edgefinder.pattern.settings import Dialect, FindingSettings, SizeSource
from edgefinder.units import Unit

MAX_JOB_BYTES: Final = 2**20
"""A job file is written by hand; a megabyte is a thousand pages of it."""

BY_THICKNESS: Final = "by thickness"
"""Written for a turn of cloth that is worked out."""


def is_job_file(path: Path) -> bool:
    """Whether a name is that of a job file and not of a drawing."""
    return path.suffix.lower() == ".toml"


def drawing_job(drawing: Path) -> Job:
    """Return the job that says nothing about a drawing but that it is there."""
    return _job(drawing, Fields({"drawings": [drawing.name]}, f"{drawing}: ", []))


def read_job(path: Path) -> Job:
    """Read and check a job file.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Job

    Raises
    ------
    DrawingError
        If the file cannot be read.
    SettingsError
        With one line for every mistake in it.
    """
    job, mistakes = draft_job(path)
    if mistakes:
        raise SettingsError(*mistakes)
    return job


def draft_job(path: Path) -> tuple[Job, tuple[str, ...]]:
    """Read a job file as far as it goes.

    Returns
    -------
    Job
        With a harmless value in the place of every mistake.
    tuple of str
        One line for every mistake.

    Raises
    ------
    DrawingError, SettingsError
        If the file cannot be read, or is not TOML.
    """
    return draft_text(path, read_text(path))


def draft_text(path: Path, text: str) -> tuple[Job, tuple[str, ...]]:
    """Read the text of a job file as far as it goes; see `draft_job`."""
    mistakes: list[str] = []
    data = toml_data(path, text, "a job file")
    job = _job(path, Fields(data, f"{path}: ", mistakes), text)
    return job, tuple(dict.fromkeys(mistakes))


def toml_data(path: Path, text: str, what: str) -> dict[str, object]:
    """Return what TOML holds.

    Parameters
    ----------
    path : Path
        Of the file, for messages.
    text : str
    what : str
        What the file should be, ``a job file``.

    Raises
    ------
    SettingsError
        If it is not TOML.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SettingsError(
            f"{path}: is not {what} in TOML: {_plainly(error)}; "
            "see docs/job-file.md for the way it is written"
        ) from None
    except ValueError:  # a whole number longer than Python reads
        raise SettingsError(
            f"{path}: holds a number of thousands of digits; correct it"
        ) from None
    except RecursionError:
        raise SettingsError(f"{path}: is nested too deeply for {what}") from None


def _plainly(error: tomllib.TOMLDecodeError) -> str:
    """Say in plain words the mistake that is made most often."""
    return str(error).replace("Cannot overwrite a value", "a key is written twice")


def read_text(path: Path) -> str:
    """Return the text of a job file, line ends as they are.

    Raises
    ------
    DrawingError, SettingsError
        If it cannot be read, or is not text.
    """
    return text_of(path, read_bytes(path, limit=MAX_JOB_BYTES))


def text_of(path: Path, data: bytes) -> str:
    """Return the text of a job file that has been read; see `read_text`."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SettingsError(
            f"{path}: is not text in UTF-8; save the job file as plain text"
        ) from None


def _job(path: Path, fields: Fields, text: str = "") -> Job:
    unit = fields.choice("unit", Unit.MILLIMETRE)
    pieces = fields.tables("pieces")
    job = Job(
        path=path,
        name=fields.text("name", path.stem),
        unit=unit,
        drawings=tuple(
            path.parent / name for name in fields.texts("drawings", required=True)
        ),
        unit_mm=fields.length("drawing_unit", None, positive=True),
        seam_allowance=fields.length("seam_allowance", 0.0) or 0.0,
        wearer=fields.choice("wearer", Wearer.ADULT),
        finding=_finding(fields, pieces),
        fabric=fabric_settings(fields.table("fabric"), unit),
        cloths=tuple(
            cloth_settings(table, Origin.JOB_FILE) for table in fields.tables("cloths")
        ),
        tapes=tuple(_tape(table) for table in fields.tables("tapes")),
        pieces=tuple(piece_settings(table) for table in pieces),
        runs=tuple(_run(table) for table in fields.tables("runs")),
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
            if selector is not None:
                names.append((table.text("name"), selector))
    angle = fields.number("corner_angle_deg", CORNER_ANGLE_DEG, most=180.0)
    if angle == 0:
        fields.mistake("corner_angle_deg", "is 0: every point would be a corner")
    return FindingSettings(
        cut_lines=_selectors(fields, "cut_lines"),
        ignore=_selectors(fields, "ignore"),
        cutouts=_selectors(fields, "cutouts"),
        sizes=fields.choice("sizes", SizeSource.AUTO),
        size_names=_size_names(fields.table("size_names")),
        names_like=_names_like(fields),
        names=tuple(names),
        corner_angle=math.radians(angle),
        join_tolerance=fields.length("join_tolerance", None) or JOIN_TOLERANCE_MM,
        test_square=fields.length("test_square", None, positive=True),
        marker_lines=_selectors(fields, "marker_lines"),
        notches=_selectors(fields, "notches"),
        sewing_lines=_selectors(fields, "sewing_lines"),
        dialect=fields.choice("dialect", Dialect.AUTO),
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


def _tape(fields: Fields) -> TapeSettings:
    tape = TapeSettings(
        name=fields.text("name"),
        finished_width=fields.needed_length("finished_width"),
        fold=fields.choice("fold", TapeFold.DOUBLE),
        grain=fields.choice("grain", Grain.BIAS),
        cloth=fields.text("cloth", ""),
        turn_of_cloth=_turn_of_cloth(fields),
        seam=fields.length("seam", None),
        thickness=fields.length("thickness", None),
        edge_thickness=fields.length("edge_thickness", None),
        cut_width=fields.length("cut_width", None, positive=True),
        packet_length=fields.length("packet_length", None, positive=True),
    )
    is_flat = tape.fold in {TapeFold.FLAT, TapeFold.FACING}
    least = tape.finished_width if is_flat else 2 * tape.finished_width
    if tape.cut_width is not None and tape.cut_width < least:
        than = "" if is_flat else "twice "
        fields.mistake("cut_width", f"is less than {than}the finished width")
    fields.close()
    return tape


def _turn_of_cloth(fields: Fields) -> float | None:
    """Read a length; None where the thickness of the layers says it."""
    if not fields.has("turn_of_cloth"):
        has_thickness = fields.has("thickness") or fields.has("edge_thickness")
        return None if has_thickness else fields.length("turn_of_cloth", 0.0)
    if fields.is_word("turn_of_cloth", BY_THICKNESS):
        return None
    return fields.length("turn_of_cloth", 0.0)


def _run(fields: Fields) -> RunSettings:
    edges = []
    for word in fields.words("edges", required=True):
        if word.text.isdecimal():
            message = f'{word.text} names no piece; write it like "front {word.text}"'
            fields.mistake("edges", message)
        else:
            edges.append(word)
    run = RunSettings(
        name=fields.text("name"),
        tape=fields.text("tape"),
        edges=tuple(edges),
        is_closed=fields.truth("closed", default=False),
        start=fields.choice("start", End.TURNED_UNDER),
        end=fields.choice("end", End.TURNED_UNDER),
        turned_under=fields.length("turned_under", TURNED_UNDER_MM) or 0.0,
        tie_length=fields.length("tie_length", 0.0) or 0.0,
        handling_tail=fields.length("handling_tail", HANDLING_TAIL_MM) or 0.0,
        join=fields.choice("join", Join.SQUARE),
        inside_corners=fields.choice("inside_corners", InsideCorner.MITRE),
        times=fields.count("times", 1, most=MOST_COPIES) or 1,
        avoid_joins_at=fields.texts("avoid_joins_at"),
        avoid_joins_within=fields.length("avoid_joins_within", 0.0, positive=True)
        or 0.0,
    )
    avoids = ("avoid_joins_at", "avoid_joins_within")
    for key, other in (avoids, avoids[::-1]):
        if fields.has(key) and not fields.has(other):
            fields.mistake(other, f"is missing; {key} says nothing without it")
    if run.is_closed and (fields.has("start") or fields.has("end")):
        fields.mistake("closed", "a closed run has no start and no end; take one out")
    if End.TIES in {run.start, run.end} and run.tie_length == 0:
        fields.mistake("tie_length", 'is missing; write how long a tie is, "30 cm"')
    fields.close()
    return run

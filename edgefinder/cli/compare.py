"""``edgefinder compare``."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from edgefinder.cli.main import DIFFERENT
from edgefinder.cli.options import (
    LengthType,
    TypedLength,
    file_argument,
    json_option,
    unit_option,
)
from edgefinder.cli.output import print_findings, print_text
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress

if TYPE_CHECKING:
    from edgefinder.findings import Finding
    from edgefinder.reports.compared_records import ComparedPattern
    from edgefinder.schedule.telling import Tell
    from edgefinder.units import Unit

Result = TypeVar("Result")

SHOWN = 4
SHOWN_LETTERS = 30
"""So many names, and so much of each, are told of what is not the same pattern."""


@dataclass(frozen=True, slots=True)
class _Side:
    """What is compared, the unit of the job, and what was found on the way."""

    pattern: "ComparedPattern"
    unit: "Unit | None"
    findings: "tuple[Finding, ...]"


@click.command()
@file_argument("OLD")
@file_argument("NEW")
@click.option(
    "--within",
    type=LengthType(),
    default="1 mm",
    show_default=True,
    help="Lengths that differ by no more than this are equal.",
)
@unit_option
@json_option
@click.pass_context
def compare(
    ctx: click.Context,
    old: Path,
    new: Path,
    within: TypedLength,
    unit: str | None,
    as_json: bool,
) -> None:
    """Say what differs between two releases of a pattern.

    OLD and NEW are each a job file, a drawing, or a schedule that was stored as JSON.
    A drawing has pieces and edges only; beside a job file it is read as that job
    file says. The exit code is 0 if nothing differs, 1 if anything does, and 2 for
    a mistake that you can mend.

    \b
    Examples:
      edgefinder schedule orchard-apron.toml --json > apron-1.json
      edgefinder compare apron-1.json orchard-apron.toml
      edgefinder compare orchard-apron.svg orchard-apron.toml --within 2mm
    """
    from edgefinder.reports.comparison import compare_patterns
    from edgefinder.units import Unit

    with progress() as tell:
        before, after = _sides(old, new, tell)
    comparison = compare_patterns(before.pattern, after.pattern, within.length)
    findings = tuple(dict.fromkeys((*before.findings, *after.findings)))
    if as_json:
        from edgefinder.reports.comparison_records import comparison_record
        from edgefinder.reports.json_text import to_json

        record = comparison_record(comparison, str(old), str(new))
        print_text(to_json("compare", record, findings))
    else:
        from edgefinder.reports.comparison_text import comparison_text

        shown = unit or after.unit or before.unit or Unit.MILLIMETRE
        names = str(old), str(new)
        print_text(comparison_text(comparison, names, within.text, Unit(shown)))
        print_findings(findings)
    if not comparison.is_same:
        ctx.exit(DIFFERENT)


def _sides(old: Path, new: Path, tell: "Tell") -> tuple[_Side, _Side]:
    """Read both files by what they are, and tell the mistakes of both together.

    Raises
    ------
    EdgefinderError
        If one cannot be read, or they have no piece in common.
    """
    from edgefinder.classifier.job_file import is_job_file
    from edgefinder.errors import SettingsError
    from edgefinder.reports.comparison import piece_names
    from edgefinder.reports.stored_schedule import is_stored, read_stored

    def is_drawing(path: Path) -> bool:
        return not is_job_file(path) and not is_stored(path)

    drawn = any(_each(is_drawing, (old, new)))
    model = next(filter(is_job_file, (old, new)), None)

    def read(path: Path) -> _Side:
        if not is_job_file(path) and is_stored(path):
            return _Side(read_stored(path), None, ())
        if drawn:
            return _read_pieces(path, model, tell)
        return _read_schedule(path, tell)

    before, after = _each(read, (old, new))
    first, second = (piece_names(side.pattern) for side in (before, after))
    if first.keys().isdisjoint(second):
        raise SettingsError(
            f"{old} and {new} have no piece in common: one has "
            f"{_listed([*first.values()])}, the other {_listed([*second.values()])}; "
            "name two releases of one pattern"
        )
    return before, after


def _each(read: Callable[[Path], Result], paths: Sequence[Path]) -> list[Result]:
    from edgefinder.errors import EdgefinderError

    found: list[Result] = []
    mistakes: list[str] = []
    for path in paths:
        try:
            found.append(read(path))
        except EdgefinderError as error:
            mistakes += error.messages
    if mistakes:
        raise EdgefinderError(*dict.fromkeys(mistakes))
    return found


def _read_schedule(path: Path, tell: "Tell") -> _Side:
    from edgefinder.reports.compared_records import compared_pattern
    from edgefinder.reports.release_records import release_record
    from edgefinder.schedule.release import release_from_file

    release = release_from_file(path, own_list(), tell)
    record = release_record(release)
    pattern = compared_pattern(record, str(path), is_schedule=True)
    return _Side(pattern, release.job.unit, release.findings)


def _read_pieces(path: Path, model: Path | None, tell: "Tell") -> _Side:
    """Read the pieces of a job, or of a drawing: as a job file says, if one is given.

    Only the job file says which lines are cut and where names and sizes are found.
    """
    from dataclasses import replace

    from edgefinder.classifier.job_file import drawing_job, read_job
    from edgefinder.reports.compared_records import compared_pattern
    from edgefinder.reports.records import pieces_records
    from edgefinder.schedule.reading import read_pattern

    job = drawing_job(path) if model is None else read_job(model)
    if path != model:
        job = replace(job, drawings=(path,))
    read = read_pattern(job, tell=tell)
    sizes = [
        {"size": size.size, "pieces": pieces_records(size.pieces)}
        for size in read.sizes
    ]
    pattern = compared_pattern({"sizes": sizes}, str(path), is_schedule=False)
    return _Side(pattern, None if model is None else job.unit, read.findings)


def _listed(names: Sequence[str]) -> str:
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return ", ".join(f'"{name[:SHOWN_LETTERS]}"' for name in names[:SHOWN]) + more

"""``edgefinder edges``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    TypedLength,
    dialect_option,
    file_argument,
    json_option,
    test_square_option,
    unit_mm_option,
    unit_option,
)
from edgefinder.cli.output import print_findings, print_text
from edgefinder.cli.progress import progress


@click.command()
@file_argument("FILE")
@json_option
@unit_mm_option
@test_square_option
@dialect_option
@unit_option
def edges(
    file: Path,
    as_json: bool,
    unit_mm: float | None,
    test_square: TypedLength | None,
    dialect: str | None,
    unit: str | None,
) -> None:
    """Show the pieces of a drawing or job FILE and their numbered edges.

    \b
    Examples:
      edgefinder edges orchard-apron.svg
      edgefinder edges orchard-apron.toml --unit in
      edgefinder edges orchard-apron.svg --test-square "2 in"
    """
    from edgefinder.classifier.job_file import drawing_job, is_job_file, read_job
    from edgefinder.pattern.settings import Dialect
    from edgefinder.schedule.reading import read_pattern
    from edgefinder.units import Unit

    job = read_job(file) if is_job_file(file) else drawing_job(file)
    side = None if test_square is None else test_square.length
    with progress() as tell:
        pattern = read_pattern(
            job,
            unit_mm=unit_mm,
            test_square=side,
            dialect=None if dialect is None else Dialect(dialect),
            tell=tell,
        )
    pieces = pattern.pieces
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.records import pieces_records

        record = {"pieces": pieces_records(pieces)}
        print_text(to_json("edges", record, pattern.findings))
        return
    from edgefinder.reports.drawing_text import pieces_text

    print_text(pieces_text(pieces, Unit(unit) if unit else job.unit))
    print_findings(pattern.findings)

"""``edgefinder new``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    TypedLength,
    dialect_option,
    file_argument,
    test_square_option,
    unit_mm_option,
    unit_option,
)
from edgefinder.cli.output import print_findings, print_note
from edgefinder.cli.progress import progress


@click.command()
@file_argument("FILE")
@unit_option
@unit_mm_option
@test_square_option
@dialect_option
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="JOB",
    help="Name of the job file; FILE with the ending .toml otherwise.",
)
def new(
    file: Path,
    unit: str | None,
    unit_mm: float | None,
    test_square: TypedLength | None,
    dialect: str | None,
    output: Path | None,
) -> None:
    """Write a commented job file for the drawing FILE, ready to be edited.

    \b
    Example:
      edgefinder new orchard-apron.svg --unit in -o apron.toml
    """
    from edgefinder.classifier.job_file import drawing_job
    from edgefinder.classifier.template import ByHand, job_text
    from edgefinder.errors import as_typed
    from edgefinder.files import write_new
    from edgefinder.pattern.settings import Dialect
    from edgefinder.schedule.reading import read_pattern
    from edgefinder.units import Unit

    side = None if test_square is None else test_square.length
    meant = None if dialect is None else Dialect(dialect)
    with progress() as tell:
        pattern = read_pattern(
            drawing_job(file),
            unit_mm=unit_mm,
            test_square=side,
            dialect=meant,
            tell=tell,
        )
    target = output or file.with_suffix(".toml")
    square = None if test_square is None else test_square.text
    said = ByHand(unit_mm, square, dialect)
    text = job_text(pattern.sizes, file, target, unit=Unit(unit or "mm"), by_hand=said)
    write_new(target, text)
    print_note(f"wrote {target}; name the edges that are bound in it, then run")
    print_note(f"  edgefinder schedule {as_typed(target)}")
    print_findings(pattern.findings)

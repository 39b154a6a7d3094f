"""``edgefinder lines``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    TypedLength,
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
@unit_option
def lines(
    file: Path,
    as_json: bool,
    unit_mm: float | None,
    test_square: TypedLength | None,
    unit: str | None,
) -> None:
    """List every drawn line of FILE: length, layer, colour, closed or not.

    \b
    Example:
      edgefinder lines orchard-apron.svg
    """
    from edgefinder.importers.formats import read_drawing
    from edgefinder.pattern.lines import measure_lines, scale_findings
    from edgefinder.pattern.scale import scale_by_square, square_findings
    from edgefinder.units import Unit

    with progress() as tell:
        tell("reading drawing", 1, 1)
        reading = read_drawing(file, unit_mm=unit_mm)
        if test_square is None:
            doubts = square_findings(reading.drawing)
        else:
            reading, doubts = scale_by_square(reading, test_square.length).reading, ()
        tell("measuring lines", 1, 1)
        measured = measure_lines(reading.drawing)
    findings = (*reading.findings, *doubts, *scale_findings(reading.drawing))
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.records import lines_records

        print_text(to_json("lines", {"lines": lines_records(measured)}, findings))
        return
    from edgefinder.reports.drawing_text import lines_text

    print_text(lines_text(reading.drawing.name, measured, Unit(unit or "mm")))
    print_findings(findings)

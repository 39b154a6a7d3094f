"""``edgefinder mark``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    file_argument,
    size_option,
    written_file_options,
)
from edgefinder.cli.output import print_findings, print_note
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress


@click.command()
@file_argument("JOB")
@size_option
@click.option(
    "--drawing",
    metavar="NAME",
    help="Which drawing of JOB, where it has several.",
)
@written_file_options("The copy to write, .svg or .dxf like the drawing.")
def mark(
    job: Path, only: tuple[str, ...], drawing: str | None, output: Path, force: bool
) -> None:
    """Copy the drawing of JOB and add a layer of edge numbers, runs and places.

    The layer is named edgefinder-marks. It is passed over when the copy is read, so
    that a job file can name the copy as well.

    \b
    Example:
      edgefinder mark orchard-apron.toml -o apron-marked.svg
    """
    from edgefinder.importers.own_marks import MARKS_LAYER
    from edgefinder.reports.mark.marked_copy import marked_copy
    from edgefinder.reports.writing import write_copy
    from edgefinder.schedule.release import only_sizes, release_from_file

    with progress() as tell:
        release = only_sizes(release_from_file(job, own_list(), tell), only)
        data = marked_copy(release, output, drawing, tell)
    sources = (job, *release.job.drawings)
    write_copy(
        output,
        data,
        lambda there: MARKS_LAYER.encode("ascii") in there,
        sources,
        force=force,
    )
    print_note(f"wrote {output}")
    print_findings(release.findings)

"""``edgefinder picture``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    file_argument,
    piece_option,
    size_option,
    unit_of,
    unit_option,
    written_file_options,
)
from edgefinder.cli.output import print_findings, print_note
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress


@click.command()
@file_argument("JOB")
@size_option
@unit_option
@piece_option
@written_file_options("The SVG file to write.")
def picture(
    job: Path,
    only: tuple[str, ...],
    unit: str | None,
    pieces: tuple[str, ...],
    output: Path,
    force: bool,
) -> None:
    """Draw the pieces of JOB to scale: bound edges, runs and places to watch.

    \b
    Example:
      edgefinder picture orchard-apron.toml --size M -o apron-m.svg
    """
    from edgefinder.reports.picture.release_picture import MARK, picture_svg
    from edgefinder.reports.writing import check_ending, write_report
    from edgefinder.schedule.release import only_sizes, release_from_file

    check_ending(output, "a picture", (".svg",))
    with progress() as tell:
        whole = release_from_file(job, own_list(), tell, unit_of(unit))
        release = only_sizes(whole, only)
        svg = picture_svg(release, pieces, tell)
    sources = (job, *release.job.drawings)
    write_report(output, svg, MARK, sources, force=force)
    print_note(f"wrote {output}")
    print_findings(release.findings)

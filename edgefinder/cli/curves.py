"""``edgefinder curves``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    file_argument,
    json_option,
    size_option,
    unit_of,
    unit_option,
)
from edgefinder.cli.output import print_findings, print_text
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress


@click.command()
@file_argument("JOB")
@json_option
@size_option
@unit_option
def curves(job: Path, as_json: bool, only: tuple[str, ...], unit: str | None) -> None:
    """Show where the tape of JOB does not lie flat, and the widths that would.

    \b
    Example:
      edgefinder curves orchard-apron.toml --size M
    """
    from edgefinder.schedule.release import only_sizes, release_from_file

    with progress() as tell:
        whole = release_from_file(job, own_list(), tell, unit_of(unit))
        release = only_sizes(whole, only)
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.release_records import curves_records

        record = {"sizes": curves_records(release)}
        print_text(to_json("curves", record, release.findings))
        return
    from edgefinder.reports.release_text import curves_text

    print_text(curves_text(release.sizes, release.job.unit))
    print_findings(release.findings)

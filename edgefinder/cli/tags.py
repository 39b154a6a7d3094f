"""``edgefinder tags``."""

from pathlib import Path

import click

from edgefinder.cli.options import file_argument, json_option, unit_option
from edgefinder.cli.output import print_findings, print_text
from edgefinder.cli.progress import progress


@click.command()
@file_argument("JOB")
@json_option
@unit_option
def tags(job: Path, as_json: bool, unit: str | None) -> None:
    """Show what happens to every edge of every piece of JOB, and why.

    \b
    Example:
      edgefinder tags orchard-apron.toml
    """
    from edgefinder.classifier.job_file import read_job
    from edgefinder.schedule.reading import tag_unfinished
    from edgefinder.units import Unit

    with progress() as tell:
        pattern = tag_unfinished(read_job(job), tell)
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.tags_records import tags_records

        record = {"sizes": tags_records(pattern.sizes)}
        print_text(to_json("tags", record, pattern.findings))
        return
    from edgefinder.reports.tags_text import tags_text

    print_text(tags_text(pattern.sizes, Unit(unit) if unit else pattern.job.unit))
    print_findings(pattern.findings)

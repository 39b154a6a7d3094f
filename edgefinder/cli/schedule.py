"""``edgefinder schedule``."""

from pathlib import Path

import click

from edgefinder.cli.options import file_argument, json_option, size_option
from edgefinder.cli.output import print_findings, print_note, print_text
from edgefinder.cli.own import own_list


@click.command()
@file_argument("JOB")
@json_option
@click.option(
    "--csv",
    "folder",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Write one CSV file per table into DIR.",
)
@click.option("--force", is_flag=True, help="Write over files of another make.")
@size_option
def schedule(
    job: Path, as_json: bool, folder: Path | None, force: bool, only: tuple[str, ...]
) -> None:
    """Work out bound edges, tape, fabric and places to watch for every size of JOB.

    \b
    Examples:
      edgefinder schedule apron.toml
      edgefinder schedule apron.toml --csv tables
    """
    if as_json and folder is not None:
        raise click.UsageError("choose one of --json and --csv")
    from edgefinder.schedule.release import only_sizes, release_from_file

    release = only_sizes(release_from_file(job, own_list()), only)
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.release_records import release_record

        print_text(to_json("schedule", release_record(release), release.findings))
        return
    if folder is not None:
        from edgefinder.reports.csv_tables import csv_files
        from edgefinder.reports.writing import write_tables

        for path in write_tables(folder, csv_files(release), force=force):
            print_note(f"wrote {path}")
    else:
        from edgefinder.reports.release_text import schedule_text

        print_text(schedule_text(release))
    print_findings(release.findings)

"""``edgefinder schedule``."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from edgefinder.cli.options import file_argument, json_option, size_option
from edgefinder.cli.output import print_findings, print_note, print_text
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress

if TYPE_CHECKING:
    from edgefinder.schedule.release import Release


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
@click.option(
    "--bom",
    is_flag=True,
    help="Begin CSV files with a byte order mark, for spreadsheets that need it.",
)
@click.option(
    "--html",
    "page",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write one HTML page with pictures and cutting charts.",
)
@click.option(
    "--xlsx",
    "book",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the tables of --csv as one workbook.",
)
@click.option(
    "--markdown",
    "text_page",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the tables that a customer needs, for a web page.",
)
@click.option(
    "--charts",
    "charts",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Also write a cutting chart (SVG) and its steps for every tape and size.",
)
@click.option("--force", is_flag=True, help="Write over files of another make.")
@size_option
def schedule(
    job: Path,
    as_json: bool,
    folder: Path | None,
    bom: bool,
    page: Path | None,
    book: Path | None,
    text_page: Path | None,
    charts: Path | None,
    force: bool,
    only: tuple[str, ...],
) -> None:
    """Work out bound edges, tape, fabric and places to watch for every size of JOB.

    \b
    Examples:
      edgefinder schedule apron.toml
      edgefinder schedule apron.toml --csv tables
      edgefinder schedule apron.toml --charts charts
      edgefinder schedule apron.toml --html apron.html
    """
    written = [one for one in (folder, page, book, text_page) if one is not None]
    if as_json + len(written) > 1:
        raise click.UsageError(
            "choose one of --json, --csv, --html, --xlsx and --markdown"
        )
    if bom and folder is None:
        raise click.UsageError("--bom is for --csv")
    from edgefinder.schedule.release import only_sizes, release_from_file

    with progress() as tell:
        release = only_sizes(release_from_file(job, own_list(), tell), only)
    if charts is not None:
        from edgefinder.reports.cutting_files import release_charts
        from edgefinder.reports.writing import write_tables

        for path in write_tables(charts, release_charts(release), force=force):
            print_note(f"wrote {path}")
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.release_records import release_record

        print_text(to_json("schedule", release_record(release), release.findings))
        return
    if folder is not None:
        from edgefinder.reports.csv_tables import csv_files
        from edgefinder.reports.writing import write_tables

        tables = csv_files(release)
        for path in write_tables(folder, tables, force=force, bom=bom):
            print_note(f"wrote {path}")
    elif written:
        _write(release, page, book, text_page, force=force)
        print_note(f"wrote {written[0]}")
    else:
        from edgefinder.reports.release_text import schedule_text

        print_text(schedule_text(release))
    print_findings(release.findings)


def _write(
    release: "Release",
    page: Path | None,
    book: Path | None,
    text_page: Path | None,
    *,
    force: bool,
) -> None:
    """Write the one file that was asked for."""
    from edgefinder.reports.writing import write_copy, write_report

    sources = (release.job.path, *release.job.drawings)
    if page is not None:
        from edgefinder.reports.sheet.page import MARK, sheet_html

        with progress() as tell:
            html = sheet_html(release, tell)
        write_report(page, html, MARK, sources, force=force)
    elif book is not None:
        from edgefinder.reports.tables.workbook import is_own_workbook, workbook

        write_copy(book, workbook(release), is_own_workbook, sources, force=force)
    elif text_page is not None:
        from edgefinder.reports.tables import markdown

        text = markdown.markdown(release)
        write_report(text_page, text, markdown.MARK, sources, force=force)

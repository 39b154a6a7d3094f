"""``edgefinder schedule``."""

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
from edgefinder.cli.schedule_files import (
    PAPERS,
    check_file,
    write_charts,
    write_csv,
    write_file,
)


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
    "--pdf",
    "printed",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the same page as PDF, with bookmarks.",
)
@click.option(
    "--paper",
    type=click.Choice(PAPERS),
    help="Paper of the PDF; letter where lengths are in inches, else A4.",
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
@unit_option
def schedule(
    job: Path,
    as_json: bool,
    folder: Path | None,
    bom: bool,
    page: Path | None,
    printed: Path | None,
    paper: str | None,
    book: Path | None,
    text_page: Path | None,
    charts: Path | None,
    force: bool,
    only: tuple[str, ...],
    unit: str | None,
) -> None:
    """Work out bound edges, tape, fabric and places to watch for every size of JOB.

    \b
    Examples:
      edgefinder schedule orchard-apron.toml
      edgefinder schedule orchard-apron.toml --csv tables
      edgefinder schedule orchard-apron.toml --charts charts
      edgefinder schedule orchard-apron.toml --html apron.html
      edgefinder schedule orchard-apron.toml --pdf apron.pdf --paper a4
    """
    files = {"html": page, "pdf": printed, "xlsx": book, "markdown": text_page}
    wanted = [(kind, path) for kind, path in files.items() if path is not None]
    if as_json + (folder is not None) + len(wanted) > 1:
        raise click.UsageError(
            "choose one of --json, --csv, --html, --pdf, --xlsx and --markdown"
        )
    if bom and folder is None:
        raise click.UsageError("--bom is for --csv")
    if paper is not None and printed is None:
        raise click.UsageError("--paper is for --pdf")
    from edgefinder.schedule.release import only_sizes, release_from_file

    for kind, path in wanted:
        check_file(kind, path)
    with progress() as tell:
        whole = release_from_file(job, own_list(), tell, unit_of(unit))
        release = only_sizes(whole, only)
    if charts is not None:
        write_charts(release, charts, force=force)
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.release_records import release_record

        print_text(to_json("schedule", release_record(release), release.findings))
        return
    for kind, path in wanted:
        write_file(release, kind, path, paper, force=force)
    if folder is not None:
        write_csv(release, folder, force=force, bom=bom)
    elif not wanted:
        from edgefinder.reports.release_text import schedule_text

        print_text(schedule_text(release))
    print_findings(release.findings)

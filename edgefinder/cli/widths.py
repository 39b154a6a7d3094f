"""``edgefinder widths``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    LengthType,
    TypedLength,
    file_argument,
    json_option,
    positive_width,
    size_option,
    unit_of,
    unit_option,
)
from edgefinder.cli.output import print_findings, print_text
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress


@click.command()
@file_argument("JOB")
@click.option(
    "--width",
    "widths",
    multiple=True,
    type=LengthType(),
    callback=positive_width,
    help="A finished width to try; may be given several times.",
)
@click.option("--cloth", "by_cloth", is_flag=True, help="Compare cloths instead.")
@click.option(
    "--angle",
    "by_angle",
    is_flag=True,
    help="Compare angles of the strip to the warp instead.",
)
@json_option
@size_option
@unit_option
def widths(
    job: Path,
    widths: tuple[TypedLength, ...],
    by_cloth: bool,
    by_angle: bool,
    as_json: bool,
    only: tuple[str, ...],
    unit: str | None,
) -> None:
    """Show which finished widths lie flat along the runs of JOB.

    \b
    Examples:
      edgefinder widths orchard-apron.toml --size M
      edgefinder widths orchard-apron.toml --width 6mm --width 10mm
      edgefinder widths orchard-apron.toml --cloth
    """
    if (by_cloth and by_angle) or (widths and (by_cloth or by_angle)):
        raise click.UsageError("choose one of --width, --cloth and --angle")
    from edgefinder.schedule.choices import By, release_choices
    from edgefinder.schedule.release import only_sizes, release_from_file

    by = By.CLOTH if by_cloth else By.ANGLE if by_angle else By.WIDTH
    tried = [width.length for width in widths]
    with progress() as tell:
        whole = release_from_file(job, own_list(), tell, unit_of(unit))
        release = only_sizes(whole, only)
        choices = release_choices(release, by, tried, tell)
    if as_json:
        from edgefinder.reports.choices_records import choices_records
        from edgefinder.reports.json_text import to_json

        record = {"by": str(by), "tapes": choices_records(choices)}
        print_text(to_json("widths", record, release.findings))
        return
    from edgefinder.reports.choices_text import choices_text

    print_text(choices_text(choices, by, release.job.unit))
    print_findings(release.findings)

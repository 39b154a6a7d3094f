"""``edgefinder words``."""

from pathlib import Path

import click

from edgefinder.cli.options import (
    file_argument,
    size_option,
    unit_of,
    unit_option,
)
from edgefinder.cli.output import print_findings, print_text
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress


def _show_template(ctx: click.Context, _: click.Parameter, is_asked: bool) -> None:
    """Print the built-in template and end."""
    if not is_asked or ctx.resilient_parsing:
        return
    from edgefinder.reports.instructions.instructions_text import default_template

    print_text(default_template())
    ctx.exit()


@click.command()
@file_argument("JOB")
@size_option
@unit_option
@click.option(
    "--run",
    "runs",
    multiple=True,
    metavar="RUN",
    help="Only this run; may be given several times.",
)
@click.option("--both-units", is_flag=True, help="Write inches and centimetres.")
@click.option(
    "--template",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Wording of your own, a Jinja template.",
)
@click.option(
    "--show-template",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_show_template,
    help="Print the built-in template, to begin one with.",
)
def words(
    job: Path,
    only: tuple[str, ...],
    unit: str | None,
    runs: tuple[str, ...],
    both_units: bool,
    template: Path | None,
) -> None:
    """Write each run of JOB in words, to paste into a pattern's instructions.

    \b
    Example:
      edgefinder words orchard-apron.toml --both-units
    """
    from edgefinder.reports.instructions.instructions_text import (
        instructions_text,
        read_template,
    )
    from edgefinder.reports.instructions.run_facts import run_facts
    from edgefinder.schedule.cautions import sewing_cautions
    from edgefinder.schedule.release import only_sizes, release_from_file

    own = None if template is None else read_template(template)
    with progress() as tell:
        whole = release_from_file(job, own_list(), tell, unit_of(unit))
        release = only_sizes(whole, only)
    facts = run_facts(release, runs, both_units=both_units)
    cautions = sewing_cautions(release.job, [run.name for run in facts])
    print_text(instructions_text(facts, cautions, own, str(template)))
    print_findings(release.findings)

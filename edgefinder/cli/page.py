"""``edgefinder page``."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from edgefinder.cli.options import unit_option
from edgefinder.cli.output import print_findings, print_note
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress

if TYPE_CHECKING:
    from edgefinder.page.serving import Address

_LIBRARIES = frozenset({"flask", "waitress", "werkzeug"})


@click.command()
@click.argument(
    "files",
    nargs=-1,
    required=True,
    metavar="JOB|DRAWING...",
    type=click.Path(path_type=Path),
)
@unit_option
@click.option(
    "--no-open", "stay", is_flag=True, help="Print the address and open no browser."
)
def page(files: tuple[Path, ...], unit: str | None, stay: bool) -> None:
    """Open a page on this machine to point at the edges that are bound.

    With drawings and no job file, a new one is written beside the first of them. The
    page is for this machine alone; it stops when you press Done on it or Ctrl-C here,
    or after half an hour without use.

    \b
    Examples:
      edgefinder page orchard-apron.toml
      edgefinder page orchard-apron.svg --unit in
    """
    try:
        from edgefinder.page.desk import Desk
        from edgefinder.page.serving import opening_file, serve
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] not in _LIBRARIES:
            raise
        from edgefinder.errors import SettingsError

        raise SettingsError(
            "the page needs two libraries that are not installed; in the folder of "
            'edgefinder, type: pip install ".[page]"'
        ) from error
    from contextlib import ExitStack, suppress

    job = _job_file(files, unit)
    with progress() as tell:
        desk = Desk(job, own_list, tell)

    with ExitStack() as held:

        def opened(address: "Address") -> None:
            is_open = not stay and _open(held.enter_context(opening_file(address)))
            said = f"the page is at {address.url}"
            if is_open:
                print_note(said)
            else:  # who gets no browser cannot do without it, also with --quiet
                click.echo(said, err=True)
            print_note("it stops with Done on the page, or Ctrl-C here")

        with suppress(KeyboardInterrupt):  # how it is stopped from here
            serve(desk, opened)
    problem = desk.save().problem
    if problem is not None:
        from edgefinder.errors import OutputError

        raise OutputError(f"{problem}; the last changes are not in {job}")
    print_note(f"stopped; all changes are in {job}")


def _open(path: Path) -> bool:
    """Open a file in a browser; return whether there is one."""
    import webbrowser

    return webbrowser.open(path.as_uri())


def _job_file(files: tuple[Path, ...], unit: str | None) -> Path:
    """Return the job file that was named, or write a new one for the drawings."""
    from edgefinder.classifier.job_file import is_job_file
    from edgefinder.schedule.new_job import write_new_job
    from edgefinder.units import Unit

    jobs = [file for file in files if is_job_file(file)]
    if len(jobs) > 1 or (jobs and len(files) > 1):
        raise click.UsageError("name one job file, or drawings alone")
    if jobs:
        return jobs[0]
    target = files[0].with_suffix(".toml")
    if target.exists():
        print_note(f"{target} is there already and is opened")
        if len(files) > 1 or unit is not None:
            print_note(
                "its drawings and its unit are those that it names: what you typed "
                "here does not change it; Findings on the page opens more drawings"
            )
        return target
    with progress() as tell:
        findings = write_new_job(files, target, Unit(unit or "mm"), tell)
    print_findings(findings)
    print_note(f"wrote {target}")
    return target

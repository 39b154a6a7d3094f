"""``edgefinder untag``."""

from pathlib import Path

import click

from edgefinder.cli.options import dry_run_option, file_argument
from edgefinder.cli.output import print_edited


@click.command()
@file_argument("JOB")
@click.argument("piece")
@click.argument("edges", nargs=-1, required=True)
@dry_run_option
def untag(job: Path, piece: str, edges: tuple[str, ...], dry_run: bool) -> None:
    """Take EDGES of PIECE out of the rules of the job file JOB; they are seams again.

    \b
    Example:
      edgefinder untag apron.toml front 6
    """
    from edgefinder.schedule.tag_edits import untag_edges

    print_edited(untag_edges(job, piece, edges), dry_run=dry_run)

"""``edgefinder untag``."""

from pathlib import Path

import click

from edgefinder.cli.completing import complete_pieces
from edgefinder.cli.options import dry_run_option, file_argument
from edgefinder.cli.output import print_edited
from edgefinder.cli.progress import progress


@click.command()
@file_argument("JOB")
@click.argument("piece", shell_complete=complete_pieces)
@click.argument("edges", nargs=-1, required=True)
@dry_run_option
def untag(job: Path, piece: str, edges: tuple[str, ...], dry_run: bool) -> None:
    """Take EDGES of PIECE out of the rules of the job file JOB; they are seams again.

    \b
    Example:
      edgefinder untag orchard-apron.toml front 6
    """
    from edgefinder.schedule.tag_edits import untag_edges

    with progress() as tell:
        edited = untag_edges(job, piece, edges, tell)
    print_edited(edited, dry_run=dry_run)

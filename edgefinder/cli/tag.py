"""``edgefinder tag``."""

import re
from pathlib import Path

import click

from edgefinder.cli.completing import complete_pieces
from edgefinder.cli.options import dry_run_option, file_argument
from edgefinder.cli.output import print_edited
from edgefinder.cli.progress import progress

FINISHES = ("bound", "seam", "fold", "hem", "facing", "raw")
"""Those of `edgefinder.classifier.job.Finish`, which is not loaded for a help page."""


@click.command()
@file_argument("JOB")
@click.argument("piece", required=False, shell_complete=complete_pieces)
@click.argument("edges", nargs=-1)
@click.option(
    "--as", "finish", type=click.Choice(FINISHES), help="What happens to them."
)
@click.option("--run", metavar="NAME", help="Run that bound edges are added to.")
@click.option("--tape", metavar="NAME", help="Tape of a run that is not there yet.")
@click.option("--call", "name", metavar="NAME", help="Your own name for the edge.")
@click.option(
    "--refresh",
    is_flag=True,
    help="Number the edges as they are drawn now, tags and all.",
)
@dry_run_option
def tag(
    job: Path,
    piece: str | None,
    edges: tuple[str, ...],
    finish: str | None,
    run: str | None,
    tape: str | None,
    name: str | None,
    refresh: bool,
    dry_run: bool,
) -> None:
    """Say what happens to EDGES of PIECE, in the job file JOB.

    An edge is a number, your own name for it, "all", "all except 2", a selector as
    "layer:Bound", or "from notch 1 to notch 2".

    \b
    Examples:
      edgefinder tag orchard-apron.toml front 6 --as bound --run neck
      edgefinder tag orchard-apron.toml front 2 --as hem --dry-run
      edgefinder tag orchard-apron.toml front 6 --call neck
      edgefinder tag orchard-apron.toml --refresh
    """
    if refresh:
        if piece or finish or run or tape or name:
            raise click.UsageError("--refresh stands alone, without edges")
        from edgefinder.schedule.tag_edits import refresh_tags

        with progress() as tell:
            refreshed = refresh_tags(job, tell)
        print_edited(refreshed, dry_run=dry_run)
        return
    if piece is not None and not edges:  # as a job file writes an edge
        said = re.fullmatch(r"(.+)\s+(\d+[a-z]?|all)", piece.strip())
        if said is not None:
            piece, edges = said[1], (said[2],)
    if piece is None or not edges:
        raise click.UsageError("name a piece and its edges: front 6")
    if finish is None and name is None:
        raise click.UsageError("say what happens to them, --as bound, or --call NAME")
    if name is not None and len(edges) > 1:
        raise click.UsageError("--call gives a name to one edge")
    if (run or tape) and finish != "bound":
        raise click.UsageError("--run and --tape are for edges that are bound")
    from edgefinder.classifier.job import Finish
    from edgefinder.classifier.retagging import Tagging
    from edgefinder.schedule.tag_edits import tag_edges

    tagging = Tagging(Finish(finish) if finish else None, run, tape, name)
    with progress() as tell:
        edited = tag_edges(job, piece, edges, tagging, tell)
    print_edited(edited, dry_run=dry_run)

"""Words that a shell completes: what a job file and its drawings call things."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

if TYPE_CHECKING:
    from edgefinder.schedule.reading import PatternRead

QUICKLY_READ_BYTES: Final = 2**18
"""Of all drawings of a job: read in well under a second. Larger: the key that
completes seems stuck. Smaller: patterns of a few pieces get no help."""

PLAIN: Final = re.compile(r"\w[\w.-]*")
"""Names that a shell takes as they are. Others are not offered: it would put them on
the command line without quotes, and what stands in a drawing must not be run."""


def complete_sizes(
    ctx: click.Context,
    param: click.Parameter,  # noqa: ARG001 - click passes it
    incomplete: str,
) -> list[str]:
    """Return the sizes of the job file that is typed already."""
    pattern = _pattern(ctx)
    sizes = [] if pattern is None else [size.size for size in pattern.sizes]
    return _offered(sizes, incomplete)


def complete_pieces(
    ctx: click.Context,
    param: click.Parameter,  # noqa: ARG001 - click passes it
    incomplete: str,
) -> list[str]:
    """Return the pieces of the job file that is typed already."""
    pattern = _pattern(ctx)
    pieces = [] if pattern is None else [piece.name for piece in pattern.pieces]
    return _offered(pieces, incomplete)


def _offered(names: list[str], incomplete: str) -> list[str]:
    begun = incomplete.casefold()
    return [
        name
        for name in dict.fromkeys(names)
        if PLAIN.fullmatch(name) and name.casefold().startswith(begun)
    ]


def _pattern(ctx: click.Context) -> "PatternRead | None":
    """Read the job file that is typed already; None where that cannot be done soon."""
    from edgefinder.classifier.job_file import is_job_file, read_job
    from edgefinder.errors import EdgefinderError
    from edgefinder.schedule.reading import read_pattern

    # In front of an option without its value click has not sorted arguments yet.
    typed = [*filter(None, [ctx.params.get("job")]), *map(Path, ctx.args)]
    path = next(filter(is_job_file, typed), None)
    if path is None:
        return None
    try:
        job = read_job(path)
        size = sum(drawing.stat().st_size for drawing in job.drawings)
        return read_pattern(job) if size <= QUICKLY_READ_BYTES else None
    except (EdgefinderError, OSError):  # told when the command is run
        return None

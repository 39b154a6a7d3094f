"""Runs of bound edges that a job file puts in no run: one for each of them."""

from collections.abc import Collection, Sequence

from edgefinder.classifier.job import (
    HANDLING_TAIL_MM,
    TURNED_UNDER_MM,
    End,
    Finish,
    InsideCorner,
    Job,
    Join,
    RunSettings,
)
from edgefinder.classifier.rings import edge_rings
from edgefinder.classifier.sizes import same_name
from edgefinder.classifier.tags import TaggedPiece
from edgefinder.errors import TagError
from edgefinder.findings import Finding, note
from edgefinder.pattern.pieces import Edge


def own_runs(
    job: Job, tagged: Sequence[TaggedPiece], in_runs: Collection[tuple[str, int]]
) -> list[tuple[RunSettings, TaggedPiece, Edge]]:
    """Make a run for each bound edge that is in none.

    Parameters
    ----------
    job : Job
    tagged : sequence of TaggedPiece
    in_runs : collection of (str, int)
        Piece and number of every edge that a run of the job file takes.

    Raises
    ------
    TagError
        If it cannot be told which tape is meant.
    """
    return [
        (_run(job, one, edge), one, edge)
        for one in tagged
        for edge, finish in zip(one.piece.edges, one.finishes, strict=True)
        if finish is Finish.BOUND and (one.piece.name, edge.number) not in in_runs
    ]


def own_run_finding(run: RunSettings, one: TaggedPiece, edge: Edge) -> Finding:
    """Say that a bound edge makes a run of its own."""
    times = "once" if run.times == 1 else f"{run.times} times"
    ends = f"{run.start} at its start, {run.end} at its end"
    if run.is_closed:
        ends = "a loop"
    elif run.start is run.end:
        ends = f"{run.start} at both ends"
    message = (
        f'is bound and in no run: it makes a run of its own, "{run.name}", sewn '
        f"{times}, {ends}"
    )
    return note("own-run", f'"{one.piece.name}" edge {edge.label}', message)


def _run(job: Job, one: TaggedPiece, edge: Edge) -> RunSettings:
    closed = edge.path.path.closed
    ends = [End.TURNED_UNDER, End.TURNED_UNDER]
    copies = 1
    if not closed:
        sides = [one.finishes[e.number - 1] for e in one.piece.neighbours(edge.number)]
        # At the fold the edge goes on in its other half, to the same neighbour.
        others: list[Finish] = [side for side in sides if side is not Finish.FOLD]
        if len(others) == 1:
            sides = others * 2
        ends = [
            End.IN_SEAM if side is Finish.SEAM else End.TURNED_UNDER for side in sides
        ]
    if one.fold is not None and edge.ring == 0:
        rings = edge_rings(one.piece, one.fold)
        copies = sum(copy.number == edge.number for ring in rings for copy in ring)
    return RunSettings(
        name=_free_name(job, f"{one.piece.name} {edge.label}"),
        tape=_tape(job, one),
        edges=(),
        is_closed=closed,
        start=ends[0],
        end=ends[1],
        turned_under=TURNED_UNDER_MM,
        tie_length=0.0,
        handling_tail=HANDLING_TAIL_MM,
        join=Join.SQUARE,
        inside_corners=InsideCorner.MITRE,
        times=one.cut * copies,
    )


def _free_name(job: Job, name: str) -> str:
    """Return a name that no run of the job file has."""
    while any(same_name(run.name, name) for run in job.runs):
        name += " alone"
    return name


def _tape(job: Job, one: TaggedPiece) -> str:
    """Return the name of the tape; empty while a job file has none yet."""
    if one.settings.tape or not job.tapes:
        return one.settings.tape
    if len(job.tapes) == 1:
        return job.tapes[0].name
    raise TagError(
        f'pieces "{one.settings.name}": has bound edges in no run, and there are '
        f'{len(job.tapes)} tapes; write tape = "..." in the piece, or put the edges in '
        "a run"
    )

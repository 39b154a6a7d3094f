"""What the runs of a size do to one edge."""

from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.curvature.verdict import Verdict
from edgefinder.pattern.finished import FinishedEdge
from edgefinder.pattern.pieces import Edge
from edgefinder.schedule.size_rows import RunRow

_BY_TROUBLE = (Verdict.FLAT, Verdict.STEAM, Verdict.TOO_TIGHT, Verdict.MITRE)


@dataclass(frozen=True, slots=True, eq=False)
class EdgeUse:
    """A bound edge.

    Parameters
    ----------
    finished : FinishedEdge
    times : int
        How often it is bound in one garment.
    runs : tuple of str
        Names of the runs that it belongs to.
    verdict : Verdict
        The worst of its places.
    """

    finished: FinishedEdge
    times: int
    runs: tuple[str, ...]
    verdict: Verdict


def edge_use(edge: Edge, rows: Sequence[RunRow]) -> EdgeUse | None:
    """Collect what the runs do to an edge; None if it is not bound."""
    found = [
        (row, bound.finished)
        for row in rows
        for bound in row.run.edges
        if bound.finished.edge is edge
    ]
    if not found:
        return None
    verdicts = [
        _BY_TROUBLE.index(report.place.verdict)
        for row, _ in found
        for report in row.judged.places
        if report.place.edge.finished.edge is edge
    ]
    return EdgeUse(
        finished=found[0][1],
        times=sum(row.run.settings.times for row, _ in found),
        runs=tuple(dict.fromkeys(row.run.name for row, _ in found)),
        verdict=_BY_TROUBLE[max(verdicts, default=0)],
    )

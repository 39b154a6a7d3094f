"""What the runs of a size do to its edges."""

from collections import defaultdict
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


def edge_uses(rows: Sequence[RunRow]) -> dict[Edge, EdgeUse]:
    """Collect what the runs do to every bound edge; others have no entry."""
    found: defaultdict[Edge, list[tuple[RunRow, FinishedEdge]]] = defaultdict(list)
    trouble: defaultdict[Edge, int] = defaultdict(int)
    for row in rows:
        for bound in row.run.edges:
            found[bound.finished.edge].append((row, bound.finished))
        for report in row.judged.places:
            edge = report.place.edge.finished.edge
            verdict = _BY_TROUBLE.index(report.place.verdict)
            trouble[edge] = max(trouble[edge], verdict)
    return {
        edge: EdgeUse(
            finished=passes[0][1],
            times=sum(row.run.settings.times for row, _ in passes),
            runs=tuple(dict.fromkeys(row.run.name for row, _ in passes)),
            verdict=_BY_TROUBLE[trouble[edge]],
        )
        for edge, passes in found.items()
    }

"""A comparison as plain records."""

from edgefinder.reports.differences import Comparison, Difference
from edgefinder.reports.records import Record


def comparison_record(comparison: Comparison, old: str, new: str) -> Record:
    """Return a comparison as a record.

    Parameters
    ----------
    comparison : Comparison
    old, new : str
        Names of the two files.

    Returns
    -------
    Record
        Every size, with what differs in it.
    """
    return {
        "old": old,
        "new": new,
        "within_mm": comparison.within,
        "same": comparison.is_same,
        "compared": "schedule" if comparison.is_schedule else "pieces and edges",
        "sizes": [
            {
                "size": size.size,
                "change": None if size.change is None else str(size.change),
                "differences": [_difference(d) for d in size.differences],
            }
            for size in comparison.sizes
        ],
    }


def _difference(difference: Difference) -> Record:
    thing = difference.thing
    return {
        "kind": str(thing.kind),
        "piece": thing.piece,
        "edge": thing.edge,
        "run": thing.run,
        "tape": thing.tape,
        "what": difference.what,
        "change": str(difference.change),
        "old": difference.old,
        "new": difference.new,
        "by": difference.by,
    }

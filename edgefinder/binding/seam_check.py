"""Whether the two sides of the seams that a run crosses are equally long."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from edgefinder.binding.junctions import Junction, junctions
from edgefinder.binding.seam_ends import SAME_SEAM_MM
from edgefinder.classifier.tags import TaggedSize
from edgefinder.errors import TagError
from edgefinder.findings import Finding, warning
from edgefinder.memory import Memory

Found = tuple[str, Junction]
"""A size and a junction in it."""


def seam_findings(
    sizes: Sequence[TaggedSize], where: str, memory: Memory | None = None
) -> tuple[Finding, ...]:
    """Compare the two sides of every seam that a run crosses.

    Parameters
    ----------
    sizes : sequence of TaggedSize
    where : str
        The job file, for messages.
    memory : Memory or None
        Edges that were finished before need not be finished again.

    Returns
    -------
    tuple of Finding
        One warning for every junction where no two seams meet, or where their sewing
        lines differ by more than a millimetre, with the size in which they do most.
        Eased seams are such, and are right.

    Raises
    ------
    TagError
        With one line for every run whose groups of edges go opposite ways.
    """
    by_place: defaultdict[tuple[str, int], list[Found]] = defaultdict(list)
    mistakes: list[str] = []
    for size in sizes:
        for run in size.runs:
            try:
                found = junctions(size, run, memory)
            except TagError as error:
                mistakes += [f"{where}: {message}" for message in error.messages]
                continue
            for i, junction in enumerate(found):
                by_place[run.settings.name, i].append((size.size, junction))
    if mistakes:
        raise TagError(*dict.fromkeys(mistakes))
    return tuple(
        warning(code, f'run "{name}"', message)
        for (name, _), several in by_place.items()
        for code, message in _said(several, len(sizes))
    )


def _said(found: Sequence[Found], sizes: int) -> Iterator[tuple[str, str]]:
    """Say what is unlike at one junction, as (code, message)."""
    without = [one for one in found if not one[1].is_seam]
    if without:
        first, second = without[0][1].first, without[0][1].second
        message = (
            f"goes from {first.bound_name} to {second.bound_name}, where no two seams "
            f"meet: {first.seam_name} is {first.finish}, "
            f"{second.seam_name} is {second.finish}"
        )
        yield "no-seam", message + _in_sizes(without[0][0], len(without), sizes)
    lost = [one for one in found if one[1].is_seam and one[1].lengths is None]
    if lost:
        first, second = lost[0][1].first, lost[0][1].second
        message = (
            f"crosses the seam of {first.seam_name} and {second.seam_name}, and "
            "allowances leave nothing of one of them"
        )
        yield "seam-lengths", message + _in_sizes(lost[0][0], len(lost), sizes)
    unlike = [one for one in found if _differs(one[1])]
    if unlike:
        size, junction = max(unlike, key=lambda one: one[1].difference or 0.0)
        one, other = junction.lengths or (0.0, 0.0)
        message = (
            f"crosses the seam of {junction.first.seam_name} and "
            f"{junction.second.seam_name}, whose sewing lines are {one:.1f} and "
            f"{other:.1f} mm long{_in_sizes(size, len(unlike), sizes)}: "
            f"{abs(one - other):.1f} mm to ease in, or other edges belong together"
        )
        yield "seam-lengths", message


def _differs(junction: Junction) -> bool:
    apart = junction.difference
    return junction.is_seam and apart is not None and apart > SAME_SEAM_MM


def _in_sizes(size: str, count: int, sizes: int) -> str:
    if sizes == 1:
        return ""
    more = f" and {count - 1} more" if count > 1 else ""
    return f" (size {size}{more})"

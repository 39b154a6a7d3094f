"""Check that the edges of a run follow each other, and group them by piece."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from edgefinder.classifier.job import Finish, RunSettings
from edgefinder.classifier.rings import Copy, edge_rings
from edgefinder.pattern.pieces import Piece

Use = tuple[Piece, Copy]


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Edges of one cut piece that a run takes without leaving it.

    Parameters
    ----------
    piece : Piece
    copies : tuple of Copy
        In the order of the outline, fabric on the left.
    is_against : bool
        Whether the run goes the other way round.
    is_whole : bool
        Whether they are a whole outline.
    """

    piece: Piece
    copies: tuple[Copy, ...]
    is_against: bool
    is_whole: bool


def group_uses(
    run: RunSettings,
    uses: Sequence[Use],
    finishes: Mapping[str, tuple[Finish, ...]],
    folds: Mapping[str, int | None],
) -> tuple[tuple[Group, ...], list[str]]:
    """Group the edges of a run by the piece that they lie on.

    Parameters
    ----------
    run : RunSettings
    uses : sequence of (Piece, Copy)
        In sewing order.
    finishes : mapping of str to tuple of Finish
    folds : mapping of str to int or None
        Both by the name of the piece.

    Returns
    -------
    tuple of Group
    list of str
        One line for each place where two edges do not meet.
    """
    groups: list[Group] = []
    mistakes: list[str] = []
    for piece, ring, copies in _along_rings(uses, folds):
        group, wrong = _group(piece, ring, copies)
        mistakes += wrong
        groups.append(group)
    if not mistakes:
        mistakes = _seam_mistakes(run, groups, finishes, folds)
    return tuple(groups), mistakes


def _along_rings(
    uses: Sequence[Use], folds: Mapping[str, int | None]
) -> list[tuple[Piece, tuple[Copy, ...], list[Copy]]]:
    """Put uses together that follow each other on one outline of one cut piece."""
    found: list[tuple[Piece, tuple[Copy, ...], list[Copy]]] = []
    for piece, copy in uses:
        rings = edge_rings(piece, folds[piece.name])
        last = found[-1] if found else None
        if last is not None and last[0] is piece:
            same = [copy, Copy(copy.number)]  # an edge across the fold stands once
            here = next((c for c in same if c in last[1]), None)
            if here is not None and here not in last[2]:
                last[2].append(here)
                continue
        ring = next((r for r in rings if copy in r), None)
        if ring is None:
            copy = Copy(copy.number)  # noqa: PLW2901 - the same edge, unfolded
            ring = next((r for r in rings if copy in r), None)
        if ring is None:  # the fold itself: the tags of its piece complain of it
            continue
        found.append((piece, ring, [copy]))
    return found


def _group(
    piece: Piece, ring: tuple[Copy, ...], copies: Sequence[Copy]
) -> tuple[Group, list[str]]:
    count = len(ring)
    at = [ring.index(copy) for copy in copies]
    steps = [(b - a) % count for a, b in pairwise(at)]
    is_against = count > 2 and steps.count(count - 1) > steps.count(1)
    wanted = count - 1 if is_against else 1
    onwards = -1 if is_against else 1
    mistakes = [
        f"edges: {_name(piece, copies[i])} and {_name(piece, copies[i + 1])} do not "
        f"meet; between them lies edge {_label(piece, ring[(at[i] + onwards) % count])}"
        for i, step in enumerate(steps)
        if step != wanted
    ]
    ordered = tuple(reversed(copies)) if is_against else tuple(copies)
    return Group(piece, ordered, is_against, is_whole=len(copies) == count), mistakes


def _seam_mistakes(
    run: RunSettings,
    groups: Sequence[Group],
    finishes: Mapping[str, tuple[Finish, ...]],
    folds: Mapping[str, int | None],
) -> list[str]:
    """Say where a run leaves a piece at an end that is not a seam."""
    if len(groups) == 1:
        return _lone_mistakes(run, groups[0])
    mistakes = []
    for i, group in enumerate(groups):
        ends = _ends(group, folds[group.piece.name])
        on_seam = [finishes[group.piece.name][n - 1] is Finish.SEAM for n in ends]
        if group.is_whole:
            on_seam = [False, False]
        is_middle = run.is_closed or 0 < i < len(groups) - 1
        needed = 2 if is_middle else 1
        if sum(on_seam) < needed:
            other = (
                groups[(i + 1) % len(groups)] if i + 1 < len(groups) else groups[i - 1]
            )
            mistakes.append(
                f"edges: {_name(group.piece, group.copies[-1])} and "
                f"{_name(other.piece, other.copies[0])} do not meet: a run goes from "
                "piece to piece at a seam, and there is none at the end of the first"
            )
    return mistakes


def _lone_mistakes(run: RunSettings, group: Group) -> list[str]:
    if group.is_whole or not run.is_closed:
        return []
    first, last = (_name(group.piece, group.copies[i]) for i in (0, -1))
    message = (
        f"closed: {last} does not meet {first}; name the edges between them or write "
        "closed = false"
    )
    return [message]


def _ends(group: Group, fold: int | None) -> tuple[int, int]:
    """Return the numbers of the edges before and after a group."""
    first, last = group.copies[0], group.copies[-1]
    ring = next(r for r in edge_rings(group.piece, fold) if first in r)
    before = ring[ring.index(first) - 1]
    after = ring[(ring.index(last) + 1) % len(ring)]
    return before.number, after.number


def _name(piece: Piece, copy: Copy) -> str:
    mirrored = " mirrored" if copy.mirrored else ""
    return f'"{piece.name} {_label(piece, copy)}{mirrored}"'


def _label(piece: Piece, copy: Copy) -> str:
    return piece.edges[copy.number - 1].label

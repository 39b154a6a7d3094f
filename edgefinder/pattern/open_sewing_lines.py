"""Sewing lines that are left open where they meet the outline.

A half on the fold has its sewing line from fold to fold, and one that ends at a hem
from hem to fold. Such a line ends on the outline and runs evenly beside all edges but
those that it ends on. Others that are called sewing lines are told.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final

from edgefinder.errors import one_line
from edgefinder.findings import Finding, counted, note, warning
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.beside_outlines import is_no_outline
from edgefinder.pattern.grain_lines import DEFAULT_GRAIN_LINES
from edgefinder.pattern.line_owners import LineOwners, Owner
from edgefinder.pattern.measured_allowances import measure_gaps
from edgefinder.pattern.on_outline import ON_THE_OUTLINE_MM, nearest_places
from edgefinder.pattern.open_chains import OpenChain, open_chains
from edgefinder.pattern.outlines import PieceOutline
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.selectors import Mark, Selector, matches_any
from edgefinder.pattern.settings import FindingSettings
from edgefinder.pattern.sewing_names import CALLED_SEWING, CALLED_TOPSTITCHING

NEARLY_ALL: Final = 0.9
"""Of the length of the edges that a sewing line does not end on, beside which it runs.
Less than all: a short edge between two allowances has nothing beside it."""

LEAST_SHARE: Final = 0.25
"""Of the outline: a shorter line does not run beside all edges but two. Half a circle
has 0.6 of its outline without the fold, the same less a wide allowance half of that."""

_MARK_WORDS: Final = ("notch", "grain", "stitch")
_SEWING_WORDS: Final = ("sew", "stitch", "seam")
"""One of them stands in every name that a selector looks for."""


def open_sewing_lines(
    pieces: Sequence[Piece],
    outlines: Sequence[PieceOutline],
    drawing: Drawing,
    settings: FindingSettings,
) -> tuple[list[list[Path]], tuple[Finding, ...]]:
    """Find sewing lines that end on the outlines of pieces.

    Parameters
    ----------
    pieces : sequence of Piece
        Of one drawing.
    outlines : sequence of PieceOutline
        Of the same pieces. One that has a closed sewing line has no other one.
    drawing : Drawing
    settings : FindingSettings

    Returns
    -------
    list of list of Path
        Of each piece.
    tuple of Finding
        A note for each of them, and one warning of all other lines that may be some.
    """
    lines: list[list[Path]] = [[] for _ in pieces]
    chains = open_chains(_others(outlines, drawing, settings), settings.join_tolerance)
    if not chains:
        return lines, ()
    owners = LineOwners(pieces, outlines, drawing, settings)
    least = LEAST_SHARE * min(piece.perimeter for piece in pieces)
    taken: defaultdict[int, list[tuple[OpenChain, Owner]]] = defaultdict(list)
    left: list[OpenChain] = []
    for chain in chains:
        own = None if chain.length < least else _owner(chain, pieces, outlines, owners)
        if own is None:
            left.append(chain)
        else:
            taken[own.index].append((chain, own))
    findings = []
    doubtful = []
    for index, several in taken.items():
        if len(several) > 1:
            doubtful += [chain for chain, _ in several]
            continue
        ((chain, owner),) = several
        lines[index] = [line.path for line in chain.lines]
        message = (
            f"runs within {owner.far:.0f} mm inside another line and ends on it: its "
            "sewing line"
        )
        findings.append(note("sewing-line", chain.lines[0].where, message))
    # What outlines are called too, by their layer perhaps, tells nothing of a line.
    around = [line for outline in outlines for line in outline.outer.sources]
    called = [one for one in CALLED_SEWING if not any(map(one.matches, around))]
    left = [
        chain
        for chain in left
        if _may_be_called(chain.lines[0], _SEWING_WORDS)
        and matches_any(chain.lines[0], called)
    ]
    doubtful += owners.without_sewing(left)
    return lines, (*findings, *_doubts(doubtful, around))


def _others(
    outlines: Sequence[PieceOutline], drawing: Drawing, settings: FindingSettings
) -> list[DrawnLine]:
    """Return the open lines that no outline is made of and that are no other marks."""
    used = {
        id(line)
        for outline in outlines
        for ring in (outline.outer, *outline.cutouts)
        for line in ring.sources
    }
    marks = (*DEFAULT_GRAIN_LINES, *CALLED_TOPSTITCHING)
    chosen = (*settings.ignore, *settings.marker_lines, *settings.notches)
    return [
        line
        for line in drawing.lines
        if not line.path.closed
        and id(line) not in used
        and not matches_any(line, chosen)
        and not (_may_be_called(line, _MARK_WORDS) and matches_any(line, marks))
        and not (_may_be_called(line, _MARK_WORDS) and is_no_outline(line, settings))
    ]


def _may_be_called(line: DrawnLine, words: Sequence[str]) -> bool:
    """Whether a word stands anywhere in what a line is marked with: quick to say."""
    marks = (line.label, line.layer, line.id, *line.groups, *line.classes)
    text = " ".join(filter(None, marks)).casefold()
    return any(word in text for word in words)


def _owner(
    chain: OpenChain,
    pieces: Sequence[Piece],
    outlines: Sequence[PieceOutline],
    owners: LineOwners,
) -> Owner | None:
    """Return the piece whose sewing line a chain is."""
    around = (
        one
        for one in owners.of(chain.lines)
        if not outlines[one.index].sewing and _may_own(owners, chain, pieces, one)
    )
    return next((one for one in around if _is_beside(pieces[one.index], chain)), None)


def _may_own(
    owners: LineOwners, chain: OpenChain, pieces: Sequence[Piece], one: Owner
) -> bool:
    """Whether lines are of the size of a piece, if they say one."""
    line, size = chain.lines[0], pieces[one.index].size
    return (
        size is None or owners.said_size(line) is None or (owners.size_of(line) == size)
    )


def _is_beside(piece: Piece, chain: OpenChain) -> bool:
    """Whether lines run beside all edges of a piece but those that they end on."""
    if chain.ends is None or chain.length < LEAST_SHARE * piece.perimeter:
        return False
    outer = [edge for edge in piece.edges if edge.ring == 0]
    ended_on = _ended_on(piece, outer, chain.ends)
    others = [edge for edge in outer if edge.number not in ended_on]
    if not ended_on or len(others) < len(ended_on):
        return False
    gaps = measure_gaps(piece.edges, [line.path for line in chain.lines])
    beside = sum(
        edge.length
        for edge in others
        if (gap := gaps[edge.number - 1]) is not None and gap.is_even and gap.most > 0
    )
    return beside >= NEARLY_ALL * sum(edge.length for edge in others)


def _ended_on(piece: Piece, outer: Sequence[Edge], ends: Complexes) -> set[int]:
    """Return the one edge that both ends lie on, or two that meet at a corner."""
    on: list[set[int]] = []
    for place, apart in nearest_places(piece, ends):
        if apart > ON_THE_OUTLINE_MM or place.number > len(outer):
            return set()
        before, after = piece.neighbours(place.number)
        edge, near = piece.edges[place.number - 1], {place.number}
        if place.s <= ON_THE_OUTLINE_MM:
            near.add(before.number)
        if edge.length - place.s <= ON_THE_OUTLINE_MM:
            near.add(after.number)
        on.append(near)
    if on[0] & on[1]:
        return {min(on[0] & on[1])}
    for first in sorted(on[0]):
        beside = {edge.number for edge in piece.neighbours(first)} & on[1]
        if beside:
            return {first, min(beside)}
    return set()


def _doubts(
    chains: Sequence[OpenChain], around: Sequence[DrawnLine]
) -> Iterator[Finding]:
    """Warn of lines that may be sewing lines, all in one."""
    lines = [line for chain in chains for line in chain.lines]
    if not lines:
        return
    what = "a sewing line and is" if len(lines) == 1 else "sewing lines and are"
    selector = _chooses(lines, around)
    do = (
        "give a layer of their own to those that are, and choose it with sewing_lines"
        if selector is None
        else f'if so, write sewing_lines = ["{selector.text}"]'
    )
    message = (
        f"{counted(len(lines), 'open line')} inside outlines may be {what} not "
        f"measured; {do} in the job file"
    )
    yield warning("open-sewing-line", lines[0].where, message)


def _chooses(
    lines: Sequence[DrawnLine], around: Sequence[DrawnLine]
) -> Selector | None:
    """Return a selector for lines and for none of the outlines around them."""
    first = lines[0]
    exact = [
        Selector(mark, one_line(name))
        for mark, name in ((Mark.LABEL, first.label), (Mark.LAYER, first.layer))
        if name and not set("*?[") & set(name)
    ]
    called = {one.mark for one in CALLED_SEWING if one.matches(first)}
    by_name = [one for one in exact if one.mark in called]
    for selector in (*by_name, *CALLED_SEWING, *exact):
        if all(map(selector.matches, lines)) and not any(map(selector.matches, around)):
            return selector
    return None

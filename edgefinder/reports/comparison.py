"""Comparing two patterns: what is longer, shorter, new, gone or newly too tight.

Everything is paired by name: sizes as they are written; pieces, runs and tapes without
case; edges by what the job file calls them, else by number.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from edgefinder.reports.compared_records import (
    ComparedEdge,
    ComparedFabric,
    ComparedPattern,
    ComparedPiece,
    ComparedSize,
    ComparedTape,
)
from edgefinder.reports.comparison_runs import run_differences
from edgefinder.reports.differences import (
    Comparison,
    Difference,
    Kind,
    Pair,
    SizeComparison,
    Thing,
    amounts,
    choices,
    lengths,
    pairs,
    plain,
    widths,
)


def compare_patterns(
    old: ComparedPattern, new: ComparedPattern, within: float
) -> Comparison:
    """Compare two patterns size by size.

    Parameters
    ----------
    old, new : ComparedPattern
        Runs, tapes and fabric are compared if both have them.
    within : float
        Millimetres; lengths that differ by no more are equal. Chosen widths, counts,
        verdicts and the cloth to buy have no tolerance.

    Returns
    -------
    Comparison
    """
    is_schedule = old.is_schedule and new.is_schedule
    if not is_schedule:
        old, new = _pieces_only(old), _pieces_only(new)
    sizes = []
    for pair in pairs(old.sizes, new.sizes, lambda size: size.name):
        name = pair.either.name
        nothing = ComparedSize(name)
        found = tuple(_size(pair.old or nothing, pair.new or nothing, within))
        sizes.append(SizeComparison(name, pair.change, found))
    return Comparison(within, is_schedule, tuple(sizes))


def piece_names(pattern: ComparedPattern) -> dict[str, str]:
    """Return the names of the pieces of all sizes, by the names they are paired by."""
    return {plain(p.name): p.name for size in pattern.sizes for p in size.pieces}


def _pieces_only(pattern: ComparedPattern) -> ComparedPattern:
    """Leave out what a drawing does not know."""
    sizes = tuple(
        ComparedSize(
            size.name,
            tuple(
                replace(
                    piece,
                    cut=None,
                    edges=tuple(
                        ComparedEdge(edge.number, edge.label, edge.length)
                        for edge in piece.edges
                    ),
                )
                for piece in size.pieces
            ),
        )
        for size in pattern.sizes
    )
    return ComparedPattern(sizes, is_schedule=False)


def _size(old: ComparedSize, new: ComparedSize, within: float) -> Iterator[Difference]:
    before: dict[tuple[str, str], str] = {}
    after: dict[tuple[str, str], str] = {}
    for piece in pairs(old.pieces, new.pieces, lambda piece: plain(piece.name)):
        edges = edge_pairs(*piece.both(lambda p: p.edges))
        for edge in edges:
            name, label = plain(piece.either.name), edge_label(edge)
            for side, keys in ((edge.old, before), (edge.new, after)):
                if side is not None:
                    keys[name, side.label] = label
        yield from _piece(piece, edges, within)
    yield from run_differences((old, before), (new, after), within)
    for tape in pairs(old.tapes, new.tapes, lambda tape: plain(tape.name)):
        yield from _tape(tape, within)
    for cloth in pairs(old.fabric, new.fabric, lambda fabric: plain(fabric.tape)):
        yield from _fabric(cloth)


# Pieces and edges


def edge_pairs(
    old: Sequence[ComparedEdge] | None, new: Sequence[ComparedEdge] | None
) -> list[Pair[ComparedEdge]]:
    """Put the edges of a piece together.

    Parameters
    ----------
    old, new : sequence of ComparedEdge, or None
        None where the piece is not there.

    Returns
    -------
    list of Pair
        By label. What is left over by number, where one side has a name for what is
        a plain number on the other: an edge may have been given its name between two
        releases. Where edges were split, numbers have moved, and nothing is guessed.
    """
    before, after = list(enumerate(old or ())), list(enumerate(new or ()))
    labelled = pairs(before, after, lambda item: item[1].label)
    alone = [pair for pair in labelled if pair.change is not None]
    if all(_numbers_stand([item[1] for item in side]) for side in (before, after)):
        gone = [pair.old for pair in alone if pair.old is not None]
        came = [pair.new for pair in alone if pair.new is not None]
        alone = [
            half
            for pair in pairs(gone, came, lambda item: item[1].number)
            for half in _by_one_name(pair)
        ]
    both = [pair for pair in labelled if pair.change is None]
    together = sorted(
        (*both, *alone), key=lambda pair: (pair.new is None, pair.either[0])
    )
    return [Pair(*pair.both(lambda item: item[1])) for pair in together]


def _numbers_stand(edges: Sequence[ComparedEdge]) -> bool:
    """Whether every edge that has no name is called by its number in the piece."""
    return all(_is_plain(edge) or not edge.label[:1].isdigit() for edge in edges)


def _is_plain(edge: ComparedEdge) -> bool:
    return edge.label == str(edge.number)


def _by_one_name(
    pair: Pair[tuple[int, ComparedEdge]],
) -> list[Pair[tuple[int, ComparedEdge]]]:
    """Take a pair of equal numbers apart if its edges have two names."""
    if pair.change is not None or True in pair.both(lambda item: _is_plain(item[1])):
        return [pair]
    return [Pair(None, pair.new), Pair(pair.old, None)]


def edge_label(edge: Pair[ComparedEdge]) -> str:
    """Return what an edge is called: its name, if one side has one."""
    sides = [side for side in (edge.new, edge.old) if side is not None]
    named = [side.label for side in sides if not _is_plain(side)]
    return (named or [edge.either.label])[0]


def _piece(
    piece: Pair[ComparedPiece], edges: Sequence[Pair[ComparedEdge]], within: float
) -> Iterator[Difference]:
    name = piece.either.name
    thing = Thing(Kind.PIECE, piece=name)
    perimeters = piece.both(lambda p: p.perimeter)
    yield from lengths(thing, "perimeter_mm", *perimeters, within)
    if piece.change is not None:
        return
    yield from amounts(thing, "cut", *piece.both(lambda p: p.cut))
    for edge in edges:
        thing = Thing(Kind.EDGE, piece=name, edge=edge_label(edge))
        yield from _edge(thing, edge, within)


def _edge(
    thing: Thing, edge: Pair[ComparedEdge], within: float
) -> Iterator[Difference]:
    yield from lengths(thing, "length_mm", *edge.both(lambda e: e.length), within)
    if edge.change is None:
        bound = edge.both(lambda e: e.bound_length)
        yield from choices(thing, "finish", *edge.both(lambda e: e.finish))
        yield from widths(thing, "allowance_mm", *edge.both(lambda e: e.allowance))
        yield from lengths(thing, "bound_length_mm", *bound, within)


# Tape and cloth


def _tape(tape: Pair[ComparedTape], within: float) -> Iterator[Difference]:
    thing = Thing(Kind.TAPE, tape=tape.either.name)
    if tape.change is None:
        finished = tape.both(lambda t: t.finished_width)
        yield from widths(thing, "finished_width_mm", *finished)
        yield from widths(thing, "cut_width_mm", *tape.both(lambda t: t.cut_width))
        yield from choices(thing, "fold", *tape.both(lambda t: t.fold))
        yield from choices(thing, "grain", *tape.both(lambda t: t.grain))
        yield from choices(thing, "cloth", *tape.both(lambda t: t.cloth))
    yield from lengths(thing, "total_mm", *tape.both(lambda t: t.total), within)


def _fabric(cloth: Pair[ComparedFabric]) -> Iterator[Difference]:
    thing = Thing(Kind.FABRIC, tape=cloth.either.tape)
    if cloth.change is None:
        usable = cloth.both(lambda c: c.usable_width)
        yield from widths(thing, "usable_width_mm", *usable)
        yield from widths(thing, "strip_seam_mm", *cloth.both(lambda c: c.strip_seam))
    least_waste = cloth.both(lambda c: c.least_waste)
    least_cloth = cloth.both(lambda c: c.least_cloth)
    yield from amounts(thing, "least_waste_buy_mm", *least_waste)
    yield from amounts(thing, "least_cloth_buy_mm", *least_cloth)
    yield from amounts(thing, "packets", *cloth.both(lambda c: c.packets))

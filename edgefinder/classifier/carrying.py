"""Carrying the edge numbers of a job file over to every size and to a changed drawing.

The numbers in a job file are those of one size: the one in which the edges were
numbered, or else the first. That size is matched with what the job file keeps of the
edges as they were, and each other size with its neighbour, outwards from there. What
is not sure is an error where the job file names the edge, and never a guess.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain

from edgefinder.classifier.job import AsDrawn, Job, PieceSettings, SameEdge
from edgefinder.classifier.matching.edge_traits import traits_from_rows
from edgefinder.classifier.matching.piece_matching import (
    EdgeDoubt,
    PieceMatch,
    match_pieces,
)
from edgefinder.classifier.numbers_used import (
    numbers_used,
    texts_in_piece,
    texts_in_runs,
)
from edgefinder.classifier.renamed_pieces import with_names_of_job
from edgefinder.classifier.size_shapes import SizeShapes
from edgefinder.classifier.sizes import ONE_SIZE, SizePieces, same_name
from edgefinder.errors import TagError, as_typed, did_you_mean
from edgefinder.findings import Finding, warning
from edgefinder.memory import Memory
from edgefinder.pattern.pieces import Edge, Piece

MOST_LISTED = 6
"""Changes of numbers told one by one."""


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """What became of a piece that a job file has numbered.

    Parameters
    ----------
    name : str
        In the job file.
    new_numbers : mapping of int to tuple of int
        Every number of the job file, and those that the edge has now.
    """

    name: str
    new_numbers: Mapping[int, tuple[int, ...]]

    @property
    def is_renumbered(self) -> bool:
        """Whether any number means another edge now."""
        return any(new != (old,) for old, new in self.new_numbers.items())


@dataclass(frozen=True, slots=True)
class EdgeInDoubt:
    """An edge that the job file names and that cannot be told for sure in a size.

    Parameters
    ----------
    piece : str
    edges : frozenset of int
        Its numbers in the job file.
    size : str
    count : int
        How many edges the piece has there.
    message : str
    why : str
        The part of it that says what it may be.
    choices : tuple of tuple of int
        What it may be there: numbers as that size is drawn, the likeliest first.
    """

    piece: str
    edges: frozenset[int]
    size: str
    count: int
    message: str
    why: str
    choices: tuple[tuple[int, ...], ...]


class InDoubtError(TagError):
    """Edges that the job file names cannot be told for sure."""

    def __init__(self, doubts: Sequence[EdgeInDoubt], *messages: str) -> None:
        super().__init__(*messages)
        self.doubts = tuple(doubts)


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """The pieces of every size with the numbers by which the job file knows them.

    Parameters
    ----------
    sizes : tuple of SizePieces
    changed : tuple of Changed
        Every piece whose edges the job file keeps as they were.
    drawn_names : mapping of str to str
        What the drawing calls a piece that has another name in the job file.
    findings : tuple of Finding
    """

    sizes: tuple[SizePieces, ...]
    changed: tuple[Changed, ...]
    drawn_names: Mapping[str, str]
    findings: tuple[Finding, ...]


def carry_numbers(
    job: Job, sizes: Sequence[SizePieces], memory: Memory | None = None
) -> Carried:
    """Give the edges of every size the numbers of the job file.

    Parameters
    ----------
    job : Job
    sizes : sequence of SizePieces
    memory : Memory or None
        Of the same job file and the same sizes before.

    Returns
    -------
    Carried
        A piece that the drawing calls otherwise has the name of the job file.

    Raises
    ------
    InDoubtError
        With one line for every edge that the job file names and that cannot be told
        for sure.
    """
    memory = memory or Memory()
    job = replace(job, pieces=tuple(said for said in job.pieces if said.name))
    shapes_said = tuple((said.name, said.as_drawn) for said in job.pieces)
    known = memory.recall(
        ("named", tuple(sizes), shapes_said), lambda: with_names_of_job(job, sizes)
    )
    renamed = known.sizes
    findings, mistakes = list(known.findings), list(known.mistakes)
    names = list(dict.fromkeys(p.name for size in renamed for p in size.pieces))
    said = {name: _said_of(job, name) for name in names}
    pieces = tuple(piece for size in renamed for piece in size.pieces)
    first = {piece.name: piece.size for piece in reversed(pieces)}
    numbered_in = {
        name: one.as_drawn.size
        for name, one in said.items()
        if one.as_drawn is not None and one.as_drawn.size != first[name]
    }
    shapes = memory.recall(
        ("shapes", pieces, frozenset(numbered_in.items())),
        lambda: SizeShapes(pieces, numbered_in),
    )
    in_runs = texts_in_runs(job, names)
    numbered: dict[int, Piece] = {}
    changed: list[Changed] = []
    doubts: list[EdgeInDoubt] = []
    for name in names:
        own = said[name]
        used = numbers_used(own, [*in_runs[name], *texts_in_piece(own)])
        one = memory.recall(
            ("carried", shapes, name, own.as_drawn, own.same_edges),
            partial(_Carrying, own, name, shapes),
        )
        unsure = [doubt for doubt in one.doubts if used & doubt.edges]
        doubts += unsure
        mistakes += [f"{job.path}: {doubt.message}" for doubt in unsure]
        mistakes += [f'{job.path}: pieces "{name}": {line}' for line in one.mistakes]
        numbered |= one.numbered
        if one.changed is not None:
            changed.append(one.changed)
            if one.changed.is_renumbered and not unsure:
                findings.append(_changed_finding(one.changed, job))
    if mistakes:
        raise InDoubtError(doubts, *dict.fromkeys(mistakes))
    carried = tuple(
        SizePieces(size.size, tuple(numbered[id(piece)] for piece in size.pieces))
        for size in renamed
    )
    return Carried(carried, tuple(changed), known.drawn_names, tuple(findings))


class _Carrying:
    """One piece on its way through all sizes."""

    def __init__(self, said: PieceSettings, name: str, shapes: SizeShapes) -> None:
        self.doubts: list[EdgeInDoubt] = []
        self.mistakes: list[str] = []
        self.numbered: dict[int, Piece] = {}
        self.changed: Changed | None = None
        self._name = name
        self._shapes = shapes
        self._said = said.same_edges
        drawn, after, before = shapes.outwards(name)
        self._expect_numbers(said.as_drawn, drawn)
        self._expect_sizes([drawn, *after, *before])
        model = drawn
        if said.as_drawn is not None:
            model = self._as_numbered(said.as_drawn, drawn)
        self.numbered[id(drawn)] = model
        for pieces in (after, before):
            self._outwards(drawn, pieces)

    def _expect_numbers(self, as_drawn: AsDrawn | None, drawn: Piece) -> None:
        """Note what a person says of numbers that mean no other edge; follow the rest.

        Without `as_drawn` the numbers are those of the size in which it is drawn.
        """
        count = max(len(drawn.edges), len(as_drawn.rows) if as_drawn else 0)
        size = _size_of(drawn)
        right = []
        for one in self._said:
            key = _key_of(one)
            if one.edge > count:
                self.mistakes.append(f"{key}: its edges are numbered 1 to {count}")
            elif as_drawn is None and one.size == size and one.numbers != (one.edge,):
                message = f"edges have the numbers of size {size}; take it out"
                self.mistakes.append(f"{key}: {message}")
            else:
                right.append(one)
        self._said = tuple(right)

    def _expect_sizes(self, pieces: Sequence[Piece]) -> None:
        """Note what a person says of sizes and edges that are not there."""
        by_size = {_size_of(piece): piece for piece in pieces}
        for one in self._said:
            there = by_size.get(one.size)
            key = _key_of(one)
            if there is None:
                near = did_you_mean(one.size, by_size)
                self.mistakes.append(f"{key}: it has no such size{near}")
            elif max(one.numbers) > len(there.edges):
                count = len(there.edges)
                self.mistakes.append(f"{key}: it has {count} edges there")

    def _as_numbered(self, drawn: AsDrawn, piece: Piece) -> Piece:
        """Give the model the numbers that its edges had when the job file was made."""
        match = match_pieces(traits_from_rows(drawn.rows), self._shapes.of(piece))
        numbers = [(n,) for n in range(1, len(drawn.rows) + 1)]
        carried = self._matched(match, numbers, piece, "in the drawing as it is now")
        new = {
            old: tuple(edge.number for edge in carried.edges if old in edge.known_as)
            for (old,) in numbers
        }
        self.changed = Changed(self._name, new)
        return carried

    def _outwards(self, model: Piece, pieces: Iterable[Piece]) -> None:
        """Carry numbers from size to size, each from the nearest one that has all."""
        known = model
        for piece in pieces:
            match = self._shapes.match(known, piece)
            numbers = [edge.known_as for edge in self.numbered[id(known)].edges]
            where = f"in size {piece.size}, from size {known.size}"
            numbered = self._matched(match, numbers, piece, where)
            self.numbered[id(piece)] = numbered
            if all(len(edge.known_as) == 1 for edge in numbered.edges):
                known = piece

    def _matched(
        self,
        match: PieceMatch,
        numbers: Sequence[tuple[int, ...]],
        piece: Piece,
        where: str,
    ) -> Piece:
        """Write numbers on the edges of a piece; note where they are in doubt."""
        said = {o.edge: o.numbers for o in self._said if o.size == _size_of(piece)}
        known: list[set[int]] = [set() for _ in piece.edges]
        for old, targets in zip(numbers, match.targets, strict=True):
            for new in targets:
                known[new] |= set(old) - said.keys()
        unsure = {tuple(numbers[one.edge]): one for one in match.doubts}
        for number in set(chain.from_iterable(said.values())):
            if number <= len(known):
                taken = known[number - 1]
                for other in taken - {n for own in unsure for n in own}:
                    text = f"it was taken for edge {number} there"
                    unsure[other,] = EdgeDoubt(other, text)
                known[number - 1] = {e for e, each in said.items() if number in each}
        _fill(known, {number for own in numbers for number in own})
        for own, doubt in unsure.items():
            if not said.keys() >= set(own):
                self.doubts.append(self._doubt(own, piece, where, doubt))
        edges = tuple(
            _with_numbers(edge, own)
            for edge, own in zip(piece.edges, known, strict=True)
        )
        return replace(piece, edges=edges)

    def _doubt(
        self, own: tuple[int, ...], piece: Piece, where: str, doubt: EdgeDoubt
    ) -> EdgeInDoubt:
        label = "+".join(map(str, own))
        size, count = _size_of(piece), len(piece.edges)
        message = (
            f'edge {label} of "{self._name}" cannot be told for sure {where}: '
            f"{doubt.text}; same_edges of the piece can say which edge it is there"
        )
        choices = tuple(tuple(new + 1 for new in one) for one in doubt.choices)
        return EdgeInDoubt(
            self._name, frozenset(own), size, count, message, doubt.text, choices
        )


def _fill(known: Sequence[set[int]], numbers: set[int]) -> None:
    """Give edges that have no number one that no other has."""
    left = sorted(numbers - set().union(*known))
    for own in known:
        if not own:
            spare = left.pop(0) if left else max(numbers.union(*known)) + 1
            own.add(spare)


def _key_of(said: SameEdge) -> str:
    return f'same_edges: "{said.edge} in {said.size}"'


def _size_of(piece: Piece) -> str:
    return piece.size or ONE_SIZE


def _with_numbers(edge: Edge, numbers: set[int]) -> Edge:
    known = tuple(sorted(numbers))
    return edge if known in {(), (edge.number,)} else replace(edge, numbers=known)


def _said_of(job: Job, name: str) -> PieceSettings:
    said = (one for one in job.pieces if same_name(one.name, name))
    return next(said, PieceSettings(name))


def _changed_finding(changed: Changed, job: Job) -> Finding:
    told = [
        f"edge {old} is now {' and '.join(map(str, new))}"
        for old, new in changed.new_numbers.items()
        if new != (old,)
    ]
    more = len(told) - MOST_LISTED
    listed = ", ".join(told[:MOST_LISTED]) + (f" and {more} more" if more > 0 else "")
    message = (
        f"has been drawn anew: {listed}; the tags were matched by shape; "
        f'"edgefinder tag {as_typed(job.path.name)} --refresh" writes the new numbers'
    )
    return warning("renumbered", f'"{changed.name}"', message)

"""What a drawing holds for each piece: its lines, texts and points by layer."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnPoint, DrawnText
from edgefinder.importers.interchange.layers import Layer, layer_number

Groups = tuple[str, ...]

Item = TypeVar("Item", DrawnLine, DrawnText, DrawnPoint)
Marked = TypeVar("Marked", DrawnLine, DrawnPoint)


@dataclass(frozen=True, slots=True, eq=False)
class Contents:
    """What one block draws.

    Parameters
    ----------
    block : str
        Its name.
    where : str
        File and block, for messages.
    copies : int
        How often it is inserted; what follows is that of the first.
    lines : mapping of int to tuple of DrawnLine
        By the number of the layer; None for other layers.
    texts : tuple of DrawnText
    points : mapping of int to tuple of DrawnPoint
        As ``lines``.
    turn : Affine
        How the first insert turns, mirrors and stretches what the block holds.
    """

    block: str
    where: str
    copies: int
    lines: Mapping[int | None, tuple[DrawnLine, ...]]
    texts: tuple[DrawnText, ...]
    points: Mapping[int | None, tuple[DrawnPoint, ...]]
    turn: Affine

    @property
    def boundary_layer(self) -> Layer:
        """The layer of its outline: 1, or that of the sewing line where 1 is empty."""
        return Layer.BOUNDARY if self.lines_on(Layer.BOUNDARY) else Layer.SEWING

    def lines_on(self, layer: int) -> tuple[DrawnLine, ...]:
        """Return the lines of one layer."""
        return self.lines.get(layer, ())

    def points_on(self, layer: int) -> tuple[DrawnPoint, ...]:
        """Return the points of one layer."""
        return self.points.get(layer, ())


def contents_of(drawing: Drawing) -> tuple[tuple[Contents, ...], tuple[DrawnText, ...]]:
    """Sort a drawing by pieces.

    Returns
    -------
    tuple of Contents
        One for each block that draws an outline, in drawing order.
    tuple of DrawnText
        Texts that stand in none of them.
    """
    blocks = dict.fromkeys(piece_blocks(drawing))
    lines = _sorted(drawing.lines, blocks)
    texts = _sorted(drawing.texts, blocks)
    points = _sorted(drawing.points, blocks)
    found = []
    for groups in blocks:
        own = lines[groups]
        handles = Counter(line.id for line in own)
        # A block that is inserted twice draws everything twice, copy after copy.
        copies = min(handles.values()) if None not in handles else 1
        found.append(
            Contents(
                block=groups[-1],
                where=f'{drawing.name}, block "{groups[-1]}"',
                copies=copies,
                lines=_by_layer(_first(own, copies)),
                texts=_first(texts[groups], copies),
                points=_by_layer(_first(points[groups], copies)),
                turn=drawing.turns.get(groups, Affine()),
            )
        )
    return tuple(found), tuple(texts[()])


def piece_blocks(drawing: Drawing) -> tuple[Groups, ...]:
    """Return the blocks that draw an outline, in drawing order; some several times.

    That is one on layer 1. In a block without, and not inside one that has one, it is
    the sewing line on layer 14.
    """
    numbers: dict[str | None, int | None] = {}
    on_layer: dict[int, list[Groups]] = {Layer.BOUNDARY: [], Layer.SEWING: []}
    for line in drawing.lines:
        if line.layer not in numbers:
            numbers[line.layer] = layer_number(line.layer)
        number = numbers[line.layer]
        if line.groups and number in on_layer:
            on_layer[number].append(line.groups)
    bounded = set(on_layer[Layer.BOUNDARY])
    found = [
        groups
        for groups in dict.fromkeys(on_layer[Layer.SEWING])
        if not any(groups[:n] in bounded for n in range(len(groups) + 1))
        and not any(one[: len(groups)] == groups for one in bounded)
    ]
    return (*dict.fromkeys(on_layer[Layer.BOUNDARY]), *found)


def scaled(drawing: Drawing, factor: float) -> Drawing:
    """Return a drawing whose unit is longer by a factor."""
    if factor == 1:
        return drawing
    affine = Affine(a=factor, d=factor)
    lines = tuple(
        replace(
            line,
            path=Path(transform(line.path.segments, affine), line.path.closed),
        )
        for line in drawing.lines
    )
    points = tuple(
        replace(
            point,
            at=point.at * factor,
            depth=None if point.depth is None else point.depth * factor,
            width=None if point.width is None else point.width * factor,
        )
        for point in drawing.points
    )
    return replace(
        drawing,
        lines=lines,
        texts=tuple(replace(text, at=text.at * factor) for text in drawing.texts),
        unit_mm=drawing.unit_mm * factor,
        points=points,
    )


def _sorted(
    items: Sequence[Item], blocks: Mapping[Groups, None]
) -> defaultdict[Groups, list[Item]]:
    """Sort by the innermost of the blocks named; under () what stands in none."""
    found: defaultdict[Groups, list[Item]] = defaultdict(list)
    for item in items:
        around = [item.groups[:n] for n in range(len(item.groups), 0, -1)]
        home = next((groups for groups in around if groups in blocks), ())
        found[home].append(item)
    return found


def _by_layer(
    items: Sequence[Marked],
) -> Mapping[int | None, tuple[Marked, ...]]:
    found: defaultdict[str | None, list[Marked]] = defaultdict(list)
    for item in items:
        found[item.layer].append(item)
    numbered: defaultdict[int | None, list[Marked]] = defaultdict(list)
    for layer, some in found.items():
        numbered[layer_number(layer)] += some
    return {number: tuple(some) for number, some in numbered.items()}


def _first(items: Sequence[Item], copies: int) -> tuple[Item, ...]:
    return tuple(items[: len(items) // copies])

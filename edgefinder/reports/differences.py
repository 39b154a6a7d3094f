"""What a comparison says: one difference, and those of a size together."""

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Generic, TypeVar

Item = TypeVar("Item")
Value = TypeVar("Value")
Figure = float | int | str | bool

ROUNDING_MM: Final = 1e-6
"""Lengths that differ by less are equal whatever the tolerance: the last digits of a
sum depend on the machine."""


class Kind(StrEnum):
    """What a difference is one of."""

    PIECE = "piece"
    EDGE = "edge"
    EDGE_IN_RUN = "edge in run"
    RUN = "run"
    TAPE = "tape"
    FABRIC = "fabric"


class Change(StrEnum):
    """How the new one differs from the old one."""

    NEW = "new"
    GONE = "gone"
    LONGER = "longer"
    SHORTER = "shorter"
    WIDER = "wider"
    NARROWER = "narrower"
    MORE = "more"
    LESS = "less"
    NEWLY_TIGHT = "newly too tight"
    NO_LONGER_TIGHT = "no longer too tight"
    LIES_WORSE = "lies worse"
    LIES_BETTER = "lies better"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class Pair(Generic[Item]):
    """One thing on both sides; None on the side where it is not there."""

    old: Item | None
    new: Item | None

    @property
    def either(self) -> Item:
        """The new one, or the old one if that is gone."""
        item = self.old if self.new is None else self.new
        if item is None:
            raise ValueError("a pair of nothing")
        return item

    @property
    def change(self) -> Change | None:
        """New or gone; None if it is on both sides."""
        return _there(self.old, self.new)

    def both(
        self, figure: Callable[[Item], Value | None]
    ) -> tuple[Value | None, Value | None]:
        """Take a figure of each side; None where the side is not there."""
        return (
            None if self.old is None else figure(self.old),
            None if self.new is None else figure(self.new),
        )


@dataclass(frozen=True, slots=True)
class Thing:
    """What differs: its kind, and the names that it is found by.

    An edge is named by its number unless both sides give it a name; ``mirrored``
    stands after it as in a job file.
    """

    kind: Kind
    piece: str | None = None
    edge: str | None = None
    run: str | None = None
    tape: str | None = None


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure that differs.

    Parameters
    ----------
    thing : Thing
    what : str
        The figure; its end says its unit: ``length_mm``.
    change : Change
    old, new : float, int, str, bool or None
        None where there is none.
    """

    thing: Thing
    what: str
    change: Change
    old: Figure | None
    new: Figure | None

    @property
    def by(self) -> float | None:
        """How much the new figure is above the old one; None if they are no figures."""
        old, new = _number(self.old), _number(self.new)
        return None if old is None or new is None else new - old


@dataclass(frozen=True, slots=True)
class SizeComparison:
    """The differences of one size; ``change`` says that it is new or gone itself."""

    size: str
    change: Change | None
    differences: tuple[Difference, ...]

    @property
    def is_same(self) -> bool:
        """Whether nothing differs."""
        return self.change is None and not self.differences


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two patterns side by side.

    Parameters
    ----------
    within : float
        Millimetres by which lengths may differ and be equal.
    is_schedule : bool
        Whether runs, tapes and fabric were compared, or pieces and edges only.
    sizes : tuple of SizeComparison
        Those of the new side in its order, then those that are gone.
    """

    within: float
    is_schedule: bool
    sizes: tuple[SizeComparison, ...]

    @property
    def is_same(self) -> bool:
        """Whether nothing differs by more than the tolerance."""
        return all(size.is_same for size in self.sizes)


def lengths(
    thing: Thing, what: str, old: float | None, new: float | None, within: float
) -> Iterator[Difference]:
    """Compare two lengths in millimetres with a tolerance."""
    words = (Change.LONGER, Change.SHORTER)
    yield from _figures(thing, what, (old, new), words, max(within, ROUNDING_MM))


def widths(
    thing: Thing, what: str, old: float | None, new: float | None
) -> Iterator[Difference]:
    """Compare two widths in millimetres: they are chosen, so that all counts."""
    words = (Change.WIDER, Change.NARROWER)
    yield from _figures(thing, what, (old, new), words, ROUNDING_MM)


def amounts(
    thing: Thing, what: str, old: float | None, new: float | None
) -> Iterator[Difference]:
    """Compare two amounts: of what is counted, or is bought in whole steps."""
    words = (Change.MORE, Change.LESS)
    yield from _figures(thing, what, (old, new), words, ROUNDING_MM)


def choices(
    thing: Thing, what: str, old: Figure | None, new: Figure | None
) -> Iterator[Difference]:
    """Compare what was chosen among words."""
    if old != new:
        yield Difference(thing, what, _there(old, new) or Change.CHANGED, old, new)


def _figures(
    thing: Thing,
    what: str,
    sides: tuple[float | None, float | None],
    words: tuple[Change, Change],
    within: float,
) -> Iterator[Difference]:
    old, new = sides
    there = _there(old, new)
    if there is not None:
        yield Difference(thing, what, there, old, new)
    elif old is not None and new is not None and abs(new - old) > within:
        yield Difference(thing, what, words[new < old], old, new)


def _number(figure: Figure | None) -> float | None:
    is_number = isinstance(figure, int | float) and not isinstance(figure, bool)
    return float(figure) if is_number and figure is not None else None


def _there(old: object, new: object) -> Change | None:
    """Say which side alone is there."""
    if (old is None) == (new is None):
        return None
    return Change.NEW if old is None else Change.GONE


def pairs(
    old: Sequence[Item], new: Sequence[Item], key: Callable[[Item], Hashable]
) -> list[Pair[Item]]:
    """Put together what belongs together on two sides.

    Parameters
    ----------
    old, new : sequence
    key : callable
        Equal for what belongs together; the second of one key goes with the second.

    Returns
    -------
    list of Pair
        In the order of the new side; then what is gone, in the order of the old one.
    """
    waiting: dict[Hashable, list[int]] = {}
    for i in reversed(range(len(old))):
        waiting.setdefault(key(old[i]), []).append(i)
    found: list[Pair[Item]] = []
    for item in new:
        same = waiting.get(key(item))
        found.append(Pair(old[same.pop()] if same else None, item))
    left = sorted(i for indices in waiting.values() for i in indices)
    return found + [Pair(old[i], None) for i in left]


def plain(name: str) -> str:
    """Return a name as it is compared: case and spacing do not count."""
    return " ".join(name.casefold().split())

"""What ``use`` elements point to, and how much they would draw."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.xml import MAX_DEPTH, XLINK_HREF, Element

NEVER_DRAWN: Final = frozenset(
    {"defs", "symbol", "clipPath", "mask", "marker", "pattern"}
)
"""Hold shapes that are not drawn where they stand: SVG 2, section 5.4,
"never-rendered elements"."""

MAX_EXPANDED: Final = 2**28
"""Characters that a drawing may have with every copy written out."""
ELEMENT_CHARACTERS: Final = 1000
"""What an element counts for besides its data: as long as it takes to read."""


@dataclass(frozen=True, slots=True)
class Targets:
    """The elements of a file that can be pointed to.

    Parameters
    ----------
    by_id : dict of str to Element
        The first element of each id.
    used : frozenset of str
        The ids that are pointed to.
    """

    by_id: dict[str, Element]
    used: frozenset[str]

    def target(self, use: Element) -> Element | None:
        """Return what a ``use`` element points to, if that is in the file."""
        link = href(use)
        return self.by_id.get(link[1:]) if link.startswith("#") else None


def href(element: Element) -> str:
    """Return the link of an element: the plain attribute wins over XLink's."""
    link = element.attributes.get("href")
    return (element.attributes.get(XLINK_HREF, "") if link is None else link).strip()


def elements_within(root: Element) -> Iterator[Element]:
    """Go through an element and all elements in it, in drawing order."""
    waiting = [root]
    while waiting:
        element = waiting.pop()
        yield element
        if element.content:  # most elements of a drawing are leaves
            waiting.extend(reversed(tuple(element.children)))


def read_targets(root: Element, name: str) -> Targets:
    """Collect the ids of a file and check its ``use`` elements before any is drawn.

    Parameters
    ----------
    root : Element
    name : str
        File name, for messages.

    Returns
    -------
    Targets

    Raises
    ------
    DrawingError
        If an element would contain itself, or the copies would be too many or too
        deep.
    """
    by_id: dict[str, Element] = {}
    used: set[str] = set()
    for element in elements_within(root):
        if "id" in element.attributes:
            by_id.setdefault(element.attributes["id"], element)
        if element.tag == "use":
            used.add(href(element).removeprefix("#"))
    targets = Targets(by_id, frozenset(used))
    if used:
        expanded = _Expansion(targets, name).of(root, 0)
        if expanded.characters > MAX_EXPANDED:
            raise DrawingError(
                f"{name}: its use elements would draw {expanded.characters} "
                f"characters, more than the {MAX_EXPANDED} that are read; "
                "export the pattern pieces alone"
            )
    return targets


@dataclass(frozen=True, slots=True)
class _Size:
    characters: int
    depth: int


class _Expansion:
    """Adds up what is drawn; every element is gone through once."""

    def __init__(self, targets: Targets, name: str) -> None:
        self._targets = targets
        self._name = name
        self._known: dict[Element, _Size] = {}
        self._within: set[Element] = set()

    def of(self, element: Element, depth: int) -> _Size:
        if element in self._within:
            raise self._refused(element, "contains itself by a use element")
        size = self._known.get(element)
        if size is None:
            self._check_depth(element, depth)
            self._within.add(element)
            parts = [self.of(part, depth + 1) for part in self._parts(element)]
            self._within.remove(element)
            own = ELEMENT_CHARACTERS + sum(
                len(element.attributes.get(data, "")) for data in ("d", "points")
            )
            size = self._known[element] = _Size(
                own + sum(part.characters for part in parts),
                1 + max((part.depth for part in parts), default=0),
            )
        self._check_depth(element, depth + size.depth - 1)
        return size

    def _parts(self, element: Element) -> list[Element]:
        parts = [one for one in element.children if one.tag not in NEVER_DRAWN]
        if element.tag == "use":
            target = self._targets.target(element)
            parts = [] if target is None else [target]
        return parts

    def _check_depth(self, element: Element, depth: int) -> None:
        if depth >= MAX_DEPTH:
            what = f"stands more than {MAX_DEPTH} deep in elements and their copies"
            raise self._refused(element, what)

    def _refused(self, element: Element, what: str) -> DrawingError:
        which = element.attributes.get("id")
        named = f'{element.tag} "{which}"' if which else element.tag
        return DrawingError(
            f"{self._name}: line {element.line}: {named} {what}; "
            "turn the copies into plain outlines and save again"
        )

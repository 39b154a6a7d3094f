"""Give to each piece the notches, marker lines and texts that belong to it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import shapely

from edgefinder.constants import SMALLEST_PIECE_MM
from edgefinder.findings import Finding, warning
from edgefinder.geometry.extent import lower_left, upper_right
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.geometry.several import lower_lefts, put_together, upper_rights
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnText
from edgefinder.pattern.naming import size_of, size_of_text
from edgefinder.pattern.on_outline import EdgePlace, nearest_places
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import matches_any, parse_selector
from edgefinder.pattern.settings import FindingSettings
from edgefinder.pattern.surroundings import NotchMark, Surroundings

MARKER_REACH_MM: Final = 5.0
"""A marker line runs this near to the outline all along: a felt pen is 2 mm wide and a
hand draws beside the line. Larger: the other side of a narrow strap comes near."""

NOTCH_REACH_MM: Final = 3.0
"""A notch ends this near to the outline; it is drawn across it or up to it."""

ON_LINE_MM: Final = 1.0
"""Of several sizes drawn on one another each one that comes this near has the mark;
where none does, the nearest one has it."""

TEXT_REACH_MM: Final = 60.0
"""A text that names an edge is written within a hand's breadth of it."""

SAMPLES: Final = 33
"""Places along a marker line that are looked at."""

NOTCH_SAMPLES: Final = 129
"""Places along a notch that are looked at: every 0.2 mm of one of 20 mm."""

FOOT_MM: Final = 0.2
"""What of a notch is so near to the outline, beyond its nearest place, stands on it."""

DEFAULT_NOTCHES: Final = tuple(
    parse_selector(f"{mark}:*notch*") for mark in ("layer", "class", "label", "id")
)


_Placed = tuple[EdgePlace, NotchMark]


class _Boxes:
    """The boxes around pieces."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        together = put_together([piece.outline.path for piece in pieces])
        self._low, self._high = lower_lefts(together), upper_rights(together)
        low, high = self._low, self._high
        self._tree = shapely.STRtree(
            shapely.box(low.real, low.imag, high.real, high.imag)
        )

    def near(self, points: Complexes, margin: float) -> list[int]:
        """Return the pieces whose boxes meet the one around points, a margin added."""
        left, low = points.real.min(), points.imag.min()
        right, high = points.real.max(), points.imag.max()
        reach = shapely.box(left - margin, low - margin, right + margin, high + margin)
        found: list[int] = sorted(self._tree.query(reach).tolist())
        return found

    def around(self, points: Complexes, margin: float) -> list[int]:
        """Return the pieces in whose boxes all points lie, a margin added."""
        return [
            i
            for i in self.near(points, margin)
            if points.real.min() > self._low[i].real - margin
            and points.real.max() < self._high[i].real + margin
            and points.imag.min() > self._low[i].imag - margin
            and points.imag.max() < self._high[i].imag + margin
        ]


def is_no_outline(line: DrawnLine, settings: FindingSettings) -> bool:
    """Whether a line is drawn to mark an outline and is none itself."""
    if matches_any(line, (*settings.marker_lines, *settings.notches)):
        return True
    return not line.path.closed and _is_notch(line, settings)


def with_surroundings(
    pieces: Sequence[Piece], drawing: Drawing, settings: FindingSettings
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Give to each piece the marks that are drawn on it or beside it.

    Parameters
    ----------
    pieces : sequence of Piece
        Of one drawing.
    drawing : Drawing
    settings : FindingSettings

    Returns
    -------
    tuple of Piece
    tuple of Finding
        One for each marker line or notch that lies along no outline.
    """
    notch_lines = [line for line in drawing.lines if _is_notch(line, settings)]
    markers = [x for x in drawing.lines if matches_any(x, settings.marker_lines)]
    if not (notch_lines or markers or drawing.texts):
        return tuple(pieces), ()
    around = _Sorted(pieces, drawing, settings)
    astray = [
        *(_astray(x, "notch") for x in around.add_notches(notch_lines)),
        *(_astray(x, "marker line") for x in markers if not around.add_marker(x)),
    ]
    around.add_texts()
    return around.pieces(), tuple(astray)


class _Sorted:
    """Marks on their way to the pieces of one drawing."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        drawing: Drawing,
        settings: FindingSettings,
    ) -> None:
        self._pieces = pieces
        self._boxes = _Boxes(pieces)
        self._drawing = drawing
        self._settings = settings
        self._sizes = {piece.size for piece in pieces}
        self._notches: defaultdict[int, list[_Placed]] = defaultdict(list)
        self._markers: defaultdict[int, list[DrawnLine]] = defaultdict(list)
        self._texts: dict[int, Surroundings] = {}

    def add_notches(self, lines: Sequence[DrawnLine]) -> list[DrawnLine]:
        """Give notches to the pieces on whose outlines they lie; return the others."""
        points = [_points_along(line, NOTCH_SAMPLES) for line in lines]
        of_piece: defaultdict[int, list[int]] = defaultdict(list)
        for n, line in enumerate(lines):
            boxed = self._boxes.near(points[n], NOTCH_REACH_MM)
            for i in self._of_its_size(line, boxed):
                of_piece[i].append(n)
        near: list[dict[int, float]] = [{} for _ in lines]
        marks: dict[tuple[int, int], _Placed] = {}
        for i, own in of_piece.items():
            piece = self._pieces[i]
            feet = _feet(piece, [points[n] for n in own])
            for n, (place, apart) in zip(own, feet, strict=True):
                if apart <= NOTCH_REACH_MM:
                    near[n][i] = apart
                    mark = NotchMark(_point(piece, place), _names_of(lines[n]))
                    marks[n, i] = (place, mark)
        for n, pieces in enumerate(near):
            for i in self._nearest(pieces):
                self._notches[i].append(marks[n, i])
        return [line for line, pieces in zip(lines, near, strict=True) if not pieces]

    def add_marker(self, line: DrawnLine) -> bool:
        """Give a marker line to the pieces along whose outline it runs."""
        points = _points_along(line, SAMPLES)
        near: dict[int, float] = {}
        boxed = self._boxes.around(points, MARKER_REACH_MM)
        for i in self._of_its_size(line, boxed):
            apart: Floats = np.array(
                [d for _, d in nearest_places(self._pieces[i], points)]
            )
            if apart.max() <= MARKER_REACH_MM:
                near[i] = float(apart.mean())
        for i in self._nearest(near):
            self._markers[i].append(line)
        return bool(near)

    def add_texts(self) -> None:
        """Give the texts to all pieces that they may say something of."""
        own: defaultdict[int, list[DrawnText]] = defaultdict(list)
        for text in self._drawing.texts:
            size = size_of_text(text, self._settings)
            for i in self._boxes.around(np.array([text.at]), TEXT_REACH_MM):
                if size in {None, self._pieces[i].size}:
                    own[i].append(text)
        for i in range(len(self._pieces)):
            self._texts[i] = Surroundings(texts=tuple(own[i]))

    def pieces(self) -> tuple[Piece, ...]:
        """Return the pieces with what was sorted to them."""
        found = []
        for i, piece in enumerate(self._pieces):
            placed = [*_placed(piece), *self._notches[i]]
            placed.sort(key=lambda one: one[0])
            around = replace(
                self._texts[i],
                notches=tuple(mark for _, mark in placed),
                markers=tuple(self._markers[i]),
            )
            found.append(replace(piece, around=around))
        return tuple(found)

    def _of_its_size(self, line: DrawnLine, pieces: Sequence[int]) -> list[int]:
        """Choose the pieces that a line may belong to by its size."""
        size = size_of(line, self._drawing, self._settings)
        if size not in self._sizes:
            size = None
        return [
            i for i in pieces if size is None or self._pieces[i].size in {None, size}
        ]

    def _nearest(self, apart: dict[int, float]) -> list[int]:
        """Choose the pieces with a mark on them; of the sizes it misses the nearest."""
        by_name: defaultdict[str, list[int]] = defaultdict(list)
        for i in apart:
            by_name[self._pieces[i].name].append(i)
        chosen: list[int] = []
        for same in by_name.values():
            on_line = [i for i in same if apart[i] <= ON_LINE_MM]
            chosen += on_line or [min(same, key=lambda i: apart[i])]
        return chosen


def _is_notch(line: DrawnLine, settings: FindingSettings) -> bool:
    if settings.notches:
        return matches_any(line, settings.notches)
    if not matches_any(line, DEFAULT_NOTCHES):
        return False
    across = upper_right(line.path) - lower_left(line.path)
    return max(across.real, across.imag) < SMALLEST_PIECE_MM


def _points_along(line: DrawnLine, count: int) -> Complexes:
    path = measure(line.path)
    return points_at_lengths(path, np.linspace(0, path.length, count))


def _feet(piece: Piece, notches: Sequence[Complexes]) -> list[tuple[EdgePlace, float]]:
    """Return the place of an outline that each notch marks, and its distance.

    A triangle or a V stands on the outline with two feet, and marks the middle.
    """
    found = nearest_places(piece, np.concatenate(notches))
    apart: Floats = np.array([d for _, d in found]).reshape(len(notches), -1)
    least = apart.min(axis=1)
    middles = np.array(
        [
            points[own <= nearest + FOOT_MM].mean()
            for points, own, nearest in zip(notches, apart, least, strict=True)
        ]
    )
    places = [place for place, _ in nearest_places(piece, middles)]
    return list(zip(places, least.tolist(), strict=True))


def _placed(piece: Piece) -> list[_Placed]:
    """Return the notches that a piece has already, by the format of its file."""
    notches = piece.around.notches
    if not notches:
        return []
    found = nearest_places(piece, np.array([notch.at for notch in notches]))
    return [(place, mark) for (place, _), mark in zip(found, notches, strict=True)]


def _point(piece: Piece, place: EdgePlace) -> complex:
    path = piece.edges[place.number - 1].path
    return complex(points_at_lengths(path, np.array([place.s]))[0])


def _names_of(line: DrawnLine) -> tuple[str, ...]:
    own = (line.label, line.id, *line.names)
    return tuple(dict.fromkeys(name for name in own if name))


def _astray(line: DrawnLine, what: str) -> Finding:
    message = f"this {what} lies along no outline of a piece; draw it nearer"
    return warning("mark-astray", line.where, message)

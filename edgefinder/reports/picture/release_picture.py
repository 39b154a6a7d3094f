"""The pictures of a release: one sheet of pieces, or every piece by itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.errors import SettingsError, did_you_mean
from edgefinder.geometry.several import lower_lefts, put_together, upper_rights
from edgefinder.pattern.pieces import Piece
from edgefinder.reports.amounts import length
from edgefinder.reports.picture.drawing_svg import drawing_svg
from edgefinder.reports.picture.growing_sheet import PAPER_WIDTH_MM
from edgefinder.reports.picture.page import (
    Block,
    lay_out_blocks,
    lay_out_piece,
)
from edgefinder.reports.picture.piece_panel import PiecePanel, draw_piece
from edgefinder.reports.picture.piece_view import view_pieces
from edgefinder.reports.picture.place_stretches import numbered_places
from edgefinder.reports.picture.size_index import index_size
from edgefinder.reports.place_text import place_where
from edgefinder.reports.release_rows import run_names, size_title, size_words
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import SizeSchedule
from edgefinder.schedule.telling import Tell, one_by_one, silent
from edgefinder.units import Unit

MARK: Final = "<!-- edgefinder picture -->"
"""First line of a sheet of pictures, by which it is known again."""

PREFIX: Final = "picture"
"""Begins every id of a sheet of pictures."""

SCALES: Final = tuple(
    step * 10.0**power
    for power in range(5)
    for step in (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
)
"""Millimetres of cloth to one of paper, in steps that are easily said."""

TALLEST_MM: Final = 190.0
"""Paper for the pieces of one size: US Letter (279 mm) less margins, title, key."""
TALLEST_PIECE_MM: Final = 115.0
"""Paper for one piece with its labels, so that two stand on a page one below the
other."""
AROUND_MM: Final = 26.0
"""Paper that labels take beside a piece, both sides together; a sheet that comes out
wider than the paper is drawn at the next smaller scale."""


def picture_svg(
    release: Release, pieces: Sequence[str] = (), tell: Tell = silent
) -> str:
    """Draw the pieces of every size of a release on one sheet.

    Parameters
    ----------
    release : Release
        With the sizes that are wanted.
    pieces : sequence of str
        Names of those to be drawn; all if empty.
    tell : Tell
        Told of every size.

    Returns
    -------
    str
        A whole SVG file.

    Raises
    ------
    SettingsError
        If a piece is not there.
    """
    wanted = _known(release, pieces)
    scale = _scale_for_sheet(release, wanted)
    runs = run_names(release.sizes)
    while True:
        blocks = [
            _block(release, size, wanted, scale)
            for size in one_by_one(release.sizes, "drawing size", tell)
        ]
        drawing = lay_out_blocks(
            release.job.name, blocks, runs, release.job.unit, scale
        )
        larger = next((one for one in SCALES if one > scale), None)
        if drawing.box[2] <= PAPER_WIDTH_MM * scale * 1.001 or larger is None:
            break
        scale = larger
    sizes = size_words(", ".join(size.size for size in release.sizes))
    title = f"{release.job.name}: pattern pieces"
    said = f"Pieces {', '.join(wanted)} in {sizes}, drawn 1 to {scale:g}."
    return f"{MARK}\n{drawing_svg(drawing, title, said, PREFIX)}"


@dataclass(frozen=True, slots=True)
class PiecePicture:
    """One piece of one size.

    Parameters
    ----------
    piece : str
    size : str
    svg : str
    places : tuple of int
        Numbers of the places to watch on it.
    """

    piece: str
    size: str
    svg: str
    places: tuple[int, ...]


def piece_pictures(
    release: Release, size: SizeSchedule, prefix: str, scale: float | None = None
) -> tuple[PiecePicture, ...]:
    """Draw every piece of a size by itself, all sizes of a release at one scale.

    Parameters
    ----------
    release : Release
    size : SizeSchedule
        Of the release.
    prefix : str
        Begins every id.
    scale : float or None
        That of `scale_of_largest`, from whoever draws several sizes; None: look it up.

    Returns
    -------
    tuple of PiecePicture
        In the order of the size's pieces.
    """
    scale = scale_of_largest(release) if scale is None else scale
    unit = release.job.unit
    names = run_names(release.sizes)
    found = []
    for number, panel in enumerate(_panels(release, size, None, scale), start=1):
        name = panel.view.piece.name
        found.append(
            PiecePicture(
                name,
                size.size,
                drawing_svg(
                    lay_out_piece(panel, unit, scale),
                    f"{name}, {size_words(size.size)}",
                    describe(panel, names, unit),
                    f"{prefix}-{number}",
                ),
                place_numbers(panel),
            )
        )
    return tuple(found)


def describe(panel: PiecePanel, names: Sequence[str], unit: Unit) -> str:
    """Say what a picture of a piece shows, for those who do not see it."""
    view = panel.view
    runs = ", ".join(names[run] for run in view.runs)
    bound = f"bound by {runs}" if runs else "not bound"
    numbers = place_numbers(panel)
    watch = f"places to watch: {', '.join(map(str, numbers))}" if numbers else ""
    round_it = length(view.piece.perimeter, unit)
    edges = len(view.edges)
    parts = (
        f"{edges} edge{'' if edges == 1 else 's'}, {round_it} round",
        "drawn half, on the fold" if view.is_on_fold else "",
        bound,
        watch or "no place to watch",
    )
    return "; ".join(part for part in parts if part) + "."


def place_numbers(panel: PiecePanel) -> tuple[int, ...]:
    """Return the numbers of the places to watch on a piece, in order."""
    found = {number for place in panel.view.places for number in place.numbers}
    return tuple(sorted(found))


def _known(release: Release, pieces: Sequence[str]) -> tuple[str, ...]:
    known = tuple(
        dict.fromkeys(
            tagged.piece.name for size in release.sizes for tagged in size.tagged.pieces
        )
    )
    missing = [name for name in pieces if name not in known]
    if missing:
        raise SettingsError(
            *(
                f'--piece: there is no piece "{name}"{did_you_mean(name, known)}'
                for name in missing
            )
        )
    return tuple(name for name in known if not pieces or name in pieces)


def _block(
    release: Release, size: SizeSchedule, wanted: Sequence[str], scale: float
) -> Block:
    unit = release.job.unit
    panels = _panels(release, size, wanted, scale)
    shown = {number for panel in panels for number in place_numbers(panel)}
    places = tuple(
        (numbered.number, place_where(numbered.report, unit))
        for numbered in numbered_places(size)
        if numbered.number in shown
    )
    return Block(size_title(size.size), panels, places)


def _panels(
    release: Release, size: SizeSchedule, wanted: Sequence[str] | None, scale: float
) -> tuple[PiecePanel, ...]:
    unit = release.job.unit
    index = index_size(size, run_names(release.sizes))
    shown = [
        tagged
        for tagged in size.tagged.pieces
        if wanted is None or tagged.piece.name in wanted
    ]
    views = view_pieces(shown, index, scale)
    return tuple(draw_piece(view, unit, scale) for view in views)


def _extents(pieces: Sequence[Piece]) -> list[tuple[float, float]]:
    together = put_together([piece.outline.path for piece in pieces])
    across = upper_rights(together) - lower_lefts(together)
    return list(zip(across.real.tolist(), across.imag.tolist(), strict=True))


def scale_of_largest(release: Release) -> float:
    """Return the scale at which the largest piece of all sizes fits by itself."""
    pieces = [t.piece for size in release.sizes for t in size.tagged.pieces]
    sides = _extents(pieces)
    room = PAPER_WIDTH_MM - AROUND_MM, TALLEST_PIECE_MM - AROUND_MM
    least = max(max(w / room[0], h / room[1]) for w, h in sides)
    return next((one for one in SCALES if one >= least), SCALES[-1])


def _scale_for_sheet(release: Release, wanted: Sequence[str]) -> float:
    """Return the scale at which the pieces of each size are likely to fit on a page."""
    sizes = [
        _extents([t.piece for t in size.tagged.pieces if t.piece.name in wanted])
        for size in release.sizes
        if any(t.piece.name in wanted for t in size.tagged.pieces)
    ]
    for scale in SCALES:
        if all(_fits(sides, scale) for sides in sizes):
            return scale
    return SCALES[-1]


def _fits(sides: Sequence[tuple[float, float]], scale: float) -> bool:
    x, y, high = 0.0, 0.0, 0.0
    for width, height in sides:
        wide, tall = width / scale + AROUND_MM, height / scale + AROUND_MM
        if wide > PAPER_WIDTH_MM:
            return False
        if x + wide > PAPER_WIDTH_MM:
            x, y, high = 0.0, y + high, 0.0
        x, high = x + wide, max(high, tall)
    return y + high <= TALLEST_MM

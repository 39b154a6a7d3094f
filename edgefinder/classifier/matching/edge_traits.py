"""What tells the edges of an outline apart, and is small enough to be written down.

The traits of an outline are those of its edges in a cyclic sequence: how long each is,
by how much it turns, what corner comes after it and where it begins. They are the same
whether they come from a drawing or from the rows that a job file keeps of an earlier
one.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.geometry.several import lower_lefts, put_together
from edgefinder.pattern.pieces import Edge, Piece

ROW_LENGTH: Final = 6
"""Ring, length, turning, corner after, start x, start y."""

LENGTH_DECIMALS: Final = 2
"""Of a millimetre in rows, as drawing programs export."""

ANGLE_DECIMALS: Final = 1
"""Of a degree in rows: over the longest edges a shift by a millimetre or two, which
decides nothing."""

MOST_TURNING: Final = 5.5
"""Radians of turning above which an edge is taken for a circular arc no further: its
chord vanishes at a whole turn and no longer says where the arc lies."""


@dataclass(frozen=True, slots=True, eq=False)
class RingTraits:
    """The edges of one outline, in its order, the fabric on the left.

    Parameters
    ----------
    lengths : ndarray, shape (n,)
        Arc lengths in millimetres.
    turnings : ndarray, shape (n,)
        Radians from the start to the end of each edge, left positive.
    corners : ndarray, shape (n,)
        Jump of the tangent after each edge in radians, left positive; 0 on an outline
        without a corner.
    starts : ndarray of complex128, shape (n,)
        Where each edge begins, in millimetres from the lower left of its piece.
    """

    lengths: Floats
    turnings: Floats
    corners: Floats
    starts: Complexes

    def __post_init__(self) -> None:
        for name in ("lengths", "turnings", "corners"):
            object.__setattr__(self, name, _locked(getattr(self, name), np.float64))
        object.__setattr__(self, "starts", _locked(self.starts, np.complex128))
        shape = self.lengths.shape
        fields = (self.turnings, self.corners, self.starts)
        if len(shape) != 1 or shape[0] == 0 or any(f.shape != shape for f in fields):
            raise ValueError("an outline has one row of traits for each of its edges")

    def __len__(self) -> int:
        return len(self.lengths)

    @property
    def chords(self) -> Complexes:
        """From the start of each edge to the start of the next, shape (n,)."""
        chords: Complexes = np.roll(self.starts, -1) - self.starts
        return chords

    @property
    def perimeter(self) -> float:
        """Millimetres once round."""
        return float(self.lengths.sum())

    @property
    def middles(self) -> Complexes:
        """Where the middle of each edge lies if it is a circular arc, shape (n,)."""
        quarter = np.clip(self.turnings, -MOST_TURNING, MOST_TURNING) / 4
        middles: Complexes = self.starts + self.chords / 2 * (1 - 1j * np.tan(quarter))
        return middles


def ring_traits(edges: Sequence[Edge], origin: complex) -> RingTraits:
    """Take the traits of the edges of one outline.

    Parameters
    ----------
    edges : sequence of Edge
        All edges of the ring, in order.
    origin : complex
        The lower left of the piece, in millimetres.

    Raises
    ------
    ValueError
        If there is no edge.
    """
    return RingTraits(
        np.array([edge.length for edge in edges]),
        np.array([edge.turning for edge in edges]),
        np.array([edge.corner_after for edge in edges]),
        np.array([edge.start for edge in edges]) - origin,
    )


def piece_traits(pieces: Sequence[Piece]) -> tuple[tuple[RingTraits, ...], ...]:
    """Take the traits of pieces: of each its outer outline first, then its cut-outs.

    The edges have to be those between corners, not yet parted at marks.
    """
    if not pieces:
        return ()
    origins = lower_lefts(put_together([piece.outline.path for piece in pieces]))
    return tuple(
        tuple(
            ring_traits([edge for edge in piece.edges if edge.ring == ring], origin)
            for ring in range(1 + len(piece.cutouts))
        )
        for piece, origin in zip(pieces, origins.tolist(), strict=True)
    )


def traits_from_rows(rows: Sequence[Sequence[float]]) -> tuple[RingTraits, ...]:
    """Read the rows of a job file.

    Parameters
    ----------
    rows : sequence of sequence of float
        For each edge: ring, length in mm, turning and corner after in degrees, start x
        and y in mm from the lower left of the piece. Rings come in order from 0.

    Returns
    -------
    tuple of RingTraits
        One for each ring.

    Raises
    ------
    ValueError
        If a row has not six finite numbers, a length is not above 0, or the rings are
        not in order; the message says which row.
    """
    if not rows:
        raise ValueError("there are no rows")
    for number, row in enumerate(rows, start=1):
        if len(row) != ROW_LENGTH or not all(map(math.isfinite, row)):
            raise ValueError(f"row {number}: six finite numbers are needed")
        if row[1] <= 0:
            raise ValueError(f"row {number}: a length is above 0, and this is {row[1]}")
        before = rows[number - 2][0] if number > 1 else -1
        if row[0] not in {before, before + 1} or row[0] < 0:
            raise ValueError(f"row {number}: rings come in order from 0")
    table = np.array(rows, dtype=np.float64)
    split = np.flatnonzero(np.diff(table[:, 0])) + 1
    return tuple(
        RingTraits(
            one[:, 1],
            np.radians(one[:, 2]),
            np.radians(one[:, 3]),
            one[:, 4] + 1j * one[:, 5],
        )
        for one in np.split(table, split)
    )


def rows_from_traits(rings: Sequence[RingTraits]) -> list[list[float]]:
    """Write the traits of a piece as rows of a job file, rounded.

    Parameters
    ----------
    rings : sequence of RingTraits

    Returns
    -------
    list of list
        As `traits_from_rows` reads them; the first number of a row is an int.
    """
    rows: list[list[float]] = []
    for number, ring in enumerate(rings):
        columns = (
            np.maximum(ring.lengths.round(LENGTH_DECIMALS), 10.0**-LENGTH_DECIMALS),
            np.degrees(ring.turnings).round(ANGLE_DECIMALS),
            np.degrees(ring.corners).round(ANGLE_DECIMALS),
            ring.starts.real.round(LENGTH_DECIMALS),
            ring.starts.imag.round(LENGTH_DECIMALS),
        )
        table = np.stack(columns, axis=1) + 0.0  # no minus zero
        rows += [[number, *row] for row in table.tolist()]
    return rows


def mirrored(ring: RingTraits) -> RingTraits:
    """Mirror an outline left to right; it still runs with the fabric on the left.

    Edge j of the mirrored outline is edge n - 1 - j of the drawn one. Places are
    measured from where they were, mirrored: no longer from the lower left.
    """
    ends = np.roll(ring.starts, -1)
    return RingTraits(
        ring.lengths[::-1],
        ring.turnings[::-1],
        np.roll(ring.corners[::-1], -1),  # the corner before an edge comes after it
        -np.conj(ends[::-1]),
    )


def _locked(values: object, dtype: type[np.generic]) -> np.ndarray:
    array = np.array(values, dtype=dtype)
    array.flags.writeable = False
    return array

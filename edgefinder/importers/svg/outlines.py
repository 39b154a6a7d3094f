"""From the outlines of a drawing to paths in millimetres, many at once."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.path import Path
from edgefinder.importers.svg.path_table import read_plain_paths
from edgefinder.importers.svg.shapes import PathText
from edgefinder.importers.svg.subpath import (
    MAX_COORDINATE_MM,
    Subpath,
    strokes_of,
    to_paths,
)

BATCH_CHARACTERS: Final = 2**19
"""Path data read at once. Twice as much no longer fits the nearer memory of a
processor; half as much spends more on the calls than on the numbers."""
BATCH_OUTLINES: Final = 2**12
"""Outlines of no length are read together up to this number."""
MAX_PATH_CHARACTERS: Final = 2**24
"""One outline of about two million numbers."""
MAX_SEGMENTS: Final = 2**22
"""Segments in one drawing: fifteen times a nest of 60 pieces in 20 sizes, and less than
half a gigabyte."""
_OUT_OF_REACH: Final = f"reaches beyond {MAX_COORDINATE_MM / 1e6:,.0f} km"


@dataclass(frozen=True, slots=True)
class Outline:
    """What one element draws.

    Parameters
    ----------
    shape : tuple of Subpath or PathText
        In user units.
    affine : Affine
        From these to millimetres with y up.
    """

    shape: tuple[Subpath, ...] | PathText
    affine: Affine


def read_outlines(
    outlines: Sequence[Outline],
) -> Iterator[tuple[Path, ...] | DrawingError]:
    """Read the outlines of a drawing.

    Parameters
    ----------
    outlines : sequence of Outline

    Yields
    ------
    tuple of Path or DrawingError
        For each, in order, its subpaths in millimetres, or what is wrong with it.

    Raises
    ------
    DrawingError
        If they have more than `MAX_SEGMENTS` segments together.
    """
    segments = 0
    for batch in _batches(outlines):
        for found in _read(batch):
            yield found
            if not isinstance(found, DrawingError):
                segments += sum(len(path.segments) for path in found)
        if segments > MAX_SEGMENTS:
            raise DrawingError(f"draws more than {MAX_SEGMENTS} segments")


def _batches(outlines: Sequence[Outline]) -> Iterator[Sequence[Outline]]:
    first, characters = 0, 0
    for index, outline in enumerate(outlines):
        if isinstance(outline.shape, PathText):
            characters += len(outline.shape.data)
        if characters >= BATCH_CHARACTERS or index - first >= BATCH_OUTLINES:
            yield outlines[first : index + 1]
            first, characters = index + 1, 0
    if first < len(outlines):
        yield outlines[first:]


def _read(batch: Sequence[Outline]) -> Sequence[tuple[Path, ...] | DrawingError]:
    plain = [index for index, outline in enumerate(batch) if _may_be_plain(outline)]
    try:
        tables, is_plain = read_plain_paths([_data(batch[index]) for index in plain])
    except DrawingError as error:
        if len(batch) > 1:
            return [found for one in batch for found in _read([one])]
        return [error]
    place = np.array(plain, dtype=np.intp)
    tables = [replace(table, owner=place[table.owner]) for table in tables]
    done = frozenset(place[is_plain].tolist())
    found: list[list[Path]] = [[] for _ in batch]
    errors: dict[int, DrawingError] = {}
    others: list[tuple[int, Subpath]] = []
    for index, outline in enumerate(batch):
        if index not in done:
            try:
                others += [(index, one) for one in _subpaths(outline.shape)]
            except DrawingError as error:
                errors[index] = error
    if others:
        tables.append(strokes_of(others))
    for table in tables:
        owners = table.owner.tolist()
        paths = to_paths(table, [batch[owner].affine for owner in owners])
        for owner, path in zip(owners, paths, strict=True):
            if path is None:
                errors[owner] = DrawingError(_OUT_OF_REACH)
            else:
                found[owner].append(path)
    return [errors.get(index) or tuple(paths) for index, paths in enumerate(found)]


def _may_be_plain(outline: Outline) -> bool:
    shape = outline.shape
    return (
        isinstance(shape, PathText)
        and len(shape.data) <= MAX_PATH_CHARACTERS
        and shape.data.isascii()
    )


def _data(outline: Outline) -> bytes:
    return outline.shape.data.encode() if isinstance(outline.shape, PathText) else b""


def _subpaths(shape: tuple[Subpath, ...] | PathText) -> tuple[Subpath, ...]:
    if not isinstance(shape, PathText):
        return shape
    if len(shape.data) > MAX_PATH_CHARACTERS:
        raise DrawingError(
            f"has path data of {len(shape.data)} characters, more than "
            f"{MAX_PATH_CHARACTERS}"
        )
    return shape.read()

"""The layer of marks added to a DXF: the file's own entities stay as they are."""

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from ezdxf._options import options
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import read

from edgefinder.errors import DrawingError
from edgefinder.importers.dxf.document import listening
from edgefinder.importers.dxf.encoding import encoding_of
from edgefinder.importers.dxf.sniff import Form, mend, sniff
from edgefinder.importers.own_marks import MARKS_LAYER
from edgefinder.reports.mark.shapes import TEXT_MM, MarkLine, PieceMarks
from edgefinder.reports.picture.labels import Frame, Label

RUN_COLOURS: Final = (5, 30, 106, 6, 7)
"""Numbers of the colour table of DXF that come nearest to the colours of the pictures:
blue, orange, green, magenta, and 7, which is black on white and white on black."""
INK: Final = 7
GREY: Final = 8


def marked_dxf(
    path: Path, data: bytes, marks: Sequence[PieceMarks], unit_mm: float
) -> bytes:
    """Add marks to a DXF.

    Parameters
    ----------
    path : Path
        For messages; it is not read again.
    data : bytes
        The file, text or binary.
    marks : sequence of PieceMarks
    unit_mm : float
        Millimetres per drawing unit.

    Returns
    -------
    bytes
        A text DXF of the same version; R13 and R14 become R2000. The same for the same
        file: the dates and identifiers of its header are pinned.

    Raises
    ------
    DrawingError
        If the library cannot write the file again, or it has the layer already.
    """
    document = _document(path, data)
    if MARKS_LAYER in document.layers:
        raise DrawingError(
            f"{path}: has marks of edgefinder already; mark the drawing without them"
        )
    document.layers.add(MARKS_LAYER, color=INK)
    for one in marks:
        _add(document, one, unit_mm)
    with _same_bytes():
        # The writer lists these from a set, in another order at each run.
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode(document.output_encoding, "dxfreplace")


def _document(path: Path, data: bytes) -> Document:
    form = sniff(path, data)
    if form is Form.BINARY:
        raise DrawingError(
            f"{path}: is a binary DXF, to which nothing is added; save it as text"
        )
    data, _ = mend(path, data)
    encoding, _ = encoding_of(data, binary=False)
    with listening():
        # Damaged files raise nearly anything, as when they are read for a schedule.
        try:
            with io.TextIOWrapper(
                io.BytesIO(data), encoding, "surrogateescape"
            ) as file:
                return read(file)
        except Exception as error:
            raise DrawingError(
                f"{path}: is damaged, so that it cannot be written again as it is; "
                "open it in a drawing program and export it again"
            ) from error


@contextmanager
def _same_bytes() -> Iterator[None]:
    """Pin what the library writes of dates and identifiers."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _add(document: Document, marks: PieceMarks, unit_mm: float) -> None:
    space = document.modelspace()
    for line in marks.lines:
        _line(space, line, unit_mm, is_old=document.dxfversion <= "AC1009")
    for label in marks.labels:
        _label(space, label, unit_mm, is_old=document.dxfversion <= "AC1009")


def _line(space: Any, line: MarkLine, unit_mm: float, *, is_old: bool) -> None:
    colour = GREY if line.run is None else RUN_COLOURS[line.run % len(RUN_COLOURS)]
    points = [(p.real / unit_mm, p.imag / unit_mm) for p in line.points.tolist()]
    _polyline(space, points, colour, closed=line.closed, is_old=is_old)


def _polyline(
    space: Any,
    points: Sequence[tuple[float, float]],
    colour: int,
    *,
    closed: bool,
    is_old: bool,
) -> None:
    attributes = {"layer": MARKS_LAYER, "color": colour}
    add = space.add_polyline2d if is_old else space.add_lwpolyline
    add(points, close=closed, dxfattribs=attributes)


def _label(space: Any, label: Label, unit_mm: float, *, is_old: bool) -> None:
    left, low, right, top = (side / unit_mm for side in label.box)
    text = space.add_text(
        label.text,
        height=TEXT_MM / unit_mm,
        dxfattribs={"layer": MARKS_LAYER, "color": INK},
    )
    middle = ((left + right) / 2, (low + top) / 2)
    text.set_placement(middle, align=TextEntityAlignment.MIDDLE_CENTER)
    if label.frame is not Frame.NONE:
        corners = [(left, low), (right, low), (right, top), (left, top)]
        _polyline(space, corners, INK, closed=True, is_old=is_old)

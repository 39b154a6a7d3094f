"""Read a DXF: every line of model space at true size."""

import pathlib

from edgefinder.errors import DrawingError
from edgefinder.files import read_bytes
from edgefinder.findings import Finding, note
from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf.sniff import Form, mend, sniff
from edgefinder.importers.dxf.units import drawing_unit


def read_dxf(path: pathlib.Path, *, unit_mm: float | None = None) -> Reading:
    """Read a text or binary DXF.

    Parameters
    ----------
    path : pathlib.Path
    unit_mm : float or None
        Millimetres per drawing unit; None takes what the file says.

    Returns
    -------
    Reading
        Lines and texts of model space, those of blocks in their places. Lines that are
        drawn apart stay apart, even if they meet.

    Raises
    ------
    DrawingError
        If the file is no DXF, cannot be read, holds numbers that are not finite, or
        draws nothing.

    Notes
    -----
    Lines, arcs, circles, ellipses, bulges and splines of degree 1 to 3 are exact under
    every scale of their inserts, rational splines where they are arcs of ellipses;
    other splines are cubics within 0.001 mm, with a finding.
    """
    if unit_mm is not None and not 0 < unit_mm < float("inf"):
        raise ValueError("a unit has a positive number of millimetres")
    data = read_bytes(path)
    form = sniff(path, data)
    cut: tuple[Finding, ...] = ()
    if form is Form.TEXT:
        data, cut = mend(path, data)
    unit, findings = drawing_unit(
        path.name, data, binary=form is Form.BINARY, unit_mm=unit_mm
    )
    # The library takes longer to load than most drawings to read: not for other files.
    from edgefinder.importers.dxf.blocks import read_model_space  # noqa: PLC0415
    from edgefinder.importers.dxf.document import (  # noqa: PLC0415
        listening,
        load_document,
        paper_space_count,
    )
    from edgefinder.importers.dxf.tally import Tally  # noqa: PLC0415

    document, bulk, repairs = load_document(path, data, form)
    del data  # a large file: the drawing needs the room
    tally = Tally(path.name)
    with listening():
        drawing = read_model_space(path.name, document, unit, tally, bulk)
        on_paper = paper_space_count(document, bulk)
    findings += (*cut, *repairs, *tally.findings())
    if on_paper:
        findings += (
            note(
                "paper-space",
                path.name,
                f"{on_paper} entities in paper space were left out: they have no size "
                "of their own",
            ),
        )
    if not drawing.lines:
        raise DrawingError(_nothing_drawn(path, findings))
    return Reading(drawing, findings)


def _nothing_drawn(path: pathlib.Path, findings: tuple[Finding, ...]) -> str:
    reasons = [f.message for f in findings if not f.code.startswith("unit-")]
    return (
        f"{path}: has no line in model space that can be measured"
        + (f" ({'; '.join(reasons)})" if reasons else "")
        + "; export the pattern pieces to model space"
    )

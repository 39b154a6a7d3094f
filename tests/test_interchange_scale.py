"""The unit of interchange files: said, missing, or wrong."""

from pathlib import Path

import pytest
from interchange_files import (
    INCH,
    MILLIMETRE,
    STYLE,
    Dialect,
    bib,
    codes,
    interchange,
    outline,
    points,
    polyline,
)

from edgefinder.errors import DrawingError
from edgefinder.geometry.measured import signed_area
from edgefinder.importers.interchange.drawn_piece import DrawnPiece, Interchange

TALLEST_MM = 400.0


def read(
    folder: Path,
    size: float,
    units: str | None,
    insunits: int | None = None,
    *,
    unit_mm: float | None = None,
) -> Interchange:
    """Read the bib, drawn a number of units tall."""
    vertices, curve = ([z * size / TALLEST_MM for z in some] for some in outline())
    block = bib(
        None,
        points(curve, 3),
        boundary=polyline(vertices, 1, closed=True),
        marks=False,
    )
    style = {key: value for key, value in STYLE.items() if key != "Units"}
    if units is not None:
        style["Units"] = units
    dialect = Dialect(style=style, insunits=insunits, header=insunits is not None)
    return interchange(folder, block, dialect=dialect, unit_mm=unit_mm)


def tallness(piece: DrawnPiece) -> float:
    return float(piece.corners.imag.max() - piece.corners.imag.min())


@pytest.mark.parametrize(
    ("size", "units", "insunits", "unit", "expected"),
    [
        (400, "METRIC", None, 1.0, []),
        (400, "METRIC", MILLIMETRE, 1.0, []),
        (400 / 25.4, "ENGLISH", None, 25.4, []),
        (400 / 25.4, "english", INCH, 25.4, []),
        (400 / 25.4, "ENGLISH", MILLIMETRE, 25.4, ["unit-from-text"]),
        (400, "METRIC", INCH, 1.0, ["unit-from-text"]),
        (400, "ENGLISH", None, 1.0, ["unit-corrected"]),
        (400 / 25.4, "METRIC", INCH, 25.4, ["unit-corrected"]),
        (400 / 25.4, "METRIC", None, 10.0, ["unit-corrected"]),
        (4000, "METRIC", None, 0.1, ["unit-corrected"]),
        (400, None, None, 1.0, ["unit-assumed"]),
        (40, None, None, 10.0, ["unit-assumed"]),
        (5, None, None, 25.4, ["unit-assumed"]),
        (400, None, MILLIMETRE, 1.0, []),
        (400 / 25.4, None, INCH, 25.4, []),
        (400, None, INCH, 1.0, ["unit-assumed"]),
        (400, "FURLONG", None, 1.0, ["unit-assumed"]),
        (60, "METRIC", None, 1.0, ["unit-doubtful"]),
    ],
)
def test_the_unit_is_the_one_that_makes_likely_pieces(
    tmp_path: Path,
    size: float,
    units: str | None,
    insunits: int | None,
    unit: float,
    expected: list[str],
) -> None:
    result = read(tmp_path, size, units, insunits)

    assert result.unit_mm == unit
    assert [c for c in codes(result) if c.startswith("unit-")] == expected
    assert tallness(result.pieces[0]) == pytest.approx(size * unit)


def test_the_finding_says_what_was_applied(tmp_path: Path) -> None:
    result = read(tmp_path, 400 / 25.4, "METRIC", INCH)

    message = next(f.message for f in result.findings if f.code == "unit-corrected")
    assert "Units: METRIC" in message
    assert "15.75 mm" in message
    assert "1 unit was taken as 1 inch" in message
    assert "400 mm" in message


def test_what_the_person_says_wins(tmp_path: Path) -> None:
    result = read(tmp_path, 400, "METRIC", MILLIMETRE, unit_mm=2.0)

    assert result.unit_mm == 2.0
    assert tallness(result.pieces[0]) == pytest.approx(800)
    assert not [c for c in codes(result) if c.startswith("unit-")]


def test_another_unit_scales_everything(tmp_path: Path) -> None:
    small = read(tmp_path, 400 / 25.4, "METRIC", INCH).pieces[0]
    right = read(tmp_path, 400, "METRIC").pieces[0]

    assert signed_area(small.boundary.path) == pytest.approx(
        signed_area(right.boundary.path)
    )


def test_no_likely_unit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match=r"100000 drawing units.*--unit-mm"):
        read(tmp_path, 1e5, "METRIC")

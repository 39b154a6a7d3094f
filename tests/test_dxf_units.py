import io
from pathlib import Path

import pytest
from dxf_drawings import LINE_TAGS, codes, drawing, only_line, read, read_text, simple

from edgefinder.geometry.arclength import lengths
from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf.units import INSUNITS, drawing_unit, header_number

HEADER = """  0
SECTION
  2
HEADER
  9
$ACADVER
  1
AC1015
{variables}  0
ENDSEC
"""


def with_header(variables: str) -> str:
    return HEADER.format(variables=variables) + simple(*LINE_TAGS)


def variable(name: str, value: int) -> str:
    return f"  9\n${name}\n 70\n{value:6}\n"


def length(reading: Reading) -> float:
    return float(lengths(only_line(reading).path.segments).sum())


PUBLISHED = {
    # In millimetres; international units 1959, US survey foot 1200/3937 m, IAU.
    1: 25.4,
    2: 304.8,
    3: 1609344,
    4: 1,
    5: 10,
    6: 1000,
    7: 1e6,
    8: 25.4e-6,
    9: 0.0254,
    10: 914.4,
    11: 1e-7,
    12: 1e-6,
    13: 1e-3,
    14: 100,
    15: 1e4,
    16: 1e5,
    17: 1e12,
    18: 1.495978707e14,
    19: 9.4607304725808e18,
    20: 3.0856775814913673e19,
    21: 304.8006096012192,
    22: 25.4000508001016,
    23: 914.4018288036576,
    24: 1609347.2186944373,
}


@pytest.mark.parametrize(("value", "mm"), PUBLISHED.items())
def test_every_unit_of_length_has_its_published_size(value: int, mm: float) -> None:
    assert INSUNITS[value].mm == pytest.approx(mm, rel=2e-16)


def test_there_are_no_other_units() -> None:
    assert INSUNITS.keys() == PUBLISHED.keys()


@pytest.mark.parametrize("value", [1, 2, 4, 5, 6, 9, 10, 14])
def test_lines_are_read_at_true_size(tmp_path: Path, value: int) -> None:
    document = drawing(unit=value)
    document.modelspace().add_line((0, 0), (3, 4))

    reading = read(tmp_path, document)

    assert length(reading) == pytest.approx(5 * PUBLISHED[value], rel=1e-15)
    assert reading.drawing.unit_mm == PUBLISHED[value]
    assert reading.findings == ()


@pytest.mark.parametrize("insunits", ["", variable("INSUNITS", 0)])
@pytest.mark.parametrize(
    ("measurement", "mm", "name"), [(0, 25.4, "inch"), (1, 1.0, "millimetre")]
)
def test_without_a_unit_the_measurement_is_a_hint_and_is_said(
    tmp_path: Path, insunits: str, measurement: int, mm: float, name: str
) -> None:
    text = with_header(insunits + variable("MEASUREMENT", measurement))

    reading = read_text(tmp_path, text)

    assert length(reading) == 50 * mm
    (finding,) = reading.findings
    assert (finding.code, finding.severity) == ("unit-assumed", "warning")
    assert f"1 {name} because $MEASUREMENT is {measurement}" in finding.message
    assert "--unit-mm" in finding.message


@pytest.mark.parametrize("value", [0, 99, 25, -3])
def test_a_number_that_is_no_unit_means_millimetres_and_is_said(
    tmp_path: Path, value: int
) -> None:
    reading = read_text(tmp_path, with_header(variable("INSUNITS", value)))

    assert length(reading) == 50
    (finding,) = reading.findings
    assert f"$INSUNITS {value}" in finding.message
    assert "1 millimetre;" in finding.message


def test_a_file_without_header_means_millimetres_and_is_said(tmp_path: Path) -> None:
    """The library reports metres here, and a unit that is not in the file."""
    reading = read_text(tmp_path, simple(*LINE_TAGS))

    assert length(reading) == 50
    assert codes(reading) == ["unit-assumed"]
    assert "(no $INSUNITS)" in reading.findings[0].message


def test_the_person_wins_over_the_file_and_that_is_said(tmp_path: Path) -> None:
    reading = read_text(tmp_path, with_header(variable("INSUNITS", 6)), unit_mm=25.4)

    assert length(reading) == 50 * 25.4
    assert codes(reading) == ["unit-overridden"]


@pytest.mark.parametrize("variables", ["", variable("INSUNITS", 1)])
def test_the_person_who_agrees_with_the_file_hears_nothing(
    tmp_path: Path, variables: str
) -> None:
    reading = read_text(tmp_path, with_header(variables), unit_mm=25.4)

    assert length(reading) == 50 * 25.4
    assert reading.findings == ()


def test_a_text_that_looks_like_a_variable_is_none() -> None:
    text = simple(0, "TEXT", 1, "$INSUNITS", 70, 1)

    assert header_number(text.encode(), "INSUNITS", binary=False) is None


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_line_ends_do_not_matter(ends: str) -> None:
    data = with_header(variable("INSUNITS", 5)).replace("\n", ends).encode()

    assert header_number(data, "INSUNITS", binary=False) == 5


@pytest.mark.parametrize("value", [1, 5, 6])
def test_a_binary_file_tells_its_unit(value: int) -> None:
    document = drawing(unit=value)
    stream = io.BytesIO()
    document.write(stream, fmt="bin")

    unit, findings = drawing_unit(
        "front.dxf", stream.getvalue(), binary=True, unit_mm=None
    )

    assert (unit, findings) == (PUBLISHED[value], ())


def test_an_old_binary_file_has_one_byte_for_a_group_code() -> None:
    data = b"\x09$MEASUREMENT\x00\x46\x01\x00\x00ENDSEC\x00"

    assert header_number(data, "MEASUREMENT", binary=True) == 1
    assert header_number(data, "INSUNITS", binary=True) is None

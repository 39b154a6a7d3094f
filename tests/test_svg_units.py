import pytest

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.units import (
    Font,
    Length,
    Viewport,
    position,
    read_length,
    read_numbers,
)

# CSS Values and Units 3, section 6.2, "Absolute lengths": the table of equivalents.
ABSOLUTE = [
    ("1in", 96.0, 25.4),
    ("1cm", 96 / 2.54, 10.0),
    ("1mm", 96 / 25.4, 1.0),
    ("1Q", 96 / 2.54 / 40, 0.25),
    ("1pt", 96 / 72, 25.4 / 72),
    ("1pc", 16.0, 25.4 / 6),
    ("1px", 1.0, 25.4 / 96),
    ("1", 1.0, 25.4 / 96),
]


@pytest.mark.parametrize(("text", "px", "mm"), ABSOLUTE)
def test_absolute_units_are_those_of_the_standard(
    text: str, px: float, mm: float
) -> None:
    length = read_length(text)

    assert length.px == pytest.approx(px, rel=1e-15)
    assert length.mm == pytest.approx(mm, rel=1e-15)


@pytest.mark.parametrize("text", [" 12.5MM ", "+1.25e1mm", "12.5mm\n"])
def test_case_signs_exponents_and_space_around_do_not_matter(text: str) -> None:
    assert read_length(text) == Length(12.5, "mm")


def test_millimetres_are_exact() -> None:
    assert read_length("210mm").mm == 210


@pytest.mark.parametrize(
    "text",
    [
        "",
        "mm",
        "1 mm",
        "1mm2",
        "1furlong",
        "1e400",
        "nan",
        "inf",
        "1,5",
        "0x10",
        "1e13",
        "calc(1px)",
        "\u0661mm",
        "--1",
        "1_0",
    ],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(DrawingError):
        read_length(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ()),
        ("  ", ()),
        ("1 2", (1, 2)),
        ("1,2\n3\t, 4", (1, 2, 3, 4)),
        ("1-2.5.5", (1, -2.5, 0.5)),
    ],
)
def test_lists_are_parted_by_space_commas_or_signs(
    text: str, expected: tuple[float, ...]
) -> None:
    assert read_numbers(text) == expected


@pytest.mark.parametrize("text", ["1,,2", ",1", "1,", "1 x", "1 2mm", "1e999"])
def test_a_mistake_in_a_list_is_refused(text: str) -> None:
    with pytest.raises(DrawingError):
        read_numbers(text)


def test_a_place_is_named_by_its_character_and_what_stands_there() -> None:
    assert position("M0 0 L10 x 20", 9) == 'character 10, "x 20",'
    assert position("x" * 99, 0) == f'character 1, "{"x" * 24}...",'


def test_shares_are_of_width_height_or_diagonal() -> None:
    viewport = Viewport(300, 400, lambda _unit: None)

    assert viewport.across("10%") == 30
    assert viewport.down("10%") == 40
    # SVG 2, section 8.9: sqrt(300^2 + 400^2) / sqrt 2.
    assert viewport.along("10%") == pytest.approx(50 / 2**0.5)


def test_a_share_of_nothing_known_is_refused() -> None:
    viewport = Viewport(None, 400, lambda _unit: None)

    assert viewport.down("50%") == 200
    for resolve in (viewport.across, viewport.along):
        with pytest.raises(DrawingError, match="has no size"):
            resolve("50%")


def test_lengths_in_em_are_of_the_font_and_ex_is_half_of_it_and_reported() -> None:
    met: list[str] = []
    viewport = Viewport(300, 400, met.append, Font(20.0, 10.0))

    assert [viewport.across(f"2{unit}") for unit in ("em", "rem", "ex")] == [40, 20, 20]
    assert met == ["ex"]


def test_a_font_of_unknown_size_is_taken_as_16_px_and_reported() -> None:
    met: list[str] = []
    viewport = Viewport(300, 400, met.append, Font(None, None))

    assert [viewport.across(f"2{unit}") for unit in ("em", "rem", "ex")] == [32, 32, 16]
    assert met == ["em", "rem", "ex"]


def test_a_length_of_too_large_a_font_is_refused() -> None:
    viewport = Viewport(None, None, lambda _unit: None, Font(1e12, 1e12))

    with pytest.raises(DrawingError, match="too large"):
        viewport.across("2em")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("10mm", Length(10, "mm")),
        ("50%", Length(50, "%")),
        ("2em", Length(40, "px")),
        ("calc(2em + 2px)", Length(42, "px")),
    ],
)
def test_an_absolute_length_needs_no_font(text: str, expected: Length) -> None:
    viewport = Viewport(None, None, lambda _unit: None, Font(20.0, 10.0))

    assert viewport.absolute(text) == expected


def test_a_sum_of_real_units_is_real() -> None:
    length = Viewport(None, None, lambda _unit: None).absolute("calc(1cm + 40px)")

    assert length.unit == "mm"
    assert length.mm == pytest.approx(10 + 40 * 25.4 / 96)

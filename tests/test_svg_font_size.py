import pytest
from svg_texts import length_of, read_body

from edgefinder.importers.svg.font_size import font_of, is_font_size, size_in_font
from edgefinder.importers.svg.units import Font

PARENT = Font(20.0, 10.0)

# As Chromium computes them inside a font of 20 px whose root has 10 px, but for the
# last rows: it knows the window and the font.
WRITTEN = [
    ("xx-small", 9),
    ("x-small", 10),
    ("small", 13),
    ("medium", 16),
    ("large", 18),
    ("x-large", 24),
    ("xx-large", 32),
    ("xxx-large", 48),
    ("MEDIUM", 16),
    ("larger", 24),
    ("smaller", 20 / 1.2),
    ("150%", 30),
    ("2em", 40),
    ("0.1em", 2),
    ("1.5rem", 15),
    ("20", 20),
    ("+5px", 5),
    ("1e1px", 10),
    ("15pt", 20),
    ("0", 0),
    ("-3", 20),
    ("bogus", 20),
    ("", 20),
    ("inherit", 20),
    ("unset", 20),
    ("initial", 16),
    ("calc(1em + 4px)", 24),
    ("calc(50% + 1px)", 11),
    ("calc(-3px)", 0),
    (None, 20),
    ("2ex", None),
    ("10vw", None),
    ("var(--x)", None),
    ("min(1px, 2px)", None),
    ("1e12em", None),
]


@pytest.mark.parametrize(("written", "px"), WRITTEN)
def test_sizes_are_those_of_the_standard_and_of_chromium(
    written: str | None, px: float | None
) -> None:
    font = font_of(PARENT, written)

    assert font.root_px == 10
    assert font.px == (None if px is None else pytest.approx(px))


@pytest.mark.parametrize("written", ["2em", "150%", "larger", "smaller"])
def test_a_share_of_an_unknown_size_is_unknown(written: str) -> None:
    assert font_of(Font(None, 10.0), written).px is None
    assert font_of(Font(None, 10.0), "12px").px == 12


@pytest.mark.parametrize(
    ("shorthand", "size"),
    [
        ("12px serif", "12px"),
        ("bold 20px/2 serif", "20px"),
        ("italic 700 small-caps 2em/1.2em 'a b', c", "2em"),
        ("x-large serif", "x-large"),
        ("condensed 50% x", "50%"),
        ("20 serif", None),
        ("700 serif", None),
        ("12px", None),
        ("serif", None),
        ("", None),
        ("caption", "medium"),
        ("inherit", "inherit"),
        ("initial", "initial"),
    ],
)
def test_the_size_is_found_in_a_font_declaration(
    shorthand: str, size: str | None
) -> None:
    assert size_in_font(shorthand) == size


@pytest.mark.parametrize(
    ("value", "counts"),
    [("12px", True), ("12", False), ("0", True), ("-1px", False), ("big", False)],
)
def test_a_declaration_needs_a_unit(value: str, counts: bool) -> None:
    assert is_font_size(value) is counts


@pytest.mark.parametrize(
    ("body", "length"),
    [
        ('<g font-size="20"><g font-size="50%"><line x2="1em"/></g></g>', 10),
        ('<line font-size="20" style="font-size: 10px" x2="1em"/>', 10),
        ('<line style="font-size: 10px; font-size: 9" x2="1em"/>', 10),
        ('<line style="font: bold 10px/1 serif" x2="1em"/>', 10),
        ('<line font="10px serif" x2="1em"/>', 16),
        ("<style>line {font-size: 9px}</style><line font-size='5' x2='1em'/>", 9),
        ("<style>g {font: 9px x}</style><g><line x2='1em'/></g>", 9),
        (
            (
                "<style>line {font-size: 9px !important}</style>"
                "<line style='font-size: 5px' x2='1em'/>"
            ),
            9,
        ),
        ('<g font-size="20"><line font-size="2em" x2="1em" y2="0"/></g>', 40),
        ('<g font-size="20"><rect width="0.25em" height=".25em"/></g>', 20),
        (
            (
                '<symbol id="s" font-size="30"><line x2="50%"/></symbol>'
                '<use href="#s" width="2em" height="9" font-size="20"/>'
            ),
            30,
        ),
        (
            (
                '<g font-size="10"><use href="#l" font-size="2em"/></g>'
                '<defs><line id="l" x2="1em"/></defs>'
            ),
            20,
        ),
    ],
)
def test_a_line_in_em_takes_the_font_of_its_own_element(
    body: str, length: float
) -> None:
    (line,) = read_body(body).drawing.lines

    assert length_of(line) == pytest.approx(length)


def test_transforms_in_em_take_the_font_of_their_own_element() -> None:
    body = '<path font-size="20" style="transform: translate(2em, 1px)" d="M0 0H1"/>'

    (line,) = read_body(body).drawing.lines

    assert line.path.start == pytest.approx(40 - 1j)


def test_parts_of_a_text_have_fonts_of_their_own() -> None:
    body = (
        '<text font-size="20" x="1em" y="50">a'
        '<tspan style="font-size: 40px" x="2em" dy="0.5em">b'
        '<tspan x="1em">c</tspan></tspan></text>'
    )

    texts = read_body(body).drawing.texts

    assert [text.at for text in texts] == [20 - 50j, 80 - 70j, 40 - 70j]

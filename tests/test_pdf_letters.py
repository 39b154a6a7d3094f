"""Letters in a PDF: whichever font has them, none vanishes."""

from pathlib import Path
from typing import Final

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from hypothesis import given
from hypothesis import strategies as st
from pdf_pages import objects, page_texts, squeezed
from sheet_cases import made, outline, run_of

from edgefinder.reports.pdf.document import content_pdf, sheet_pdf
from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.paper import Paper
from edgefinder.reports.sheet.content import sheet_content

NAME: Final = "Größe Œuvre Žlutý Ж 布"
BIB: Final = "M 100 400 L 400 400 L 400 200 L 100 200 Z"
EM: Final = 1000
WIDE: Final = 700


def write_font(path: Path, letters: str, *, embedding: int = 0) -> None:
    """Write a TrueType font whose letters are squares."""
    names = [".notdef", *(f"u{ord(letter):04X}" for letter in letters)]
    pen = TTGlyphPen(None)
    pen.moveTo((50, 0))
    for corner in ((50, 600), (650, 600), (650, 0)):
        pen.lineTo(corner)
    pen.closePath()
    square = pen.glyph()
    font = FontBuilder(EM)
    font.setupGlyphOrder(names)
    font.setupCharacterMap({ord(c): f"u{ord(c):04X}" for c in letters})
    font.setupGlyf(dict.fromkeys(names, square))
    font.setupHorizontalMetrics(dict.fromkeys(names, (WIDE, 50)))
    font.setupHorizontalHeader(ascent=800, descent=-200)
    font.setupNameTable({"familyName": "Squares", "styleName": "Regular"})
    font.setupOS2(sTypoAscender=800, fsType=embedding)
    font.setupPost()
    font.save(path)


@pytest.fixture
def fonts(tmp_path: Path) -> Path:
    """Return a folder with a font that has two letters, by names that are known."""
    folder = tmp_path / "fonts"
    folder.mkdir()
    write_font(folder / "DejaVuSans.ttf", "Ж布")
    write_font(folder / "DejaVuSans-Bold.ttf", "Ж布")
    return folder


def text_of(text: str, folders: tuple[Path, ...] = ()) -> str:
    return "".join(span.text for span in Letters(folders).spans(text))


def test_latin_letters_need_no_font_of_the_computer() -> None:
    for text in ("Größe", "Œuvre", "Žlutý", "1/2 € “a”"):
        spans = Letters(()).spans(text)

        assert [span.text for span in spans] == [text]


def test_a_letter_that_no_font_has_is_written_as_its_number() -> None:
    assert text_of("a布b") == "a[U+5E03]b"
    assert text_of("🧵") == "[U+1F9F5]"


def test_a_font_of_the_computer_has_what_is_missing(fonts: Path) -> None:
    spans = Letters([fonts]).spans("布a")

    assert [span.text for span in spans] == ["布", "a"]
    assert spans[0].font != spans[1].font
    # All in one font where that has all letters.
    assert len(Letters([fonts]).spans("Ж布")) == 1
    assert text_of("布裁", (fonts,)) == "布[U+88C1]"


@pytest.mark.parametrize("embedding", [0x0002, 0x0100, 0x0200])
def test_a_font_that_may_not_be_embedded_is_passed_over(
    tmp_path: Path, embedding: int
) -> None:
    # OpenType 1.9, table OS/2, fsType: restricted, no subsetting, bitmaps only.
    write_font(tmp_path / "dejavusans.ttf", "布", embedding=embedding)
    write_font(tmp_path / "dejavusans-bold.ttf", "布", embedding=embedding)

    assert text_of("布", (tmp_path,)) == "[U+5E03]"


def test_what_is_no_font_is_passed_over(tmp_path: Path) -> None:
    for name in ("dejavusans.ttf", "dejavusans-bold.ttf"):
        (tmp_path / name).write_bytes(b"OTTO not a font")

    assert text_of("布", (tmp_path, tmp_path / "nowhere")) == "[U+5E03]"


def test_a_letter_and_its_accent_are_one_letter() -> None:
    assert text_of("Gro\u0308ße") == "Größe"


def test_control_characters_cannot_reach_the_page() -> None:
    assert text_of("a\x00b\nc\x1b[31m") == "a b c [31m"


def test_the_width_is_that_of_the_font_in_each_span(fonts: Path) -> None:
    letters = Letters([fonts])

    assert letters.width("布", 10.0) == pytest.approx(10.0 * WIDE / EM)
    parts = letters.width("布", 10.0) + letters.width("a", 10.0)
    assert letters.width("布a", 10.0) == pytest.approx(parts)


WORDS = st.text(st.sampled_from("abWi.布é 1/2"), max_size=80)


@given(WORDS, st.floats(5.0, 200.0))
def test_wrapping_keeps_every_letter_and_the_width(text: str, wide: float) -> None:
    letters = Letters(())

    lines = letters.wrapped(text, wide, 8.0)

    assert squeezed("".join(lines)) == squeezed(text)
    for line in lines:
        assert letters.width(line, 8.0) <= wide or len(line) == 1


def test_a_figure_stays_with_its_unit() -> None:
    letters = Letters(())
    wide = letters.width("cut 2 3/8", 8.0) + 1.0

    assert letters.wrapped("cut 2 3/8 in wide", wide, 8.0) == (
        "cut",
        "2 3/8 in",
        "wide",
    )


def test_a_text_is_cut_short_to_the_room_there_is() -> None:
    letters = Letters(())
    wide = letters.width("a long name", 8.0)

    short = letters.shortened("a long name of a pattern", wide, 8.0)

    assert short.endswith("..")
    assert letters.width(short, 8.0) <= wide
    assert letters.shortened("a long name", wide, 8.0) == "a long name"
    assert letters.shortened("W" * 500, wide, 8.0).startswith("WW")


def test_names_in_any_script_are_in_the_text_of_the_pdf(
    tmp_path: Path, fonts: Path
) -> None:
    release = made(tmp_path, outline(BIB, NAME), run_of("top", f"{NAME} 1"))
    content = sheet_content(release)

    data = content_pdf(content, Paper.A4, folders=[fonts])

    text = "".join(page_texts(data))
    assert squeezed(f"Bound edges of {NAME}") in text
    assert squeezed(f"{NAME}, one size") in text
    embedded = [one for one in objects(data) if one.get("/Type") == "/FontDescriptor"]
    assert any("Squares" in str(one["/FontName"]) for one in embedded)
    assert b"/fonts/" not in data
    without = "".join(page_texts(content_pdf(content, Paper.A4, folders=())))
    assert squeezed(NAME.replace("Ж", "[U+0416]").replace("布", "[U+5E03]")) in without


def test_the_fonts_of_this_computer_raise_no_error(tmp_path: Path) -> None:
    release = made(tmp_path, outline(BIB, NAME), run_of("top", f"{NAME} 1"))

    data = sheet_pdf(release, Paper.A4)

    assert squeezed("Größe Œuvre") in "".join(page_texts(data))
    assert sheet_pdf(release, Paper.A4) == data

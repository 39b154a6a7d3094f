import pytest
from hypothesis import given
from hypothesis import strategies as st
from svg_texts import codes, read_body, read_line, svg_text

from edgefinder.importers.svg.names import (
    MAX_NAME_CHARACTERS,
    MAX_NAMES,
    readable_id,
)
from edgefinder.importers.svg.reading import read_svg_text

PATH = '<path d="M0 0H1"/>'


def names(body: str) -> tuple[str, ...]:
    return read_line(body).names


def test_a_label_in_the_namespace_of_any_editor_is_a_name_and_the_label() -> None:
    for attribute in ("label", "name", "id", "title"):
        body = f'<g xmlns:e="urn:editor" e:{attribute}="Side front" id="g1">{PATH}</g>'

        line = read_line(body)

        assert line.layer == "Side front"
        assert line.groups == ("Side front",)
        assert line.names == ("Side front", "g1")


def test_names_come_in_order_of_trust_and_from_the_line_outwards() -> None:
    body = (
        '<g xmlns:e="urn:e" id="outer" e:label="Size M" data-piece="Bodice">'
        "<title>Pattern</title><desc>For a first fitting</desc>"
        '<g id="inner" aria-label="Front">'
        '<path id="p1" e:label="Neck" data-size="M" d="M0 0H1">'
        "<title>Neckline</title><desc>Bound</desc></path></g></g>"
    )

    assert names(body) == (
        *("Neck", "Front", "Size M"),
        *("Neckline", "Pattern"),
        *("M", "Bodice"),
        *("p1", "inner", "outer"),
        *("Bound", "For a first fitting"),
    )


def test_a_name_is_offered_once_and_with_single_spaces() -> None:
    body = '<g id="a"><path id="a" data-name=" a\n b " data-x="a b" d="M0 0H1"/></g>'

    assert names(body) == ("a b", "a")


def test_an_xml_id_is_an_id_and_links_and_other_attributes_are_no_names() -> None:
    body = (
        '<path xml:id="a" xmlns:e="urn:e" e:type="x" class="y" fill="none" '
        'xlink:href="#z" d="M0 0H1"/>'
    )

    assert names(body) == ("a",)


def test_empty_names_and_whole_paragraphs_are_none() -> None:
    long = "word " * (MAX_NAME_CHARACTERS // 5) + "more"

    assert names(f'<path id="" data-a=" " d="M0 0H1"><desc>{long}</desc></path>') == ()


def test_names_that_go_on_without_end_are_cut_off() -> None:
    many = " ".join(f'data-a{i}="{i}"' for i in range(3 * MAX_NAMES))

    assert names(f"<g {many}>{PATH}</g>") == tuple(str(i) for i in range(MAX_NAMES))


def test_classes_that_go_on_without_end_are_cut_off() -> None:
    body = f'<g class="{" ".join(f"c{i}" for i in range(5000))}">{PATH}</g>'

    assert read_line(body).classes == tuple(f"c{i}" for i in range(100))


def test_what_a_use_element_copies_is_named_by_the_copy_too() -> None:
    body = f'<defs><g id="a">{PATH}</g></defs><use href="#a" data-name="Left front"/>'

    (line,) = read_body(body).drawing.lines

    assert line.names == ("Left front", "a")


def test_the_root_names_the_whole_drawing() -> None:
    text = svg_text(f"<title>Apron front</title>{PATH}", 'id="svg1" data-size="M"')

    drawing = read_svg_text(text, "a.svg").drawing

    assert drawing.names == ("Apron front", "M", "svg1")
    assert drawing.lines[0].names == ()


@pytest.mark.parametrize("tag", ["title", "desc"])
def test_titles_and_descriptions_draw_nothing_and_need_no_finding(tag: str) -> None:
    reading = read_body(f"<{tag}>x</{tag}>{PATH}")

    assert codes(reading) == {}


@given(
    st.text(
        st.characters(categories=["L", "N", "P", "S"], exclude_characters="_"),
        min_size=1,
    )
)
def test_an_id_is_read_as_it_was_called_before_it_was_escaped(name: str) -> None:
    """Escaped letter by letter, as a drawing program does that allows none."""
    escaped = "".join(f"_x{ord(letter):02X}_" for letter in name)

    assert readable_id(escaped) == name


@pytest.mark.parametrize(
    ("written", "called"),
    [
        ("Size_x20_XS", "Size XS"),
        ("top_x5F_front_x20_2", "top_front 2"),
        ("Size_XS", "Size_XS"),
        ("box_x_", "box_x_"),
        ("tab_x09_bell_x07_", "tab_x09_bell_x07_"),  # no printed letters
        ("far_x110000_", "far_x110000_"),  # no letter at all
        ("_x20_", "_x20_"),
    ],
)
def test_only_what_stands_for_a_printed_letter_is_an_escape(
    written: str, called: str
) -> None:
    line = read_line(f'<g id="{written}"><path id="{written}" d="M0 0H1"/></g>')

    assert (line.layer, line.id) == (called, called)
    assert line.names == (called,)

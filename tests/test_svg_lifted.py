"""Taking path data out of a text must not show in what is read of it."""

from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from svg_texts import svg_text

from edgefinder.errors import DrawingError
from edgefinder.importers.svg import lifted
from edgefinder.importers.svg.lifted import LEAST_BYTES, MOST_BYTES, lift
from edgefinder.importers.svg.prefixes import SVG_NAMESPACE
from edgefinder.importers.svg.xml import Element, parse_document

DATA = "M1 2" + " 3,-4.5" * LEAST_BYTES
"""Path data that is long enough to be taken out."""

PLACES = (
    '<path id="a" d="{}"/>',
    '<path\n\td="{}"\n id="b"></path>',
    '<g>\n<path d="M0 0"/> <path d="{}" class="x"/></g>',
    "<path d='{}'/>",
    # An attribute that ends like one, one within another, and quotes of other kinds.
    '<path id="{}"/>',
    '<g id=\'x d="{}"\' class="a"/>',
    '<g id="x d=" class="{}"/>',
    "<g id=\"x d='{}'\"/>",
    # Text, comments and instructions.
    '<title>so d="{}" says it</title>',
    '<title>so d="{}</title><title>and "</title>',
    '<title><![CDATA[<path d="{}"/>]]></title>',
    '<!-- <path d="{}"/> --><g id="c"/>',
    '<!-- d="{} --><g id="d"/>',
    '<?say d="{}"?>',
    # What is wrong, and what looks like a mark.
    '<path d="{}" d="{}"/>',
    '<path d="{}/><g id="e"/>',
    '<g id="x d="{}" />',
    "<title>&#127;0&#x7F;</title>",
    "<title>\x7f0\x7f</title>",
    "<title>&amp;&#10;</title>",
)
ODD = ("", "\n", "\r\n", "\r", "\t", "&amp;", "<", ">", "'", "=", "é", "\x01", "]]>")
HEADS = (
    "",
    '<?xml version="1.0"?>\n<!-- d="made" -->\n',
    '<!DOCTYPE svg PUBLIC "x d=" "{}">',
    f'<!DOCTYPE svg PUBLIC "x d="{" " * LEAST_BYTES}"y">',
)


def by_element_tree(text: bytes) -> Any:
    """Return tags, attributes and titles, or None for what is not well-formed."""
    try:
        root = ElementTree.fromstring(text)  # noqa: S314 - our own text
    except ElementTree.ParseError:
        return None
    return [
        (one.tag, one.attrib, one.text if one.tag.endswith("}title") else None)
        for one in root.iter()
    ]


def by_us(text: bytes) -> Any:
    try:
        root = parse_document(text, "a.svg").root
    except DrawingError:
        return None
    found: list[Any] = []

    def visit(one: Element) -> None:
        title = (one.text or None) if one.tag == "title" else None
        found.append((f"{{{SVG_NAMESPACE}}}{one.tag}", dict(one.attributes), title))
        for child in one.children:
            visit(child)

    visit(root)
    return found


def spaced(found: Any) -> Any:
    """Make white space in titles one kind: it is one space in a name anyway."""
    return found and [
        (tag, attributes, title and title.translate({9: " ", 10: " "}))
        for tag, attributes, title in found
    ]


@st.composite
def texts(draw: st.DrawFn) -> bytes:
    def data() -> str:
        at = draw(st.integers(0, len(DATA)))
        return DATA[:at] + draw(st.sampled_from(ODD)) + DATA[at:]

    places = draw(st.lists(st.sampled_from(PLACES), min_size=1, max_size=4))
    body = "".join(place.replace("{}", data()) for place in places)
    head = draw(st.sampled_from(HEADS)).replace("{}", DATA)
    return head.encode() + svg_text(body)


@settings(max_examples=400)
@given(texts())
@example(svg_text("".join(place.replace("{}", DATA) for place in PLACES[:4])))
def test_a_text_is_read_as_element_tree_reads_it(text: bytes) -> None:
    assert spaced(by_us(text)) == spaced(by_element_tree(text))


def test_long_path_data_is_taken_out() -> None:
    text = svg_text(f'<path d="{DATA}"/><path d="M0 0H1"/><path id="a" d="{DATA}z"/>')

    taken = lift(text)

    assert taken.values == (DATA, f"{DATA}z")
    assert len(taken.text) < len(text) - 2 * len(DATA) + 10


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_within_path_data_are_counted(end: str) -> None:
    text = svg_text(f'<path d="{DATA.replace(" ", end, 7)}"/>{end}<g id="a"/>')

    path, group = parse_document(text, "a.svg").root.children

    assert (path.line, group.line) == (2, 10)
    assert path.attributes["d"] == DATA


def test_only_what_is_long_and_not_too_long_is_taken_out() -> None:
    short = "M" + "1" * (LEAST_BYTES - 2)
    long = "M" + "1" * MOST_BYTES

    assert lift(svg_text(f'<path d="{short}"/><path d="{long}"/>')).values == ()
    assert lift(svg_text(f'<path d="{short}1"/>')).values == (f"{short}1",)


@pytest.mark.parametrize(
    "head",
    [
        f"<!DOCTYPE svg [<!ENTITY a ' d=\"{DATA}\"'>]>",
        f"<!DOCTYPE svg [<!ATTLIST path id CDATA 'a d=\"{DATA}\"'>]>",
    ],
)
def test_what_could_be_copied_stays_in_its_true_size(head: str) -> None:
    text = head.encode() + svg_text(f'<path d="{DATA}"/>')

    assert lift(text).text == text


def test_a_text_of_signs_is_left_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lifted, "MOST_SIGNS", 100)
    text = svg_text(f'<path d="{DATA}"/>{"<g/>" * 50}')

    assert lift(text).text == text


def test_nothing_is_taken_out_of_nothing() -> None:
    assert lift(b"").text == b""
    assert lift(b'"').text == b'"'

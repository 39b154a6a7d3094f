import gzip
import time

import pytest
from svg_texts import FIXTURES, svg_text

from edgefinder.errors import DrawingError
from edgefinder.importers.svg import xml as svg_xml
from edgefinder.importers.svg.xml import (
    MAX_DEPTH,
    parse_document,
)

SVG = 'xmlns="http://www.w3.org/2000/svg"'


def refusal(data: bytes) -> str:
    with pytest.raises(DrawingError) as caught:
        parse_document(data, "a.svg")
    (message,) = caught.value.messages
    return message


def test_elements_keep_their_line_their_order_and_expanded_names() -> None:
    text = (
        f'<svg {SVG} xmlns:e="urn:e">\n<g e:label="Front" id="f">\n<path/><rect/>'
        "</g></svg>"
    )

    root = parse_document(text.encode(), "a.svg").root

    (group,) = root.children
    assert (root.line, group.line) == (1, 2)
    assert dict(group.attributes) == {"{urn:e}label": "Front", "id": "f"}
    assert [child.tag for child in group.children] == ["path", "rect"]
    assert next(group.children).line == 3


def test_elements_of_other_namespaces_are_left_out_with_all_in_them() -> None:
    text = f'<svg {SVG} xmlns:e="urn:e"><e:x><g {SVG}/></e:x><path/></svg>'

    root = parse_document(text.encode(), "a.svg").root

    assert [child.tag for child in root.children] == ["path"]


def test_a_prefix_for_the_svg_namespace_is_no_hindrance() -> None:
    text = '<s:svg xmlns:s="http://www.w3.org/2000/svg"><s:path d="M0 0"/></s:svg>'

    document = parse_document(text.encode(), "a.svg")

    assert document.has_namespace
    assert next(document.root.children).tag == "path"


def test_an_svg_element_without_namespace_is_read() -> None:
    document = parse_document(b"<svg><path/></svg>", "a.svg")

    assert not document.has_namespace
    assert next(document.root.children).tag == "path"


def test_a_plain_doctype_is_not_loaded_and_does_no_harm() -> None:
    text = (
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" '
        f'"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd"><svg {SVG}/>'
    )

    assert parse_document(text.encode(), "a.svg").root.tag == "svg"


def test_short_entities_are_kept() -> None:
    text = f'<!DOCTYPE svg [<!ENTITY n "urn:e">]><svg {SVG} xmlns:e="&n;" e:a="1"/>'

    root = parse_document(text.encode(), "a.svg").root

    assert dict(root.attributes) == {"{urn:e}a": "1"}


@pytest.mark.parametrize(
    "declaration",
    [
        '<!ENTITY a SYSTEM "file:///etc/passwd">',
        '<!ENTITY a PUBLIC "x" "http://example.invalid/">',
        '<!ENTITY % a "<!ENTITY b 1>">',
        '<!ENTITY % a SYSTEM "http://example.invalid/"> %a;',
        '<!ENTITY a "x"><!ENTITY b "&a;&a;">',
        '<!ENTITY b "&#38;a;">',
        '<!ENTITY a "<path/>">',
        f'<!ENTITY a "{"x" * 257}">',
    ],
)
def test_other_entities_are_refused_even_unused(declaration: str) -> None:
    message = refusal(f"<!DOCTYPE svg [{declaration}]><svg {SVG}/>".encode())

    assert message.startswith("a.svg: line 1: ")
    assert "entity" in message


def test_an_entity_that_an_outside_document_type_would_declare_is_refused() -> None:
    text = f'<!DOCTYPE svg SYSTEM "x.dtd"><svg {SVG}><title>&nbsp;</title></svg>'

    assert 'the entity "nbsp"' in refusal(text.encode())


@pytest.mark.parametrize("name", ["entity-bomb.svg", "outside-entity.svg"])
def test_hostile_entities_end_at_once(name: str) -> None:
    began = time.perf_counter()

    refusal((FIXTURES / name).read_bytes())

    assert time.perf_counter() - began < 1


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"<html><body/></html>", "is a <html> document, not an SVG drawing"),
        (b"<svg xmlns='urn:other'/>", "is a <svg> document"),
        (svg_text("<g>")[:-8], "not well-formed XML"),
        (svg_text('<path d="M0 0" d="M1 1"/>'), "not well-formed XML"),
        (b"0\nSECTION\n2\nHEADER\n", "not well-formed XML"),
        (b"\x89PNG\r\n\x1a\n", "not well-formed XML"),
        (b"   ", "not well-formed XML"),
        (b"<?xml version='1.0' encoding='klingon'?><svg/>", "line 1: "),
        (b"<?xml version='1.0' encoding='rot13'?><svg/>", "encoding"),
        (b"<?xml version='1.0' encoding='cp932'?><svg>\x81</svg>", "encoding"),
    ],
)
def test_what_is_no_svg_is_refused_in_one_line(data: bytes, said: str) -> None:
    message = refusal(data)

    assert said in message
    assert "\n" not in message
    assert "save" in message or "export" in message


def test_a_cut_off_file_is_refused_with_its_last_line() -> None:
    message = refusal(svg_text("<g>\n<path/>\n")[:-9])

    assert message.startswith("a.svg: line ")


def test_too_deep_a_drawing_is_refused_with_its_line() -> None:
    deep = f"<svg {SVG}>\n" + "<g>" * MAX_DEPTH + "</g>" * MAX_DEPTH + "</svg>"

    assert refusal(deep.encode()).startswith(
        f"a.svg: line 2: has more than {MAX_DEPTH}"
    )


def test_foreign_elements_count_for_the_depth_too() -> None:
    deep = f'<svg {SVG} xmlns:e="e">' + "<e:g>" * 5000 + "</e:g>" * 5000 + "</svg>"

    assert "in one another" in refusal(deep.encode())


def test_too_many_elements_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(svg_xml, "MAX_ELEMENTS", 100)

    parse_document(svg_text("<g/>" * 99), "a.svg")
    assert "more than 100 elements" in refusal(svg_text("<g/>" * 100))


@pytest.mark.parametrize(
    ("before", "after"),
    [('<path d="', '"/>'), ("<!--", "--><g/>"), ("<?x ", "?><g/>")],
)
def test_too_long_a_tag_or_comment_is_refused_before_it_has_been_read_often(
    before: str, after: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(svg_xml, "MAX_TOKEN_BYTES", 2000)
    monkeypatch.setattr(svg_xml, "_PIECE", 1000)

    parse_document(svg_text(before + " " * 1500 + after), "a.svg")
    message = refusal(svg_text(before + " " * 5000 + after))
    assert message.startswith("a.svg: line ")
    assert "has a tag or a comment of more than 2000 bytes" in message


def test_a_long_attribute_is_read_in_time_that_grows_with_its_length() -> None:
    def seconds(megabytes: int) -> float:
        text = svg_text(f'<path d="{"1 " * (megabytes * 2**19)}"/>')
        began = time.perf_counter()
        parse_document(text, "a.svg")
        return time.perf_counter() - began

    assert seconds(16) < 100 * min(seconds(2) for _ in range(3))


def test_entities_that_would_make_a_long_text_are_refused() -> None:
    value, text = "x" * 250, "&a;" * 100_000

    entity = f'<!DOCTYPE svg [<!ENTITY a "{value}">]>'
    message = refusal(f"{entity}<svg {SVG}><title>{text}</title></svg>".encode())

    assert "a text of more than 16777216 characters of 100000 references" in message


def test_entities_without_end_are_refused() -> None:
    many = "".join(f"<!ENTITY a{i} 'x'>" for i in range(1001))

    message = refusal(f"<!DOCTYPE svg [{many}]><svg {SVG}/>".encode())

    assert "declares more than 1000 entities" in message


def test_a_compressed_drawing_is_unpacked() -> None:
    packed = gzip.compress(svg_text("<path/>"))

    assert next(parse_document(packed, "a.svgz").root.children).tag == "path"


def test_a_compressed_bomb_is_refused_before_it_unfolds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(svg_xml, "MAX_DRAWING_BYTES", 2**20)
    bomb = gzip.compress(b" " * (2**20 + 1))

    assert "unpacks to more than the 1048576 bytes" in refusal(bomb)


def test_damaged_and_cut_off_compressed_files_are_refused() -> None:
    packed = gzip.compress(svg_text("<path/>" * 1000))

    assert "cut off" in refusal(packed[:-20])
    assert "damaged" in refusal(packed[:10] + b"\xff" * 30)


def test_outside_style_sheets_are_counted() -> None:
    text = f'<?xml-stylesheet href="a.css"?><svg {SVG}/>'

    assert parse_document(text.encode(), "a.svg").outside_sheets == 1

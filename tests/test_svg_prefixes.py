import time

import pytest
from svg_texts import ONE_MM, codes, length_of, svg_text

from edgefinder.errors import DrawingError
from edgefinder.findings import Severity
from edgefinder.importers.svg.reading import read_svg_text
from edgefinder.importers.svg.xml import Document, Element, parse_document

SVG = 'xmlns="http://www.w3.org/2000/svg"'


def as_nested(element: Element) -> object:
    """Return all of an element, to compare it with another."""
    content = [
        part if isinstance(part, str) else as_nested(part) for part in element.content
    ]
    return element.tag, dict(element.attributes), element.line, content


def parsed(text: str) -> Document:
    return parse_document(text.encode(), "a.svg")


@pytest.mark.parametrize(
    "body",
    [
        '<g e:label="Front" id="f">\n<path d="M0 0H9"/>\n<title>a</title></g>',
        '<e:view><path/></e:view>\n<path xml:space="preserve"/>',
        '<g xmlns:e="urn:other">\n<g xmlns:e="urn:third" e:b="1"/></g><g e:b="3"/>',
        f'<e:x><svg {SVG}/><g xmlns=""/></e:x>\n<g xmlns="urn:u"><path/></g><path/>',
    ],
)
def test_all_else_is_read_as_expat_reads_it_with_the_prefix_declared(body: str) -> None:
    declared = parsed(
        f'<svg {SVG} xmlns:e="e" xmlns:z="undeclared:z">{body}<g z:a="1"/></svg>'
    )
    unbound = parsed(f'<svg {SVG} xmlns:e="e">{body}<g z:a="1"/></svg>')

    assert as_nested(unbound.root) == as_nested(declared.root)
    assert (declared.unbound, dict(unbound.unbound)) == (
        {},
        {"z": 1 + body.count("\n")},
    )


def test_xlink_and_svg_mean_what_they_always_mean() -> None:
    text = (
        f'<svg {SVG} {ONE_MM}>\n<defs><s:path xmlns:s="http://www.w3.org/2000/svg" '
        'id="a" d="M0 0H10"/></defs>\n<use xlink:href="#a"/>\n'
        '<svg:path d="M0 5H20"/>\n</svg>'
    )

    reading = read_svg_text(text.encode(), "a.svg")

    assert [length_of(line) for line in reading.drawing.lines] == [10, 20]
    (finding,) = reading.findings
    assert (finding.severity, finding.where) == (Severity.WARNING, "a.svg: line 3")
    assert finding.message == (
        'the file does not declare the XML prefixes "xlink", "svg"; it is read as if '
        "it did: save the drawing again as plain SVG"
    )


def test_an_svg_element_without_any_namespace_draws_what_has_the_svg_prefix() -> None:
    text = f'<svg {ONE_MM}><svg:path d="M0 5H20"/><path d="M0 0H1"/></svg>'

    reading = read_svg_text(text.encode(), "a.svg")

    assert len(reading.drawing.lines) == 2
    assert codes(reading).keys() == {"no-namespace", "unbound-prefix"}


def test_a_label_of_an_editor_is_a_name_without_its_declaration_too() -> None:
    reading = read_svg_text(svg_text('<path e:label="Front" d="M0 0H9"/>'), "a.svg")

    assert reading.drawing.lines[0].label == "Front"


def test_many_prefixes_are_counted() -> None:
    many = " ".join(f'p{i}:a=""' for i in range(9))

    reading = read_svg_text(svg_text(f"<path {many} d='M0 0H9'/>"), "a.svg")

    assert 'prefixes "p0", "p1", "p2" and 6 more;' in codes(reading)["unbound-prefix"]


def test_an_entity_and_a_document_type_declare_as_elsewhere() -> None:
    text = (
        '<!DOCTYPE svg [<!ENTITY n "urn:e">\n<!ATTLIST svg xmlns:d CDATA "urn:d">]>'
        f'<svg {SVG} xmlns:e="&n;" e:a="1" d:a="2" z:a="3"/>'
    )

    document = parsed(text)

    assert dict(document.root.attributes) == {
        "{urn:e}a": "1",
        "{urn:d}a": "2",
        "{undeclared:z}a": "3",
    }


@pytest.mark.parametrize(
    ("body", "line"),
    [
        ('\n<g z:a="1">', 4),
        ('\n<g z:a="1"/>\n<g></a>', 4),
        ('\n<g z:a="1"/>\n<path a="1" a="2"/>', 4),
        ('\n<g z:a="1" xmlns:y="u" xmlns:x="u" x:b="1" y:b="1"/>', 3),
        ('\n<g z:a="1" z:b:c="1"/>', 3),
        ("\n<z:/>", 3),
        ("\n<:z/>", 3),
        ('\n<g z:a="1"/>\n<g xmlns:y=""/>', 4),
        ('\n<g z:a="1"/>\n<g xmlns:xml="urn:y"/>', 4),
        ('\n<g z:a="1"/>\n<g xmlns:xmlns="urn:y"/>', 4),
        ('\n<g z:a="1"/>&', 3),
    ],
)
def test_other_mistakes_are_refused_in_one_line(body: str, line: int) -> None:
    with pytest.raises(DrawingError) as caught:
        parse_document(svg_text(body), "a.svg")

    (message,) = caught.value.messages
    assert message.startswith(f"a.svg: line {line}: is not well-formed XML (")
    assert "\n" not in message


def test_the_limits_hold_without_declarations_too() -> None:
    deep = "<z:g>" * 300 + "</z:g>" * 300

    with pytest.raises(DrawingError, match="line 2: has more than 200 elements in"):
        parse_document(svg_text(deep), "a.svg")
    with pytest.raises(DrawingError, match='the entity "b"'):
        parsed(f'<!DOCTYPE svg [<!ENTITY b SYSTEM "x">]><svg {SVG} z:a="1"/>')


def test_many_declarations_around_many_elements_take_their_sum_not_their_product() -> (
    None
):
    around = " ".join(f'xmlns:p{i}="u{i}"' for i in range(20_000))
    body = '<g xmlns:q="v" q:a="1"/>' * 20_000
    began = time.perf_counter()

    document = parsed(f'<svg {SVG} {around}>{body}<g z:a="1"/></svg>')

    assert dict(document.unbound) == {"z": 1}
    assert time.perf_counter() - began < 10

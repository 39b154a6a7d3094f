import time

import pytest
from svg_texts import FIXTURES, read_body

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.reading import read_svg
from edgefinder.importers.svg.use import elements_within, href, read_targets
from edgefinder.importers.svg.xml import XLINK_HREF, Element


def element(tag: str, *children: Element, **attributes: str) -> Element:
    return Element(tag, attributes, children, 1)


def test_the_plain_link_wins_over_the_old_one() -> None:
    assert href(Element("use", {"href": "#a", XLINK_HREF: "#b"}, (), 1)) == "#a"
    assert href(Element("use", {XLINK_HREF: " #b "}, (), 1)) == "#b"
    assert href(Element("use", {}, (), 1)) == ""


def test_elements_come_in_drawing_order() -> None:
    root = element("svg", element("g", element("path")), element("rect"))

    assert [one.tag for one in elements_within(root)] == ["svg", "g", "path", "rect"]


def test_the_first_element_of_an_id_is_the_target() -> None:
    first, second = element("path", id="a"), element("rect", id="a")
    use = element("use", href="#a")

    targets = read_targets(element("svg", first, second, use), "a.svg")

    assert targets.target(use) is first
    assert targets.target(element("use", href="other.svg#a")) is None
    assert targets.target(element("use", href="#")) is None


@pytest.mark.parametrize(
    "body",
    [
        '<g id="a"><use href="#a"/></g>',
        '<use id="a" href="#a"/>',
        (
            '<defs><g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></defs>'
            '<use href="#a"/>'
        ),
        '<symbol id="a"><use href="#a"/></symbol><use href="#a"/>',
    ],
)
def test_an_element_that_would_contain_itself_is_refused(body: str) -> None:
    with pytest.raises(DrawingError, match=r"test\.svg: line 2: .* contains itself"):
        read_body(body)


def test_copies_that_multiply_are_counted_before_any_is_drawn() -> None:
    began = time.perf_counter()

    with pytest.raises(DrawingError, match="its use elements would draw"):
        read_svg(FIXTURES / "copies-bomb.svg")

    assert time.perf_counter() - began < 1


def test_copies_without_end_are_refused_by_name() -> None:
    with pytest.raises(DrawingError, match=r'line 1: g "a" contains itself'):
        read_svg(FIXTURES / "copies-without-end.svg")


def test_copies_of_copies_too_deep_to_follow_are_refused() -> None:
    chain = "".join(f'<g id="n{i + 1}"><use href="#n{i}"/></g>' for i in range(2000))

    with pytest.raises(DrawingError, match="deep in elements and their copies"):
        read_body(f'<defs><path id="n0" d="M0 0H1"/>{chain}</defs><use href="#n2000"/>')


def test_an_honest_number_of_copies_is_drawn() -> None:
    body = '<path id="a" d="M0 0H1"/>' + '<use href="#a"/>' * 500

    assert len(read_body(body).drawing.lines) == 501

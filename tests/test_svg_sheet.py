import pytest
from svg_texts import FIXTURES, codes

from edgefinder.importers.svg.reading import read_svg
from edgefinder.importers.svg.sheet import read_sheet
from edgefinder.importers.svg.xml import Element


def declared(sheet: str, tag: str = "path", **attributes: str) -> dict[str, str]:
    own = {name.replace("_", ""): value for name, value in attributes.items()}
    element = Element(tag, own, (), 1)
    return dict(read_sheet([sheet]).declarations(element, own.get("class", "").split()))


def test_a_sheet_decides_colours_and_what_is_shown() -> None:
    reading = read_svg(FIXTURES / "style-sheet.svg")

    colours = {line.id: line.colour for line in reading.drawing.lines}
    assert colours == {"first": "#111111", "second": "#ff0000", "third": "#0000ff"}
    told = codes(reading)
    assert told["style-rule"].startswith(
        "2 rules of the style sheet not read (the first"
    )
    assert '"g > path"' in told["style-rule"]


@pytest.mark.parametrize(
    ("selector", "matches"),
    [
        ("path", True),
        ("*", True),
        (".cut", True),
        ("#front", True),
        ("path.cut", True),
        ("path.cut.main#front", True),
        ("rect", False),
        (".sew", False),
        ("#back", False),
        ("path.sew", False),
        ("rect, .cut", True),
        ("Path", False),
    ],
)
def test_tags_classes_and_ids_are_matched(selector: str, matches: bool) -> None:
    found = declared(selector + "{stroke:red}", id="front", class_="cut main")

    assert found == ({"stroke": "red"} if matches else {})


def test_the_weightier_selector_wins_and_among_equals_the_later() -> None:
    # Selectors 4, section 17: ids before classes before tags.
    sheet = "#a{stroke:1}.b{stroke:2}.c{stroke:3}path{stroke:4}"

    assert declared(sheet, id="a", class_="b c") == {"stroke": "1"}
    assert declared(sheet, class_="c b") == {"stroke": "3"}
    assert declared(sheet, id="x") == {"stroke": "4"}


def test_the_style_attribute_wins_unless_a_rule_is_important() -> None:
    assert declared("path{stroke:1}", style="stroke:2") == {"stroke": "2"}
    assert declared("path{stroke:1 ! IMPORTANT}", style="stroke:2") == {"stroke": "1"}
    important = "stroke:2!important"
    assert declared("path{stroke:1 !important}", style=important) == {"stroke": "2"}


@pytest.mark.parametrize(
    "style",
    [
        "stroke:red;fill:none",
        " stroke : red ; fill:none ; ",
        "STROKE:red;;fill:none;nonsense",
        "/* a;b:c */stroke:red;/**/fill:none",
    ],
)
def test_style_attributes_are_read_as_css(style: str) -> None:
    assert declared("", style=style) == {"stroke": "red", "fill": "none"}


def test_semicolons_and_braces_in_quotes_and_brackets_part_nothing() -> None:
    style = "src:url(data:x;y,z);font:'a;b{';stroke:red"

    found = declared("a{content:'}'} path{stroke:blue}", style=style)

    assert found["stroke"] == "red"
    assert found["src"] == "url(data:x;y,z)"
    assert declared("a{content:'}'} path{stroke:blue}") == {"stroke": "blue"}


def test_what_needs_more_than_a_simple_selector_is_listed() -> None:
    sheet = read_sheet(
        [
            (
                "@charset 'utf-8'; @import url(x.css); @font-face{src:url(a)}"
                "@media print{path{stroke:red}} g path{} a:hover{} [id]{} .\\31 {}"
                "path{}"
            )
        ]
    )

    assert sheet.skipped == (
        "@import url(x.css)",
        "@media print",
        "g path",
        "a:hover",
        "[id]",
        ".\\31",
    )
    assert list(sheet.rules) == ["path"]


@pytest.mark.parametrize(
    "broken", ["path{stroke:red", "}{", "path", "{", "@", "/*", "'", "((", ";;"]
)
def test_a_broken_sheet_is_read_as_far_as_it_goes(broken: str) -> None:
    assert read_sheet([broken, "path{stroke:blue}"]).rules["path"]

import subprocess
import sys
import time

import pytest
from svg_texts import FIXTURES, codes, length_of, read_body, read_line, svg_text

from edgefinder.errors import DrawingError
from edgefinder.importers.svg import sheet as svg_sheet
from edgefinder.importers.svg.reading import read_svg, read_svg_text

PIECE = (
    '<g id="body" class="piece big"><path id="front" class="cut main" d="M0 0H1"/></g>'
)
MARK = "stroke:#123456"


def colour(sheet: str, body: str = PIECE) -> str | None:
    return read_line(f"<style>{sheet}</style>{body}").colour


def is_matched(selector: str, body: str = PIECE) -> bool:
    # A selector is text, and ">" may stand in a text as it is.
    return colour(f"{selector}{{{MARK}}}", body) == "#123456"


def test_a_sheet_decides_colours_and_what_is_shown() -> None:
    reading = read_svg(FIXTURES / "style-sheet.svg")

    colours = {line.id: line.colour for line in reading.drawing.lines}
    assert colours == {"first": "#111111", "second": "#ff0000", "third": "#0000ff"}
    assert "style-rule" not in codes(reading)


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
        ("g path", True),
        ("svg .cut", True),
        ("svg > path", False),
        ("g > path", True),
        ("#body > .main", True),
        (".piece.big path", True),
        (".sew path", False),
        ("[id]", True),
        ("[id=front]", True),
        ('[id="back"]', False),
        ("[class~=cut]", True),
        ("[class^=cut]", True),
        ("[class$=main]", True),
        ("[class*='t m']", True),
        ("[data-size]", False),
        ("path:not(.sew)", True),
        ("path:first-child", True),
        ("path:nth-child(2)", False),
        (":is(rect, path)", True),
        ("path:hover", False),
        ("g:root path", False),
        ("svg:root path", True),
        ("path + path", False),
    ],
)
def test_selectors_match_as_the_standard_says(selector: str, matches: bool) -> None:
    assert is_matched(selector) is matches


def test_brothers_are_matched_by_their_order() -> None:
    body = '<path id="a" d="M0 0H1"/><rect id="b"/><path id="c" d="M0 0H1"/>'

    for selector, expected in (
        ("path ~ path", [None, "#123456"]),
        ("rect + path", [None, "#123456"]),
        ("path + path", [None, None]),
        ("path:first-of-type", ["#123456", None]),
        ("path:last-of-type", [None, "#123456"]),
        ("path:nth-of-type(2)", [None, "#123456"]),
        ("svg:has(rect) > path", ["#123456", "#123456"]),
    ):
        sheet = f"<style>{selector}{{{MARK}}}</style>"
        lines = read_body(sheet + body).drawing.lines
        assert [line.colour for line in lines] == expected, selector


def test_the_weightier_selector_wins_and_among_equals_the_later() -> None:
    # Selectors 4, section 17: ids before classes and attributes before tags.
    sheet = "#front{stroke:#111}.cut{stroke:#222}.main{stroke:#333}g path{stroke:#444}"

    assert colour(sheet) == "#111111"
    assert colour(sheet.replace("#front", "#x")) == "#333333"
    assert colour("path{stroke:#111}path{stroke:#222}") == "#222222"
    assert colour("[id]{stroke:#111}g path{stroke:#222}") == "#111111"
    assert colour("g > path{stroke:#111}path{stroke:#222}") == "#111111"


@pytest.mark.parametrize(
    ("sheet", "inline", "expected"),
    [
        # CSS Cascading 4, section 6: attributes, sheet, inline, important sheet,
        # important inline.
        ("", "", "#000001"),
        ("path{stroke:#000002}", "", "#000002"),
        ("path{stroke:#000002}", "stroke:#000003", "#000003"),
        ("path{stroke:#000002 ! IMPORTANT}", "stroke:#000003", "#000002"),
        ("path{stroke:#000002!important}", "stroke:#000003!important", "#000003"),
        ("path{stroke:#000002!important}#front{stroke:#000004}", "", "#000002"),
    ],
)
def test_inline_style_sheet_and_attribute_take_precedence_in_this_order(
    sheet: str, inline: str, expected: str
) -> None:
    body = f'<path id="front" stroke="#000001" style="{inline}" d="M0 0H1"/>'

    assert colour(sheet, body) == expected


def test_what_a_group_is_given_its_children_inherit_unless_they_say_otherwise() -> None:
    sheet = "<style>.piece{stroke:#111111;display:inline} #b{stroke:#222222}</style>"
    body = '<g class="piece"><path d="M0 0H1"/><path id="b" d="M0 0H1"/></g>'

    lines = read_body(sheet + body).drawing.lines

    assert [line.colour for line in lines] == ["#111111", "#222222"]


def test_a_sheet_hides_shows_and_moves() -> None:
    sheet = (
        "<style>.no{display:none}.off{visibility:hidden}"
        ".on{visibility:visible}.far{transform:translate(10px,20px) scale(2)}</style>"
    )
    body = (
        '<path class="no" d="M0 0H1"/><g class="off"><path d="M0 0H1"/>'
        '<path id="seen" class="on" d="M0 0H1"/></g>'
        '<g class="far"><path id="moved" d="M1 1H2"/></g>'
    )

    reading = read_body(sheet + body)

    seen, moved = reading.drawing.lines
    assert (seen.id, moved.id) == ("seen", "moved")
    assert moved.path.start == pytest.approx(12 - 22j)
    assert length_of(moved) == pytest.approx(2)
    assert codes(reading)["hidden"].startswith("2 outlines hidden")


@pytest.mark.parametrize(
    ("shape", "rule", "length"),
    [
        ('<circle r="1"/>', "circle{r:5px}", 31.415926535897932),
        ('<circle class="a"/>', ".a{r:5;cx:3;cy:4}", 31.415926535897932),
        ('<ellipse rx="1"/>', "ellipse{rx:3;ry:3}", 18.849555921538759),
        ('<rect width="1" height="1"/>', "rect{width:4px;height:3px}", 14),
        ("<rect/>", "rect{x:1;y:2;width:4;height:3}", 14),
        ('<rect width="8" height="8"/>', "rect{rx:4}", 25.132741228718345),
        ('<path d="M0 0H1"/>', "path{d:path('M0 0H7')}", 7),
        ('<path d="M0 0H1"/>', 'path{d:path("M0 0,7 0")}', 7),
        ("<path/>", "path{d:path( evenodd , 'M0 0H7' )}", 7),
        ('<path d="M0 0H7"/>', "path{fill:none}", 7),
    ],
)
def test_a_sheet_may_hold_the_geometry(shape: str, rule: str, length: float) -> None:
    assert length_of(read_line(f"<style>{rule}</style>{shape}")) == pytest.approx(
        length
    )


def test_a_path_may_be_undone_by_a_sheet() -> None:
    assert (
        read_body("<style>path{d:none}</style><path d='M0 0H1'/>").drawing.lines == ()
    )


def test_only_properties_are_taken_from_a_sheet_and_no_other_attributes() -> None:
    sheet = "<style>polyline{points:0,0 9,0}svg{viewBox:0 0 1 1}</style>"

    line = read_line(f'{sheet}<polyline points="0,0 3,4"/>')

    assert length_of(line) == pytest.approx(5)


@pytest.mark.parametrize("name", ["translate", "rotate", "scale", "offset-path"])
def test_what_is_moved_by_other_properties_is_refused(name: str) -> None:
    with pytest.raises(DrawingError, match=f"style property {name}, not transform"):
        read_line(f"<style>path{{{name}:2}}</style><path d='M0 0H1'/>")


def test_a_copy_is_styled_as_the_element_that_it_copies() -> None:
    # SVG 2, section 5.6.2: rules match the element that is referenced.
    body = (
        "<style>.a path{stroke:#111111}.b path{stroke:#222222}</style>"
        '<g class="a"><path id="p" d="M0 0H1"/></g>'
        '<g class="b"><use href="#p"/></g>'
    )

    lines = read_body(body).drawing.lines

    assert [line.colour for line in lines] == ["#111111", "#111111"]


@pytest.mark.parametrize(
    ("media", "applies", "code"),
    [
        ("all", True, None),
        ("screen", True, None),
        ("Screen", True, None),
        ("only screen", True, None),
        ("print, screen", True, None),
        ("print", False, "print-rule"),
        ("speech, print", False, "print-rule"),
        ("(min-width: 100px)", False, "style-rule"),
        ("screen and (color)", False, "style-rule"),
        ("not screen", False, "style-rule"),
    ],
)
@pytest.mark.parametrize("where", ["rule", "attribute"])
def test_the_drawing_is_read_as_on_a_screen(
    media: str, applies: bool, code: str | None, where: str
) -> None:
    rule = f"path{{{MARK}}}"
    sheet = (
        f"<style>@media {media}{{{rule}}}</style>"
        if where == "rule"
        else f'<style media="{media}">{rule}</style>'
    )

    reading = read_body(sheet + PIECE)

    assert (reading.drawing.lines[0].colour == "#123456") is applies
    assert {one for one in codes(reading) if one.endswith("-rule")} == (
        {code} if code else set()
    )


def test_rules_within_media_keep_their_order_among_the_others() -> None:
    sheet = "path{stroke:#111}@media screen{path{stroke:#222}}path{fill:none}"

    assert colour(sheet) == "#222222"


def test_nothing_is_fetched_and_what_stands_elsewhere_is_said() -> None:
    sheet = "@import url(x.css);@import 'y.css' print;path{stroke:url(z.svg#p) red}"

    reading = read_body(f"<style>{sheet}</style>{PIECE}")

    assert reading.drawing.lines[0].colour == "#ff0000"
    assert codes(reading)["outside-sheet"].startswith("2 style sheets from outside")


def test_what_is_not_understood_is_told_and_the_rest_applies() -> None:
    sheet = (
        "@charset 'utf-8';@font-face{src:url(a)}@supports (a:b){path{stroke:red}}"
        "@layer x;path:frob{stroke:red}*|*[*|a]{}path{stroke:#123456;g{stroke:red}}"
    )

    reading = read_body(f"<style>{sheet}</style>{PIECE}")

    assert reading.drawing.lines[0].colour == "#123456"
    assert codes(reading)["style-rule"] == (
        "5 rules of the style sheet not understood and left out (the first is "
        '"@supports (a:b)")'
    )


def test_one_selector_that_is_not_understood_takes_its_whole_rule_with_it() -> None:
    # Selectors 4, section 3.9, "Invalid Selectors and Error Handling".
    assert colour("path, path:frob{stroke:red}") is None


@pytest.mark.parametrize(
    "kind", ['type="text/css"', 'type=""', 'type="TEXT/CSS"', "", "title='x'"]
)
def test_style_elements_of_css_are_read(kind: str) -> None:
    assert is_matched("path", f"{PIECE}<style {kind}></style>")


def test_style_elements_in_another_language_are_left_out_and_said() -> None:
    body = f'<style type="text/less">path{{{MARK}}}</style>{PIECE}'

    reading = read_body(body)

    assert reading.drawing.lines[0].colour is None
    assert '"style of the type text/l..."' in codes(reading)["style-rule"]


def test_namespaces_of_a_sheet_are_those_that_it_declares() -> None:
    svg = "@namespace url(http://www.w3.org/2000/svg);"
    other = "@namespace 'urn:other';"
    named = "@namespace s url(http://www.w3.org/2000/svg);"

    assert is_matched(f"{svg} path")
    assert not is_matched(f"{other} path")
    assert is_matched(f"{named} s|path")


def test_a_drawing_without_a_namespace_has_style_all_the_same() -> None:
    body = "<style>g path{stroke:red}</style><g><path d='M0 0H1'/></g>"
    text = f"<svg width='1mm' height='1mm'>{body}</svg>".encode()

    (line,) = read_svg_text(text, "a.svg").drawing.lines

    assert line.colour == "#ff0000"


@pytest.mark.parametrize(
    "broken", ["path{stroke:red", "}{", "path", "{", "@", "/*", "'", "((", ";;", "<!--"]
)
def test_a_broken_sheet_is_read_as_far_as_it_goes(broken: str) -> None:
    sheet = f"<style><![CDATA[{broken}]]></style><style>path{{{MARK}}}</style>"

    assert read_line(sheet + PIECE).colour == "#123456"


def test_html_comments_around_a_sheet_are_no_hindrance() -> None:
    assert colour(f"<![CDATA[<!-- path{{{MARK}}} -->]]>") == "#123456"


def refusal(body: str) -> str:
    with pytest.raises(DrawingError) as caught:
        read_svg_text(svg_text(body), "test.svg")
    (message,) = caught.value.messages
    return message


@pytest.mark.parametrize(
    "selector",
    [
        ".x " + "g " * 6 + "path",
        ".x ~ path ~ path",
        "path:nth-last-of-type(3)",
        "path:only-of-type",
        "svg:has(g g g .x) path",
    ],
)
def test_a_sheet_that_would_be_compared_without_end_is_refused(
    selector: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(svg_sheet, "MAX_STEPS", 100_000)
    deep = "<g>" * 60 + "<path d='M0 0H1'/>" * 2000 + "</g>" * 60

    message = refusal(f"<style>{selector}{{{MARK}}}</style>{deep}")

    assert message.startswith("test.svg: line 2: the style sheet takes more than")


def test_a_sheet_too_long_for_the_parser_is_refused() -> None:
    began = time.perf_counter()

    message = refusal(f"<style>{'path{fill:none}' * 80_000}</style>")

    assert "has style sheets of 1200000 characters" in message
    assert time.perf_counter() - began < 5


@pytest.mark.parametrize(
    "selector",
    [":not(" * 5000 + "a" + ")" * 5000, "a " * 5000 + "a", "a" * 5000, "(" * 5000],
)
def test_a_selector_too_long_to_be_one_is_left_out(selector: str) -> None:
    sheet = f"<style>{selector}{{fill:none}}</style><style>path{{{MARK}}}</style>"

    assert read_line(sheet + PIECE).colour == "#123456"


def test_the_css_library_is_loaded_for_a_sheet_only() -> None:
    code = (
        "import sys\n"
        "from edgefinder.importers.svg.reading import read_svg_text\n"
        "read_svg_text(sys.argv[1].encode(), 'a.svg')\n"
        "print(*sorted({'tinycss2', 'cssselect2'} & set(sys.modules)))"
    )

    def loaded(body: str) -> str:
        ended = subprocess.run(  # noqa: S603 - this interpreter, our own code
            [sys.executable, "-c", code, svg_text(body).decode()],
            capture_output=True,
            text=True,
            timeout=60,
            check=True,
        )
        return ended.stdout.strip()

    assert loaded('<path style="stroke:red" d="M0 0H1"/><style> </style>') == ""
    assert loaded("<style>a{}</style>") == "cssselect2 tinycss2"

import pytest

from edgefinder.importers.svg.declarations import Declaration, cascade, read_style


def declared(style: str) -> dict[str, str]:
    return dict(cascade(read_style(style)))


@pytest.mark.parametrize(
    "style",
    [
        "stroke:red;fill:none",
        " stroke : red ; fill:none ; ",
        "STROKE:red;;fill:none;nonsense",
        "/* a;b:c */stroke:red;/**/fill:none",
        "stroke:red;fill:none;/* not closed",
        "stroke:blue;stroke:red;fill:none",
        "stroke:red;fill:none;points:1 2;-x-stroke:blue",
    ],
)
def test_style_attributes_are_read_as_css(style: str) -> None:
    assert declared(style) == {"stroke": "red", "fill": "none"}


@pytest.mark.parametrize("before", ["src:url(data:x;y,z)", "font:'a;b{'", 'a:"(;"'])
def test_semicolons_in_quotes_and_brackets_part_nothing(before: str) -> None:
    assert declared(f"{before};stroke:red") == {"stroke": "red"}


def test_a_value_may_hold_a_semicolon_in_quotes() -> None:
    assert declared("stroke:url('a;b');r:1") == {"stroke": "url('a;b')", "r": "1"}


def test_important_wins_over_what_comes_later() -> None:
    assert declared("stroke:red!important;stroke:blue") == {"stroke": "red"}
    assert read_style("r:1 ! Important") == (Declaration("r", "1", is_important=True),)

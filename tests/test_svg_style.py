import pytest

from edgefinder.importers.svg.style import Style, inherit, paint_colour

PLAIN = Style()


def styled(style: Style = PLAIN, /, **declared: str) -> Style:
    written = {name.replace("_", "-"): value for name, value in declared.items()}
    return inherit(style, written.get)


def test_nothing_declared_is_a_black_fill_without_stroke() -> None:
    style = styled()

    assert (style.stroke_colour, style.is_stroked, style.is_filled) == (
        None,
        False,
        True,
    )


def test_children_inherit_and_override() -> None:
    parent = styled(stroke="red", fill="none", visibility="hidden")

    assert styled(parent) == parent
    child = styled(parent, stroke="#0F0", visibility="visible")
    assert (child.stroke_colour, child.is_filled) == ("#00ff00", False)
    assert child.is_visible
    assert styled(parent, stroke="inherit").stroke_colour == "#ff0000"
    assert styled(parent, stroke="initial").stroke_colour is None


@pytest.mark.parametrize(
    "declared",
    [
        {"stroke": "none"},
        {"stroke": "NONE"},
        {"stroke": "transparent"},
        {"stroke": "red", "stroke_width": "0"},
        {"stroke": "red", "stroke_width": "0px"},
        {"stroke": "red", "stroke_width": "0.00"},
    ],
)
def test_these_are_no_strokes(declared: dict[str, str]) -> None:
    assert not styled(**declared).is_stroked


@pytest.mark.parametrize("width", ["1", "0.5px", "10", "0.01", "5%"])
def test_a_thin_stroke_is_a_stroke(width: str) -> None:
    assert styled(stroke="red", stroke_width=width).stroke_colour == "#ff0000"


def test_the_current_colour_is_that_of_the_element_that_says_it() -> None:
    parent = styled(color="blue", stroke="currentColor")

    assert parent.stroke_colour == "#0000ff"
    assert styled(parent, color="red").stroke_colour == "#0000ff"
    assert styled(parent, color="red", stroke="currentcolor").stroke_colour == "#ff0000"
    assert styled(parent, color="currentColor").colour == "blue"


@pytest.mark.parametrize(
    ("paint", "colour"),
    [
        ("url(#grid)", None),
        ("url(#grid) #123456", "#123456"),
        ("#cd853f icc-color(acmecmyk, 0.11)", "#cd853f"),
        ("context-stroke", None),
    ],
)
def test_a_paint_that_is_no_colour_has_its_fallback(
    paint: str, colour: str | None
) -> None:
    assert paint_colour(paint) == colour


@pytest.mark.parametrize("visibility", ["hidden", "collapse", "Hidden"])
def test_hidden_and_collapsed_elements_are_not_visible(visibility: str) -> None:
    assert not styled(visibility=visibility).is_visible


@pytest.mark.parametrize(
    ("declared", "is_line_seen", "is_area_seen"),
    [
        ({}, False, True),
        ({"fill": "none"}, False, False),
        ({"stroke": "red"}, True, True),
        ({"stroke": "red", "opacity": "0"}, False, False),
        ({"stroke": "red", "opacity": "0%"}, False, False),
        ({"stroke": "red", "opacity": "0.001"}, True, True),
        ({"stroke": "red", "stroke_opacity": "0.0"}, False, True),
        ({"stroke": "red", "fill_opacity": "-1"}, True, False),
        ({"stroke": "rgba(1,2,3,0)", "fill": "#0000"}, False, False),
        ({"stroke": "rgb(1 2 3 / 50%)", "fill": "#12345601"}, True, True),
    ],
)
def test_what_is_fully_transparent_is_not_seen(
    declared: dict[str, str], is_line_seen: bool, is_area_seen: bool
) -> None:
    style = styled(**declared)

    assert style.is_line_seen is is_line_seen
    assert style.is_area_seen is is_area_seen


def test_the_opacity_of_a_group_is_that_of_all_in_it() -> None:
    group = styled(opacity="0", stroke_opacity="0")

    inside = styled(group, opacity="1", stroke="red", stroke_opacity="1")

    assert not inside.is_line_seen
    assert styled(
        styled(stroke="red", stroke_opacity="0"), stroke_opacity="1"
    ).is_line_seen

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.calc import MAX_BRACKETS, calculated
from edgefinder.importers.svg.units import Font, Viewport

VIEWPORT = Viewport(100, 200, lambda _unit: None, Font(20.0, 10.0))

# As Chromium resolves them in an attribute, x in a window of 100 by 200.
READ = [
    ("calc(10px + 5%)", 15),
    ("calc(2 * 3px)", 6),
    ("calc(10px*2)", 20),
    ("calc(10px + -2px)", 8),
    ("calc(1px - -2px)", 3),
    ("calc((1em + 4px) / 2)", 12),
    ("calc(10px - 20px)", -10),
    ("calc(1cm + 1in)", 96 + 96 / 2.54),
    ("CALC(1px + 2PX)", 3),
    ("calc( 3px )", 3),
    (" calc(3px) ", 3),
    ("calc(calc(3px) + (2px))", 5),
    ("calc(6px / 2 / 3)", 1),
    ("calc(2px * (1 + 1))", 4),
    ("calc(1px - 2px - 3px)", -4),
    ("calc(1px + 2px * 3)", 7),
    ("calc(-1 * 3px)", -3),
    ("calc(1px /* c */ + 2px)", 3),
    ("calc(10 + 5)", 15),
    ("calc(1rem + 0px)", 10),
    ("calc(1px", 1),  # CSS Syntax 3, section 5.4.9: the end closes it
]
REFUSED = [
    "calc(10px+2px)",
    "calc(10px +2px)",
    "calc(1em * 2em)",
    "calc(1 / 2px)",
    "calc(10px/0)",
    "calc(3px + 2)",
    "calc(1px * - 3)",
    "calc(-(3px))",
    "-calc(3px)",
    "calc()",
    "calc(1px 2px)",
    "calc(+ 1px)",
    "calc(1px + )",
    "calc(1px) 2px",
    "calc(1px; 2px)",
    "calc(1furlong)",
    "calc(1vw + 1px)",
    "calc(pi * 1px)",
    "calc(var(--x))",
    "calc(1e300 * 1e300px)",
    "calc(1e9 * 1e9px)",
    "min(1px, 2px)",
    "clamp(1px, 2px, 3px)",
    "url(#a)",
    "(3px)",
    "calc(" + "(" * 40 + "1px" + ")" * 40 + ")",
    "calc(" + "(" * 100_000,
    "calc(" + "1px + " * 1000 + "1px)",
]


@pytest.mark.parametrize(("text", "px"), READ)
def test_sums_and_products_are_worked_out(text: str, px: float) -> None:
    assert VIEWPORT.across(text) == pytest.approx(px)


@pytest.mark.parametrize("text", REFUSED)
def test_all_else_is_refused_in_one_line(text: str) -> None:
    with pytest.raises(DrawingError) as caught:
        VIEWPORT.across(text)

    (message,) = caught.value.messages
    assert len(message) < 150
    assert text[:20] in message


def test_brackets_may_stand_in_one_another_as_deep_as_the_standard_asks() -> None:
    deep = "(" * MAX_BRACKETS + "1px" + ")" * MAX_BRACKETS

    assert VIEWPORT.across(f"calc({deep})") == 1


def test_a_share_of_a_drawing_without_size_is_refused() -> None:
    with pytest.raises(DrawingError, match="has no size"):
        Viewport(None, None, lambda _unit: None).across("calc(5% + 1px)")


NUMBERS = st.integers(-999, 999).map(lambda one: one / 8)


@st.composite
def expressions(draw: st.DrawFn, *, is_length: bool, depth: int) -> str:
    """Write a calculation that Python works out too, with px as a name of 1."""
    if depth == 0:
        number = draw(NUMBERS)
        return f"{number!r}{'px' if is_length else ''}"
    kind = draw(st.sampled_from(["+", "-", "*", "()"]))
    first = draw(expressions(is_length=is_length, depth=depth - 1))
    if kind == "()":
        return f"({first})"
    second = draw(expressions(is_length=is_length and kind != "*", depth=depth - 1))
    return f"({first}) {kind} ({second})" if kind == "*" else f"{first} {kind} {second}"


@given(expressions(is_length=True, depth=3))
def test_brackets_and_precedence_are_those_of_arithmetic(expression: str) -> None:
    try:
        worked_out = calculated(f"calc({expression})", lambda number, _unit: number)
    except DrawingError:
        # A product of three levels may leave the numbers of a drawing.
        assert abs(python_value(expression)) > 1e12
        return
    assert worked_out == pytest.approx(python_value(expression), rel=1e-12, abs=1e-9)


def python_value(expression: str) -> float:
    return float(eval(expression.replace("px", ""), {"__builtins__": {}}))  # noqa: S307

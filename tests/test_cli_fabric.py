"""``edgefinder fabric`` as it is typed."""

import math

import pytest
from command_line import TOP_KEYS, assert_fits, refused, run, usage_error

PLAN_KEYS = (
    "length_mm",
    "cut_width_mm",
    "strip_seam_mm",
    "usable_width_mm",
    "methods",
    "not_possible",
    "least_waste",
    "square_root_rule",
)
METHOD_KEYS = (
    "method",
    "yield_mm",
    "cut_mm",
    "strips",
    "strip_lengths_mm",
    "joins",
    "spare_mm",
    "waste_percent",
    "buy_mm",
    "lines",
    "line_spacing_mm",
    "first_line_mm",
)
FOUR_YARDS = ("--length", "4 yd", "--cut-width", "2 in")
INCH = 25.4


def test_json_has_the_agreed_keys_and_the_square_in_closed_form() -> None:
    said = run("fabric", *FOUR_YARDS, "--json")

    assert (said.exit_code, said.err) == (0, "")
    assert tuple(said.json) == (*TOP_KEYS, *PLAN_KEYS)
    assert said.json["schema"] == {"name": "edgefinder.fabric", "version": 1}
    methods = {method["method"]: method for method in said.json["methods"]}
    assert all(tuple(method) == METHOD_KEYS for method in methods.values())
    # n = 6 strips: max(144/(6 sqrt 2), 6 x 2 sqrt 2) + 2 x 1/4 = 17.47 in
    side = 12 * math.sqrt(2) + 0.5
    square = methods["tube from a square"]
    assert square["cut_mm"] == pytest.approx([side * INCH] * 2, rel=1e-9)
    assert (square["strips"], square["joins"], square["lines"]) == (6, 2, 5)


def test_the_square_root_rule_comes_out_short() -> None:
    rule = run("fabric", *FOUR_YARDS, "--json").json["square_root_rule"]

    # side sqrt(288) in: five strips of sqrt 2 (16.97 - 0.5) in
    yielded = 5 * math.sqrt(2) * (math.sqrt(288) - 0.5)
    assert rule["side_mm"] == pytest.approx(math.sqrt(288) * INCH)
    assert rule["yield_mm"] == pytest.approx(yielded * INCH)
    assert rule["short_mm"] == pytest.approx((144 - yielded) * INCH)


def test_the_text_names_every_way_once() -> None:
    said = run("fabric", *FOUR_YARDS)

    assert (said.exit_code, said.err) == (0, "")
    rows = [line.split("  ")[0] for line in said.out.split("\n\n")[1].splitlines()]
    assert sorted(rows) == [
        "bias strips",
        "crosswise strips",
        "lengthwise strips",
        "method",
        "tube (rectangle)",
        "tube (square)",
    ]
    assert "17 1/2 x 17 1/2 in" in said.out  # 17.47 in, rounded up
    assert_fits(said.out)


@pytest.mark.parametrize(
    ("grain", "methods"),
    [
        ("bias", {"tube from a square", "tube from a rectangle", "bias strips"}),
        ("crosswise", {"crosswise strips"}),
        ("lengthwise", {"lengthwise strips"}),
    ],
)
def test_grain_restricts_the_methods(grain: str, methods: set[str]) -> None:
    said = run("fabric", *FOUR_YARDS, "--grain", grain, "--json")

    assert {method["method"] for method in said.json["methods"]} == methods


def test_what_is_not_possible_has_a_reason() -> None:
    flags = ("--length", "40 m", "--cut-width", "40 mm", "--usable-width", "60 cm")

    text, result = run("fabric", *flags), run("fabric", *flags, "--json")

    ((method, reason),) = [r.values() for r in result.json["not_possible"]]
    assert method == "tube from a square"
    assert f"{method}: not possible: {reason}" in " ".join(text.out.split())
    assert_fits(text.out)


@pytest.mark.parametrize(
    ("length", "flags", "words"),
    [
        ("4 yd", (), "144 in of tape"),
        ("4 yd", ("--unit", "cm"), "365.8 cm of tape"),  # 3657.6 mm, rounded up
        ("366 cm", (), "3660 mm of tape"),
        ("366 cm", ("--unit", "in"), "144 1/8 in of tape"),  # 144.09 in
        ('144"', (), "144 in of tape"),
        ("12 feet", (), "144 in of tape"),
    ],
)
def test_the_unit_that_is_typed_is_printed(
    length: str, flags: tuple[str, ...], words: str
) -> None:
    said = run("fabric", "--length", length, "--cut-width", "2 in", *flags)

    assert said.out.startswith(words)


def test_cloth_is_bought_in_the_steps_of_the_unit() -> None:
    inches = run("fabric", "--length", "4 yd", "--cut-width", "2 in", "--json").json
    metric = run("fabric", "--length", "4 m", "--cut-width", "5 cm", "--json").json

    eighths = [method["buy_mm"] / (914.4 / 8) for method in inches["methods"]]
    tens = [method["buy_mm"] / 100 for method in metric["methods"]]
    assert eighths == pytest.approx([round(n) for n in eighths])
    assert tens == pytest.approx([round(n) for n in tens])


def test_defaults_are_those_of_the_help_page() -> None:
    spelt = ("--seam", "1/4 in", "--usable-width", "42 in")

    assert run("fabric", *FOUR_YARDS, *spelt) == run("fabric", *FOUR_YARDS)
    help_page = run("fabric", "--help").out
    assert "[default: 1/4 in]" in help_page
    assert "[default: 42 in]" in help_page


@pytest.mark.parametrize(
    "option", ["--length", "--cut-width", "--seam", "--usable-width"]
)
def test_a_bare_number_is_refused_with_what_it_could_be(option: str) -> None:
    error = usage_error("fabric", *FOUR_YARDS, option, "12")

    assert f"'{option}'" in error
    assert all(text in error for text in ('"12 in"', '"12 mm"', '"12 cm"'))


@pytest.mark.parametrize(
    "text",
    ["", " ", "in", "two in", "12 furlongs", "1/0 in", "nan mm", "-3 in", "1e3 mm"],
)
def test_what_is_no_length_is_refused_at_its_option(text: str) -> None:
    assert "--length" in usage_error("fabric", "--length", text, "--cut-width", "2 in")


def test_options_that_are_needed_are_asked_for() -> None:
    assert "--length" in usage_error("fabric", "--cut-width", "2 in")
    assert "--cut-width" in usage_error("fabric", "--length", "2 in")


def test_figures_that_cannot_be_right_are_said_together() -> None:
    errors = refused(
        "fabric", "--length", "0 in", "--cut-width", "0.5 mm", "--usable-width", "11 m"
    )

    assert [error.split(" is ")[0] for error in errors] == [
        "the length of tape",
        "the usable width of the cloth",
        "the cut width",
    ]


def test_a_grain_that_does_not_exist_is_answered_with_those_that_do() -> None:
    error = usage_error("fabric", *FOUR_YARDS, "--grain", "diagonal")

    assert all(grain in error for grain in ("bias", "crosswise", "lengthwise"))


@pytest.mark.parametrize("length", ["1 mm", "10000 m"])
def test_the_shortest_and_the_longest_tape_come_to_an_end(length: str) -> None:
    said = run("fabric", "--length", length, "--cut-width", "1 mm")

    assert (said.exit_code, said.err) == (0, "")
    assert_fits(said.out)

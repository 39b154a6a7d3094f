"""``edgefinder fabric`` as it is typed."""

import math
from pathlib import Path

import pytest
from command_line import (
    TOP_KEYS,
    assert_fits,
    rectangle,
    refused,
    run,
    sheet,
    usage_error,
)

from edgefinder.classifier.job import Grain, TapeFold
from edgefinder.cli.fabric import FOLDS, GRAINS

PLAN_KEYS = (
    "length_mm",
    "cut_width_mm",
    "strip_seam_mm",
    "usable_width_mm",
    "methods",
    "not_possible",
    "least_waste",
    "square_root_rule",
    "one_way",
    "same_slant",
    "avoid_joins_mm",
    "buy_step_mm",
    "price",
    "preparation",
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
    "ruler_mm",
    "seams_in_tape",
    "buy_parts_mm",
    "cost_coins",
    "order",
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
    assert "[default: 1/4 in]" in " ".join(help_page.split())
    assert "[default: 42 in]" in " ".join(help_page.split())


@pytest.mark.parametrize(
    ("option", "said"),
    [
        ("--length", "--length"),
        ("--cut-width", "--cut-width"),
        ("--seam", "--strip-seam"),
        ("--usable-width", "--usable-width"),
        ("--cloth-width", "--cloth-width"),
        ("--buy-step", "--buy-step"),
        ("--shortest-strip", "--shortest-strip"),
        ("--squaring-up", "--squaring-up"),
        ("--packet-length", "--packet-length"),
        ("--widths", "--widths"),
    ],
)
def test_a_bare_number_is_refused_with_what_it_could_be(option: str, said: str) -> None:
    (error,) = refused("fabric", *FOUR_YARDS, option, "12")

    assert error.startswith(f"{said}: ")
    assert all(text in error for text in ('"12 in"', '"12 mm"', '"12 cm"'))


@pytest.mark.parametrize(
    "text",
    ["", " ", "in", "two in", "12 furlongs", "1/0 in", "nan mm", "-3 in", "1e3 mm"],
)
def test_what_is_no_length_is_refused_at_its_option(text: str) -> None:
    errors = refused("fabric", "--length", text, "--cut-width", "2 in")

    assert all(error.startswith("--length") for error in errors)


def test_options_that_are_needed_are_asked_for_together() -> None:
    (length,) = refused("fabric", "--cut-width", "2 in")
    (width,) = refused("fabric", "--length", "2 in")

    assert length.startswith("--length: is missing; ")
    assert width.startswith("--cut-width: is missing; ")
    assert refused("fabric") == [width, length]


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


def test_the_choices_of_the_help_page_are_those_of_the_job_file() -> None:
    assert tuple(Grain) == GRAINS
    assert set(TapeFold) == set(FOLDS)


# What is asked beside the plain length


def test_everything_that_is_wrong_is_said_at_once_in_the_words_of_the_options() -> None:
    errors = refused(
        "fabric",
        *("--length", "4", "--cut-width", "x", "--shrinkage-lengthwise", "90"),
        *("--price", "3", "--widths", "3 bananas", "--avoid-joins-at", "3m"),
        *("--selvage", "1in", "--usable-width", "3in", "--cloth-width", "3in"),
    )

    assert [error.split(":")[0] for error in errors] == [
        "--shrinkage-lengthwise",
        "--widths",
        "--price",
        "--usable-width",
        "--length",
        "--cut-width",
        "--avoid-joins-within",
    ]
    assert "must lie between 0 and 50" in errors[0]
    assert "--cloth-width" in errors[3]


def test_a_finished_width_is_as_good_as_a_cut_width() -> None:
    """6 widths of 10 mm: the 6x rule of the double layer (sewing manual)."""
    flags = ("--length", "4 m", "--json")

    folded = run("fabric", *flags, "--finished-width", "10mm", "--fold", "double layer")
    flat = run("fabric", *flags, "--finished-width", "60mm", "--fold", "flat")

    assert folded.json["cut_width_mm"] == pytest.approx(60)
    assert flat.json == folded.json == run("fabric", *flags, "--cut-width", "6cm").json


def test_preparation_and_price_by_hand() -> None:
    said = run(
        "fabric",
        *("--length", "4 m", "--cut-width", "50 mm", "--grain", "crosswise"),
        *("--cloth-width", "112 cm", "--selvage", "1 cm"),
        *("--shrinkage-crosswise", "5", "--shrinkage-lengthwise", "4 %"),
        *("--squaring-up", "5 cm", "--contingency", "10"),
        *("--price", "12,50 EUR per m", "--buy-step", "25 mm", "--json"),
    ).json

    # 1120 x 0.95 - 20 mm usable; 4 strips of 50 mm; (200 x 1.1 + 50)/0.96 = 281.25
    assert said["usable_width_mm"] == pytest.approx(1044)
    (method,) = said["methods"]
    parts = method["buy_parts_mm"]
    assert parts["cut"] == pytest.approx(200)
    assert parts["contingency"] == pytest.approx(20)
    assert parts["squaring"] == pytest.approx(50)
    assert parts["shrinkage"] == pytest.approx(270 / 0.96 - 270)
    assert method["buy_mm"] == parts["buy"] == pytest.approx(300)
    assert method["cost_coins"] == 375  # 0.3 m at 12.50
    assert said["price"] == {"coins": 1250, "per": "m", "currency": "EUR"}


def test_every_allowance_stands_there_off_with_the_usual_figure() -> None:
    text = run("fabric", *FOUR_YARDS).out
    rows = {
        row["name"]: row
        for row in run("fabric", *FOUR_YARDS, "--json").json["preparation"]
    }

    assert text.count("  off  ") == 5
    assert "shrinkage lengthwise  off  3 to 5 %" in text
    assert rows["contingency"]["usual"] == [10, 10]
    assert all(row["value"] == 0 for row in rows.values())


def test_widths_are_compared_with_the_one_way_that_buys_least() -> None:
    flags = (*FOUR_YARDS, "--widths", "44/45 in", "--widths", "150 cm")

    text, result = run("fabric", *flags).out, run("fabric", *flags, "--json").json

    first, second = result["widths"]
    assert first["usable_width_mm"] == pytest.approx(42 * INCH)  # published
    assert second["usable_width_mm"] == pytest.approx(1500)
    for row in (first, second):
        least = row["methods"][0]
        assert least["buy_mm"] == min(one["buy_mm"] for one in row["methods"])
    assert "Other widths" in text
    assert (
        len(run("fabric", *FOUR_YARDS, "--widths", "usual", "--json").json["widths"])
        == 8
    )


def test_packets_of_several_tapes_are_counted_at_once() -> None:
    said = run(
        "fabric",
        *("--tape", "neck", "2 m", "36 mm", "--tape", "hem", "5 m", "36 mm"),
        *("--packet-length", "3 m", "--grain", "bias", "--json"),
    ).json

    counts = {one["tape"]: one["count"] for one in said["packets"]}
    assert counts == {"neck": 1, "hem": 2}  # 2 x 3000 - 36 mm


def test_a_rectangle_without_a_length_gives_all_it_has() -> None:
    said = run("fabric", "--from", "14 x 44 in", "--cut-width", "2in", "--json").json
    text = run("fabric", "--from", "14 x 44 in", "--cut-width", "2in").out

    tube = said["from_rectangle"]["tube"]
    assert tube["yield_mm"] / INCH == pytest.approx(15 * math.sqrt(2) * 13.5)
    assert tube["rule_yield_mm"] / INCH == pytest.approx(308)
    assert "the square-root rule promises 308 in" in text
    assert "21 5/8 in short" in text
    assert_fits(text)


def test_a_rectangle_with_a_length_says_what_to_cut_off_and_what_is_spare() -> None:
    flags = ("--from", "14 x 44 in", "--cut-width", "2in")

    enough = run("fabric", *flags, "--length", "4yd").out
    short = run("fabric", *flags, "--length", "20yd").out

    # 8 strips: 13 1/4 in gives 8 x sqrt 2 (13.23 - 0.5) = 144 in
    assert "cut 23 1/4 in off the longer side and 13 1/4 in off the shorter" in enough
    assert "short" in short.split("tube")[0]
    assert_fits(enough)
    assert_fits(short)


def test_several_tapes_are_cut_together_and_the_largest_size_is_named() -> None:
    flags = (
        *("--tape", "S: neck", "2m", "36mm", "--tape", "S: hem", "3m", "48mm"),
        *("--tape", "L: neck", "3m", "36mm", "--tape", "L: hem", "4m", "48mm"),
    )

    said = run("fabric", *flags, "--json").json["one_cuts"]
    text = run("fabric", *flags).out

    assert [one["grain"] for one in said] == ["bias", "crosswise", "lengthwise"]
    for one in said:
        assert one["largest"] == "L"
        assert [size["size"] for size in one["sizes"]] == ["S", "L"]
        for cut in (*(size["cut"] for size in one["sizes"]), one["all_sizes"]):
            assert cut["lower_bound_mm"] <= cut["along_mm"] * (1 + 1e-9)
    assert "size L buys most" in text
    assert "lower bound" in text
    assert "none takes less cloth" in text
    assert_fits(text)


def test_tapes_in_one_cut_are_bought_prepared_and_paid_for() -> None:
    flags = (
        *("--tape", "a", "3m", "40mm", "--tape", "b", "2m", "30mm"),
        *("--grain", "crosswise", "--shrinkage-lengthwise", "5", "--price", "10 EUR/m"),
    )

    (one,) = run("fabric", *flags, "--json").json["one_cuts"]
    text = run("fabric", *flags).out

    # Rows of 40 mm, three of them, and of 30 mm, two: 180 mm, with the rests 0.2 m.
    (size,) = one["sizes"]
    assert size["cut"]["along_mm"] == pytest.approx(180)
    assert size["buy_mm"] == pytest.approx(200)  # 180/0.95 = 189.5
    assert size["cost_coins"] == 200
    assert "2.00 EUR" in text
    assert "shrinkage lengthwise  5 %" in text


def test_joins_are_kept_out_of_places_and_the_order_is_told() -> None:
    flags = (
        *("--length", "4m", "--cut-width", "50mm", "--grain", "bias"),
        *("--avoid-joins-at", "1m", "--avoid-joins-at", "2m"),
        *("--avoid-joins-within", "8cm"),
    )

    said = run("fabric", *flags, "--json").json
    text = " ".join(run("fabric", *flags).out.split())

    (bias,) = said["methods"]
    joins = bias["order"]["joins_at_mm"]
    assert len(joins) == bias["joins"] > 5
    assert all(abs(join - at) > 80 - 1e-6 for join in joins for at in (1000, 2000))
    assert said["avoid_joins_mm"] == [[1000, 80], [2000, 80]]
    assert "Join them in this order: " in text
    assert "no join lies within 80 mm of 1000 mm, 2000 mm along the tape" in text


def test_scraps_that_are_typed_and_drawn_are_chosen_from(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle("corner"))

    said = run(
        "fabric",
        *("--length", "3m", "--cut-width", "36mm", "--scrap", "20 x 50 cm"),
        *("--scrap", "30x30cm", "--scraps", str(drawing), "--json"),
    ).json["scraps"]

    names = [one["name"] for one in said["scraps"]]
    assert names == ["1 (20 x 50 cm)", "2 (30x30cm)", "corner"]
    assert said["scraps"][2]["area_mm2"] == pytest.approx(20_000)
    taken = [one["yield_mm"] for one in said["scraps"] if one["taken"]]
    assert len(taken) == 2
    assert said["short_mm"] == 0
    assert said["yield_mm"] - said["spare_mm"] == pytest.approx(3000)


def test_scraps_that_are_not_enough_say_how_much_is_missing() -> None:
    text = run(
        "fabric", "--length", "9m", "--cut-width", "36mm", "--scrap", "20 x 50 cm"
    ).out

    assert "short" in text
    assert_fits(text)


def test_a_scrap_drawing_that_is_not_there_is_told_with_the_rest(
    tmp_path: Path,
) -> None:
    missing = tmp_path / "nothing.svg"

    errors = refused("fabric", "--length", "3", "--scraps", missing, "--scrap", "9 by")

    assert len(errors) == 4
    assert any("nothing.svg" in error for error in errors)
    assert any(error.startswith("--scrap: ") for error in errors)


@pytest.mark.parametrize(
    ("flags", "words"),
    [
        (("--from", "1x1m", "--scrap", "1x1m"), "are different questions; ask one"),
        (("--from", "1x1m", "--widths", "usual"), "--widths: compares cloth off the"),
        (("--from", "1x1m", "--same-slant"), "--same-slant: is looked at for one"),
        (("--tape", "a", "1m", "2cm"), "--length: stands in every --tape already"),
        (("--finished-width", "1cm"), "--finished-width: gives the cut width too"),
        (("--fold", "flat"), "--fold: says nothing without --finished-width"),
        (("--closed",), "--closed: says nothing without --avoid-joins-at"),
        (("--scrap-grain", "30"), "--scrap-grain: turns drawn scraps; give --scraps"),
        (("--selvage", "1cm"), "--selvage: there is nothing to take it off"),
        (
            ("--from", "1x1m", "--price", "3/m"),
            "--price: says nothing of cloth that is",
        ),
        (("--scrap", "1x1m", "--contingency", "3"), "--contingency: says nothing of"),
        (("--from", "1m"), '"1m" is no size; write across x along'),
        (("--from", "0 x 1m"), "has a side of nothing"),
        (
            ("--avoid-joins-at", "9m", "--avoid-joins-within", "1cm"),
            "the run goes from 0 mm to 3657.6 mm",
        ),
    ],
)
def test_options_that_do_not_go_together_say_so(
    flags: tuple[str, ...], words: str
) -> None:
    errors = refused("fabric", *FOUR_YARDS, *flags)

    assert any(words in error for error in errors), errors


def test_tapes_of_one_name_and_of_half_the_sizes_are_refused() -> None:
    twice = refused("fabric", *("--tape", "a", "1m", "2cm") * 2)
    half = refused("fabric", "--tape", "a", "1m", "2cm", "--tape", "S: b", "1m", "2cm")

    assert 'two are called "a"' in twice[0]
    assert "before every name, or before none" in half[0]


# Charts


def test_charts_are_written_for_every_way_with_their_steps(tmp_path: Path) -> None:
    said = run("fabric", *FOUR_YARDS, "--charts", tmp_path / "charts")

    names = sorted(path.name for path in (tmp_path / "charts").iterdir())
    assert len(names) == 10
    assert "bias-strips.svg" in names
    assert "tube-from-a-square.txt" in names
    assert said.err.count("wrote ") == 10
    steps = (tmp_path / "charts" / "tube-from-a-square.txt").read_text("utf-8")
    assert "rule 5 lines" in steps
    for caution in ("rotary cutter:", "scissors:", "iron:"):
        assert f"Caution: {caution}" in steps


def test_the_charts_of_a_rectangle_are_of_that_rectangle(tmp_path: Path) -> None:
    run("fabric", "--from", "14x44in", "--cut-width", "2in", "--charts", tmp_path)

    chart = (tmp_path / "tube-from-a-rectangle.svg").read_text("utf-8")
    steps = (tmp_path / "lengthwise-strips.txt").read_text("utf-8")
    assert "Use the whole piece of 14 x 44 in" in chart
    assert "selvage" not in chart + steps
    assert "buy" not in chart + steps

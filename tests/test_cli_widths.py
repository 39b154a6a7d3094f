"""``edgefinder widths`` as it is typed."""

import math
from pathlib import Path
from typing import Any

import pytest
from command_line import (
    APRON,
    SMOCK,
    TOP_KEYS,
    assert_fits,
    job,
    refused,
    run,
    sheet,
    usage_error,
)

from edgefinder.binding.cloth import CLOTH_CLASSES
from edgefinder.binding.tape import USUAL_WIDTHS_INCH_MM, USUAL_WIDTHS_METRIC_MM

TAPES = """
[[cloths]]
name = "my lawn"
stretch_ok_percent = 8
stretch_limit_percent = 18
ease_ok_percent = 3
ease_limit_percent = 5

[[tapes]]
name = "main"
finished_width = "9 mm"
cloth = "my lawn"
"""
RUN = """
[[runs]]
name = "neck"
tape = "main"
edges = ["bib 3"]
"""
STRAIGHT_RUN = """
[[tapes]]
name = "straight"
finished_width = "9 mm"
grain = "crosswise"

[[runs]]
name = "side"
tape = "straight"
edges = ["bib 1"]
"""


def neck_job(folder: Path, *, top: str = "", tape: str = "", more: str = RUN) -> Path:
    """Write a bib whose edge 3 is an inside quarter of a circle of 60 mm."""
    sheet(folder, '<path id="bib" d="M 0 200 V 0 H 140 A 60 60 0 0 0 200 60 V 200 Z"/>')
    return job(folder, top + TAPES + tape + more)


def choices(path: Path, *options: str) -> list[dict[str, Any]]:
    said = run("widths", path, "--json", *options)
    assert (said.exit_code, said.err) == (0, "")
    (tape,) = said.json["tapes"]
    found: list[dict[str, Any]] = tape["choices"]
    return found


# Widths


def test_the_usual_widths_are_tried_the_widest_first(tmp_path: Path) -> None:
    metric = choices(neck_job(tmp_path))
    inch = choices(neck_job(tmp_path, top='unit = "in"\n'))

    assert [c["finished_width_mm"] for c in metric] == sorted(
        USUAL_WIDTHS_METRIC_MM, reverse=True
    )
    assert [c["finished_width_mm"] for c in inch] == sorted(
        USUAL_WIDTHS_INCH_MM, reverse=True
    )


@pytest.mark.parametrize(
    ("width", "steam", "tight"),
    # 60 (1.08/0.97 - 1) = 6.80 mm is easy, 60 (1.18/0.95 - 1) = 14.53 mm is possible.
    [("6.7mm", 0, 0), ("6.9mm", 1, 0), ("14.4mm", 1, 0), ("14.7mm", 0, 1)],
)
def test_a_width_is_judged_by_the_closed_form_of_its_curve(
    tmp_path: Path, width: str, steam: int, tight: int
) -> None:
    (choice,) = choices(neck_job(tmp_path), "--width", width)

    assert (choice["whole"]["steam"], choice["whole"]["too_tight"]) == (steam, tight)
    lengths = sum(choice["whole"][f"{w}_mm"] for w in ("easy", "steam", "too_tight"))
    assert lengths == pytest.approx(60 * math.pi / 2)
    (neck,) = choice["runs"]
    assert neck == {"run": "neck", **choice["whole"]}


def test_widths_that_are_typed_are_tried_once_each(tmp_path: Path) -> None:
    path = neck_job(tmp_path)

    found = choices(path, "--width", "6mm", "--width", "0.6 cm", "--width", "1/2 in")

    assert [c["finished_width_mm"] for c in found] == pytest.approx([12.7, 6.0])


def test_a_width_of_nothing_is_refused() -> None:
    error = usage_error("widths", APRON, "--width", "9mm", "--width", "0 mm")

    assert error == "Error: Invalid value for '--width': \"0 mm\" is no width."


def test_the_tape_of_the_job_is_easy_up_to_its_closed_form(tmp_path: Path) -> None:
    said = run("widths", neck_job(tmp_path), "--json")

    (tape,) = said.json["tapes"]
    (widest,) = tape["widest_flat_mm"]
    assert widest["run"] == "neck"
    assert widest["width_mm"] == pytest.approx(60 * 0.11 / 0.97, abs=1e-3)


# Fold tools


def test_fold_tools_of_the_job_take_the_place_of_the_usual_widths(
    tmp_path: Path,
) -> None:
    path = neck_job(tmp_path, top='fold_tools = ["12 mm", "18 mm"]\n')

    found = choices(path)

    assert [
        (c["finished_width_mm"], c["fold_tool_mm"], c["own_fold_tool"]) for c in found
    ] == [(9.0, 18.0, "18 mm"), (6.0, 12.0, "12 mm")]
    text = run("widths", path).out
    assert "\nwidths: fold tools of the job file\n" in text
    tools = {line[:4]: line[-6:] for line in text.splitlines() if " % " in line}
    assert tools == {"9 mm": " 18 mm", "6 mm": " 12 mm"}


def test_a_single_fold_is_as_wide_as_its_tool(tmp_path: Path) -> None:
    path = neck_job(tmp_path, top='fold_tools = "18 mm"\n', tape='fold="single fold"\n')

    (choice,) = choices(path)

    assert (choice["finished_width_mm"], choice["fold_tool_mm"]) == (18.0, 18.0)


def test_a_double_layer_needs_no_tool(tmp_path: Path) -> None:
    path = neck_job(
        tmp_path, top='fold_tools = "18 mm"\n', tape='fold = "double layer"\n'
    )

    found = choices(path)

    assert len(found) == len(USUAL_WIDTHS_METRIC_MM)
    assert {c["fold_tool_mm"] for c in found} == {None}
    assert "widths: usual widths\n" in run("widths", path).out


def test_a_typed_width_comes_before_the_tools_and_names_the_one_it_needs(
    tmp_path: Path,
) -> None:
    path = neck_job(tmp_path, top='fold_tools = ["18 mm"]\n')

    found = choices(path, "--width", "3/8 in", "--width", "6 mm")

    assert [c["own_fold_tool"] for c in found] == ["18 mm", None]
    assert [c["fold_tool_mm"] for c in found] == pytest.approx([19.05, 12.0])


def test_tools_of_the_own_list_come_after_those_of_the_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    own = tmp_path / "settings" / "edgefinder" / "cloths.toml"
    own.parent.mkdir(parents=True)
    own.write_text('fold_tools = ["25 mm"]\n', encoding="utf-8")

    said = run("widths", neck_job(tmp_path), "--json").json["tapes"][0]
    with_own = neck_job(tmp_path, top='fold_tools = ["12 mm"]\n')
    said_of_job = run("widths", with_own, "--json").json["tapes"][0]

    assert said["widths_from"] == "fold tools of your own list"
    assert [c["own_fold_tool"] for c in said["choices"]] == ["25 mm"]
    assert said_of_job["widths_from"] == "fold tools of the job file"
    assert [c["own_fold_tool"] for c in said_of_job["choices"]] == ["12 mm"]


def test_a_mistake_in_the_tools_is_a_mistake_of_the_job(tmp_path: Path) -> None:
    path = neck_job(tmp_path, top="fold_tools = [18]\n")

    assert refused("widths", path) == [
        f'{path}: fold_tools: 18 has no unit; write "18 mm" or "18 in" in quotes'
    ]


# Cloths and angles


def test_cloths_are_compared_with_ones_own_among_them(tmp_path: Path) -> None:
    found = choices(neck_job(tmp_path), "--cloth")

    assert sorted(c["cloth"] for c in found) == sorted(
        ["my lawn", *(cloth.name for cloth in CLOTH_CLASSES)]
    )
    assert {c["cloth"]: c["cloth_from"] for c in found}["my lawn"] == "job file"
    assert {c["finished_width_mm"] for c in found} == {9.0}


def test_a_cloth_of_ones_own_takes_the_place_of_its_class(tmp_path: Path) -> None:
    path = neck_job(tmp_path)
    path.write_text(path.read_text("utf-8").replace("my lawn", "Lawn"), "utf-8")

    found = choices(path, "--cloth")

    assert [c["cloth"] for c in found if c["cloth"].casefold() == "lawn"] == ["Lawn"]


def test_angles_are_compared_by_sin_2a(tmp_path: Path) -> None:
    found = choices(neck_job(tmp_path), "--angle")

    for choice in found:
        share = math.sin(2 * math.radians(choice["angle_deg"]))
        assert choice["stretch_limit_percent"] == pytest.approx(18 * share)
    assert [round(c["angle_deg"]) for c in found] == [15, 20, 25, 30, 35, 40, 45]


def test_a_straight_tape_is_left_out_where_angles_are_compared(tmp_path: Path) -> None:
    said = run("widths", neck_job(tmp_path, more=RUN + STRAIGHT_RUN), "--angle")

    assert said.exit_code == 0
    assert 'tape "main"' in said.out
    assert "straight" not in said.out


def test_angles_need_a_tape_on_the_bias(tmp_path: Path) -> None:
    path = neck_job(tmp_path, more=STRAIGHT_RUN)

    (error,) = refused("widths", path, "--angle")

    assert error == (
        f'{path}: tapes "straight": is cut crosswise; angles are compared for grain = '
        '"bias"'
    )


@pytest.mark.parametrize(
    "options",
    [
        ("--cloth", "--angle"),
        ("--cloth", "--width", "9mm"),
        ("--angle", "--width", "9mm"),
    ],
)
def test_one_thing_is_compared_at_a_time(options: tuple[str, ...]) -> None:
    error = usage_error("widths", APRON, *options)

    assert error == "Error: choose one of --width, --cloth and --angle"


# All of it


@pytest.mark.parametrize("options", [(), ("--cloth",), ("--angle",)], ids=str)
@pytest.mark.parametrize("path", [APRON, SMOCK], ids=lambda path: str(path.stem))
def test_the_demo_fits_the_page(path: Path, options: tuple[str, ...]) -> None:
    said = run("widths", path, *options)

    assert said.exit_code == 0
    assert_fits(said.out)


def test_size_keeps_one_size_and_an_unknown_one_is_refused() -> None:
    said = run("widths", APRON, "--size", "M", "--json")

    assert {tape["size"] for tape in said.json["tapes"]} == {"M"}
    assert refused("widths", APRON, "--size", "mm") == [
        '--size: there is no size "mm"; did you mean "M"?'
    ]


def test_json_has_the_agreed_keys(tmp_path: Path) -> None:
    said = run("widths", neck_job(tmp_path), "--json")

    assert tuple(said.json) == (*TOP_KEYS, "by", "tapes")
    assert said.json["schema"] == {"name": "edgefinder.widths", "version": 1}
    assert said.json["by"] == "finished width"
    (tape,) = said.json["tapes"]
    assert tuple(tape) == ("size", "tape", "widths_from", "widest_flat_mm", "choices")
    assert tuple(tape["choices"][0]) == (
        "finished_width_mm",
        "fold_tool_mm",
        "own_fold_tool",
        "cloth",
        "cloth_from",
        "angle_deg",
        "stretch_ok_percent",
        "stretch_limit_percent",
        "worth_choosing",
        "whole",
        "runs",
    )
    assert run("widths", neck_job(tmp_path), "--cloth", "--json").json["by"] == "cloth"


def test_a_drawing_is_no_job_file(tmp_path: Path) -> None:
    (error,) = refused("widths", sheet(tmp_path, '<rect width="200" height="100"/>'))

    assert "job file" in error

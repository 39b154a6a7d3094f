"""``edgefinder curves`` as it is typed."""

from pathlib import Path

import pytest
from command_line import (
    APRON,
    SMOCK,
    TAPE,
    TOP_KEYS,
    assert_fits,
    job,
    refused,
    run,
    sheet,
    usage_error,
)

RUN_KEYS = ("name", "tape", "edges", "places", "corners", "widest_flat_mm")
PLACE_KEYS = (
    "run",
    "piece",
    "edge",
    "mirrored",
    "verdict",
    "side",
    "at_mm",
    "point_mm",
    "from",
    "to",
    "over_mm",
    "turn_deg",
    "radius_mm",
    "point_radius_mm",
    "feed",
    "feed_range",
    "stretch_needed_percent",
    "stretch_limit_percent",
    "ease_limit_percent",
    "widest_flat_mm",
    "laid_width_mm",
    "restoring_cut_width_mm",
    "advice",
)
# Swatch: stretch 8 and 18 %, ease 3 and 5 %; the classes of cloth may change.
SWATCH = """
[fabric]
cloth = "my lawn"

[[cloths]]
name = "my lawn"
stretch_ok_percent = 8
stretch_limit_percent = 18
ease_ok_percent = 3
ease_limit_percent = 5
"""
RUN = """
[[runs]]
name = "neck"
tape = "main"
edges = ["bib 3"]
"""


def neck_job(folder: Path, radius: int) -> Path:
    """Write a bib whose edge 3 is an inside quarter of a circle."""
    r = radius
    sheet(
        folder,
        f'<path id="bib" d="M 0 200 V 0 H {200 - r} A {r} {r} 0 0 0 200 {r} V 200 Z"/>',
    )
    return job(folder, SWATCH + TAPE + RUN)


@pytest.mark.parametrize(
    ("radius", "verdict"),
    [
        # Least radius w/(S - 1): S = 1.08/0.97 comfortably, so 79.4 mm for 9 mm;
        # S = 1.18/0.95 at most, so 37.2 mm (model.md, section 6).
        (80, None),
        (78, "ease and steam"),
        (38, "ease and steam"),
        (36, "too tight"),
    ],
)
def test_the_radius_of_a_neck_decides_its_verdict(
    tmp_path: Path, radius: int, verdict: str | None
) -> None:
    said = run("curves", neck_job(tmp_path, radius), "--json")

    assert (said.exit_code, said.err) == (0, "")
    ((neck,),) = [size["runs"] for size in said.json["sizes"]]
    verdicts = [place["verdict"] for place in neck["places"]]
    assert verdicts == ([] if verdict is None else [verdict])


def test_json_has_the_agreed_keys_and_a_place_in_closed_form(tmp_path: Path) -> None:
    said = run("curves", neck_job(tmp_path, 60), "--json")

    assert tuple(said.json) == (*TOP_KEYS, "sizes")
    assert said.json["schema"] == {"name": "edgefinder.curves", "version": 1}
    (size,) = said.json["sizes"]
    assert tuple(size) == ("size", "runs", "tapes")
    (neck,) = size["runs"]
    assert tuple(neck) == RUN_KEYS
    (place,) = neck["places"]
    assert tuple(place) == PLACE_KEYS
    assert (place["side"], place["edge"]) == ("inside", "3")
    assert place["radius_mm"] == pytest.approx(60, rel=1e-6)
    # (1 + 9/60) (1 - 0.05) - 1 = 9.25 %, and 60 (1.08/0.97 - 1) = 6.804 mm
    assert place["stretch_needed_percent"] == pytest.approx(9.25, rel=1e-6)
    assert place["widest_flat_mm"] == pytest.approx(60 * 0.11 / 0.97, rel=1e-6)
    assert neck["widest_flat_mm"] == pytest.approx(60 * 0.11 / 0.97, abs=1e-3)


def test_the_text_says_where_what_and_what_to_do(tmp_path: Path) -> None:
    said = run("curves", neck_job(tmp_path, 60))

    assert (said.exit_code, said.err) == (0, "")
    words = " ".join(said.out.split())
    assert "bib 3: " in words
    assert "inside curve, radius 60 mm: EASE AND STEAM" in words
    assert "tape up to 6.5 mm wide" in words  # 6.804, rounded down
    assert_fits(said.out)


@pytest.mark.parametrize("where", ["curves", "schedule"])
def test_places_are_counted_at_the_widths_of_ones_own_fold_tools_too(
    tmp_path: Path, where: str
) -> None:
    path = neck_job(tmp_path, 60)
    tools = 'fold_tools = ["18 mm", "14 mm", "25 mm"]\n'
    path.write_text(tools + path.read_text(encoding="utf-8"), encoding="utf-8")

    said = run(where, path, "--json").json["sizes"][0]["tapes"][0]["widths"]

    # 25 mm make 12.5, near enough to be what one takes for 12.
    made = {w["width_mm"]: w["own_fold_tool"] for w in said}
    usual = dict.fromkeys((6.0, 8.0, 10.0, 15.0, 20.0))
    assert made == usual | {7.0: "14 mm", 9.0: "18 mm", 12.5: "25 mm"}
    assert list(made) == sorted(made)
    # Easy up to 60 (1.08/0.97 - 1) = 6.8 mm, at all up to 60 (1.18/0.95 - 1) = 14.5.
    assert {w["width_mm"] for w in said if w["steam"]} == {7, 8, 9, 10, 12.5}
    assert {w["width_mm"] for w in said if w["too_tight"]} == {15, 20}


def test_the_fold_tools_stand_below_the_widths_that_they_make(tmp_path: Path) -> None:
    path = neck_job(tmp_path, 60)
    without = run("curves", path).out
    tools = 'fold_tools = ["18 mm"]\n'
    path.write_text(tools + path.read_text(encoding="utf-8"), encoding="utf-8")

    said = run("curves", path).out

    assert "your fold tool" not in without
    (head,) = [line for line in said.splitlines() if line.startswith("finished width")]
    (row,) = [line for line in said.splitlines() if line.startswith("your fold tool")]
    at = head.index("9 mm") + len("9 mm")
    assert row[:at].endswith("18 mm")
    assert row.split() == ["your", "fold", "tool", "-", "-", "18", "mm", *"----"]


def test_a_straight_run_lies_flat_whatever_the_width(tmp_path: Path) -> None:
    sheet(tmp_path, '<rect id="bib" width="200" height="100"/>')
    path = job(tmp_path, SWATCH + TAPE + RUN)

    text, result = run("curves", path), run("curves", path, "--json")

    assert "lies flat everywhere\n" in text.out
    assert "widest tape that lies flat everywhere: any\n" in text.out
    assert result.json["sizes"][0]["runs"][0]["widest_flat_mm"] is None


@pytest.mark.parametrize("path", [APRON, SMOCK], ids=lambda path: str(path.stem))
def test_the_demo_fits_the_page(path: Path) -> None:
    said = run("curves", path)

    assert said.exit_code == 0
    assert_fits(said.out)


def test_size_keeps_one_size() -> None:
    said = run("curves", APRON, "--size", "M", "--json")

    assert [size["size"] for size in said.json["sizes"]] == ["M"]


def test_sizes_keep_the_order_of_the_pattern_however_they_are_named() -> None:
    said = run("curves", APRON, "--size", "XL", "--size", "S", "--json")

    assert [size["size"] for size in said.json["sizes"]] == ["S", "XL"]


def test_a_size_that_is_not_there_gets_a_suggestion() -> None:
    assert refused("curves", APRON, "--size", "mm") == [
        '--size: there is no size "mm"; did you mean "M"?'
    ]


def test_every_size_that_is_not_there_gets_a_line_of_its_own() -> None:
    errors = refused("curves", APRON, "--size", "42", "--size", "M", "--size", "44")

    assert [error.split(";")[0] for error in errors] == [
        '--size: there is no size "42"',
        '--size: there is no size "44"',
    ]
    assert all(f'"{size}"' in errors[0] for size in ("S", "M", "L", "XL"))


def test_a_drawing_is_no_job_file(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, '<rect width="200" height="100"/>')

    (error,) = refused("curves", drawing)

    assert error.startswith(f"{drawing}: ")
    assert "job file" in error


def test_options_of_other_commands_are_not_taken() -> None:
    assert "--csv" in usage_error("curves", APRON, "--csv", "tables")

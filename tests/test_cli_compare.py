"""``edgefinder compare`` as it is typed, on the demo and on what is made of it."""

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from command_line import (
    DEMO,
    TOP_KEYS,
    Said,
    assert_fits,
    assert_printable,
    contents,
    rectangle,
    refused,
    run,
    sheet,
    usage_error,
)

APRON = "orchard-apron.toml"
SMOCK = "puddle-smock.toml"


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo with the schedule of each job stored in it."""
    folder = tmp_path_factory.mktemp("stored") / "demo"
    shutil.copytree(DEMO, folder)
    for job in (APRON, SMOCK):
        printed = run("schedule", folder / job, "--json").out
        (folder / job).with_suffix(".json").write_text(printed, "utf-8")
    return folder


@pytest.fixture
def demo(stored: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The same as the current folder, to be changed."""
    folder = tmp_path / "demo"
    shutil.copytree(stored, folder)
    monkeypatch.chdir(folder)
    return folder


def edited(source: str, name: str, *changes: tuple[str, str]) -> str:
    """Write a file with some texts of another one replaced, each of which is there."""
    text = Path(source).read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    Path(name).write_text(text, "utf-8")
    return name


def differences(*arguments: str | Path) -> dict[str, list[dict[str, Any]]]:
    """Run a comparison that finds something; what differs by size."""
    said = run("compare", *arguments, "--json")
    assert (said.exit_code, said.err) == (1, "")
    assert said.json["same"] is False
    return {size["size"]: size["differences"] for size in said.json["sizes"]}


def told(found: list[dict[str, Any]]) -> list[tuple[str, str, str]]:
    """Names, figure and change of each difference."""
    return [
        (
            " ".join(d[key] for key in ("piece", "edge", "run", "tape") if d[key]),
            d["what"],
            d["change"],
        )
        for d in found
    ]


# Nothing differs


@pytest.mark.parametrize("job", [APRON, SMOCK])
@pytest.mark.usefixtures("demo")
def test_a_job_does_not_differ_from_its_stored_schedule(job: str) -> None:
    said = run("compare", Path(job).with_suffix(".json"), job, "--within", "0mm")

    assert said == Said(0, "nothing differs by more than 0mm: 4 sizes compared\n", "")


@pytest.mark.usefixtures("demo")
def test_two_stored_schedules_and_two_jobs_can_be_compared() -> None:
    again = edited(APRON, "again.toml", ('name = "main"', 'name = "main"  # same'))
    Path("again.json").write_bytes(Path("orchard-apron.json").read_bytes())

    assert run("compare", "orchard-apron.json", "again.json").exit_code == 0
    assert run("compare", APRON, again).exit_code == 0


@pytest.mark.usefixtures("demo")
def test_the_svg_and_the_dxf_of_the_demo_are_one_pattern() -> None:
    """Both were exported from one draft; beside a job its rules hold for the DXF."""
    said = run("compare", "puddle-smock.toml", "puddle-smock.dxf", "--within", "0.1mm")

    assert said.exit_code == 0
    assert said.out == (
        "nothing differs by more than 0.1mm: pieces and edges of 4 sizes compared\n"
    )


@pytest.mark.usefixtures("demo")
def test_nothing_is_written() -> None:
    before = contents(Path())

    run("compare", "orchard-apron.json", APRON)
    run("compare", "orchard-apron.json", SMOCK)

    assert contents(Path()) == before


# Something does

HEM_OF_S = (
    ("M 40 1050 L 40 238 C", "M 40 1055 L 40 238 C"),
    ("273.0815387 1050 Z", "273.0815387 1055 Z"),
)
"""Two points at the foot of the front of size S."""


@pytest.mark.usefixtures("demo")
def test_a_drawing_with_other_coordinates_differs_where_it_was_edited() -> None:
    drawing = edited("orchard-apron.svg", "new.svg", *HEM_OF_S)
    job = edited(APRON, "new.toml", ("orchard-apron.svg", drawing))

    found = differences("orchard-apron.json", job)

    assert found["M"] == found["L"] == found["XL"] == []
    # The centre fold is a straight line that was drawn 5 mm longer.
    (fold,) = (d for d in found["S"] if d["edge"] == "7")
    assert told([fold]) == [("front 7", "length_mm", "longer")]
    assert fold["by"] == pytest.approx(5.0, abs=1e-9)
    changes = {(name, what) for name, what, change in told(found["S"])}
    assert {
        ("front", "perimeter_mm"),
        ("front 1", "length_mm"),
        ("front 1", "bound_length_mm"),
        ("front hem", "tape_to_cut_mm"),
        ("main", "total_mm"),
    } <= changes
    # Nothing was done to the other pieces and their runs.
    assert not {"back", "pocket", "armholes"} & {name.split()[0] for name, _ in changes}
    hem, tape = (
        next(d for d in found["S"] if d["what"] == what)
        for what in ("tape_to_cut_mm", "total_mm")
    )
    assert hem["by"] == pytest.approx(tape["by"])


@pytest.mark.usefixtures("demo")
def test_the_old_drawing_is_read_as_the_job_of_the_new_one_says() -> None:
    edited("orchard-apron.svg", "new.svg", *HEM_OF_S)
    job = edited(APRON, "new.toml", ("orchard-apron.svg", "new.svg"))

    there = differences("orchard-apron.svg", job)
    back = differences(job, "orchard-apron.svg")

    assert told(there["S"]) == [
        ("front", "perimeter_mm", "longer"),
        ("front 1", "length_mm", "longer"),
        ("front 7", "length_mm", "longer"),
    ]
    assert [d["change"] for d in back["S"]] == ["shorter"] * 3
    assert [d["by"] for d in back["S"]] == [-d["by"] for d in there["S"]]


@pytest.mark.usefixtures("demo")
def test_a_tolerance_above_the_difference_shows_nothing() -> None:
    edited("orchard-apron.svg", "new.svg", *HEM_OF_S)
    job = edited(APRON, "new.toml", ("orchard-apron.svg", "new.svg"))

    said = run("compare", "orchard-apron.svg", job, "--within", "1/2 in")

    assert said.exit_code == 0
    assert "nothing differs by more than 1/2 in" in said.out


@pytest.mark.usefixtures("demo")
def test_two_drawings_are_compared_piece_by_piece(tmp_path: Path) -> None:
    old = sheet(tmp_path, rectangle("pocket") + rectangle("flap", (10, 300)), "1.svg")
    wider = rectangle("pocket").replace("200", "212")
    new = sheet(tmp_path, wider + rectangle("tab", (10, 300)), "2.svg")

    said = run("compare", old, new)

    assert said.exit_code == 1
    assert said.out.splitlines()[-6:] == [
        "                       old     new    difference",
        "pocket, once round  600 mm  624 mm  24 mm longer",
        "pocket 1            200 mm  212 mm  12 mm longer",
        "pocket 3            200 mm  212 mm  12 mm longer",
        "tab, once round          -  600 mm           new",
        "flap, once round    600 mm       -          gone",
    ]


@pytest.mark.usefixtures("demo")
def test_a_run_that_was_added_is_new_with_its_tape() -> None:
    added = '[[runs]]\nname = "vent"\ntape = "main"\nedges = ["back 5"]\n'
    Path("new.toml").write_text(Path(APRON).read_text("utf-8") + added, "utf-8")

    found = differences("orchard-apron.json", "new.toml", "--within", "0mm")

    assert list(found) == ["S", "M", "L", "XL"]
    for size in found.values():
        runs = [d for d in size if d["what"] == "tape_to_cut_mm"]
        (new,) = (d for d in runs if d["change"] == "new")
        (total,) = (d for d in size if d["what"] == "total_mm")
        assert (new["run"], new["old"], new["by"]) == ("vent", None, None)
        # Edges that meet the new one are no longer trimmed there.
        others = sum(d["by"] for d in runs if d is not new)
        assert total["by"] == pytest.approx(new["new"] + others)
        assert ("back 5", "finish", "changed") in told(size)


@pytest.mark.usefixtures("demo")
def test_a_piece_that_was_removed_is_gone_with_its_run() -> None:
    drawing = Path("orchard-apron.svg").read_text("utf-8").splitlines()
    start = drawing.index('<g id="S-pocket" ef:label="pocket">')
    end = drawing.index("</g>", start)
    names = [name for name in ("S", "M", "L", "XL") if name != "S"]
    kept = drawing[:start] + drawing[end + 1 :]
    for name in names:
        start = kept.index(f'<g id="{name}-pocket" ef:label="pocket">')
        kept = kept[:start] + kept[kept.index("</g>", start) + 1 :]
    Path("new.svg").write_text("\n".join(kept), "utf-8")
    job = Path(APRON).read_text("utf-8").replace("orchard-apron.svg", "new.svg")
    piece = job.index('[[pieces]]\nname = "pocket"')
    job = job[:piece] + job[job.index("[[pieces]]", piece + 1) :]
    Path("new.toml").write_text(job[: job.index('[[runs]]\nname = "pocket')], "utf-8")

    for size in differences("orchard-apron.json", "new.toml").values():
        assert ("pocket", "perimeter_mm", "gone") in told(size)
        assert ("pocket opening", "tape_to_cut_mm", "gone") in told(size)
        assert ("main", "total_mm", "shorter") in told(size)


@pytest.mark.usefixtures("demo")
def test_a_size_that_was_renamed_is_gone_and_new() -> None:
    job = edited(APRON, "new.toml", ("[fabric]", '[size_names]\nM = "38"\n\n[fabric]'))

    said = run("compare", "orchard-apron.json", job)

    assert said.exit_code == 1
    assert "Size 38: new\n" in said.out
    assert "Size M: gone\n" in said.out
    assert "no difference in size S, L, XL\n" in said.out


@pytest.mark.usefixtures("demo")
def test_a_wider_tape_makes_a_place_newly_too_tight_and_back() -> None:
    job = edited(
        SMOCK, "new.toml", ('finished_width = "6 mm"', 'finished_width = "16 mm"')
    )

    there = differences("puddle-smock.json", job)
    back = differences(job, "puddle-smock.json")

    for size in there.values():
        changes = told(size)
        assert ("back 4 neck", "verdict", "newly too tight") in changes
        assert ("narrow", "finished_width_mm", "wider") in changes
        assert ("narrow", "total_mm", "longer") in changes
    for size in back.values():
        assert ("back 4 neck", "verdict", "no longer too tight") in told(size)


@pytest.mark.usefixtures("demo")
def test_the_cloth_to_buy_is_that_of_the_schedule() -> None:
    job = edited(
        APRON, "new.toml", ('finished_width = "3/8 in"', 'finished_width = "3/4 in"')
    )
    old, new = (run("schedule", j, "--json").json["sizes"] for j in (APRON, job))

    found = differences("orchard-apron.json", job)

    changes = {c for size in found.values() for c in told(size)}
    assert ("main", "least_cloth_buy_mm", "more") in changes
    for before, after in zip(old, new, strict=True):
        bought = [
            [method["buy_mm"] for method in size["fabric"][0]["methods"]]
            for size in (before, after)
        ]
        for what, buys in (
            ("least_waste_buy_mm", [each[0] for each in bought]),
            ("least_cloth_buy_mm", [min(each) for each in bought]),
        ):
            said = [
                (d["old"], d["new"])
                for d in found[before["size"]]
                if (d["what"], d["tape"]) == (what, "main")
            ]
            assert said == ([tuple(buys)] if buys[0] != buys[1] else [])


@pytest.mark.usefixtures("demo")
def test_figures_are_in_the_unit_of_the_job_or_the_one_that_is_typed() -> None:
    job = edited(
        APRON, "new.toml", ('finished_width = "3/8 in"', 'finished_width = "1/2 in"')
    )

    def width(*arguments: str) -> str:
        lines = run("compare", *arguments).out.splitlines()
        row = next(line for line in lines if line.startswith("tape main, finished"))
        return " ".join(row.removeprefix("tape main, finished width").split())

    old = "orchard-apron.json"
    assert width(old, job) == "3/8 in 1/2 in 1/8 in wider"
    assert width(job, old) == "1/2 in 3/8 in 1/8 in narrower"
    assert width(old, job, "--unit", "cm") == "0.95 cm 1.27 cm 0.32 cm wider"
    assert width(old, job, "--unit", "mm", "--within", "0.1mm") == (
        "9.5 mm 12.7 mm 3.2 mm wider"
    )


@pytest.mark.usefixtures("demo")
def test_text_and_json_tell_the_same_and_fit() -> None:
    job = edited(
        SMOCK, "new.toml", ('finished_width = "6 mm"', 'finished_width = "16 mm"')
    )

    text = run("compare", "puddle-smock.json", job)
    told_json = run("compare", "puddle-smock.json", job, "--json").json

    assert (text.exit_code, text.err) == (1, "")
    assert_fits(text.out)
    assert_printable(text.out)
    assert tuple(told_json)[:5] == TOP_KEYS
    assert told_json["schema"]["name"] == "edgefinder.compare"
    assert (told_json["old"], told_json["new"]) == ("puddle-smock.json", job)
    rows = [line for line in text.out.splitlines() if line.count("  ") >= 2]
    count = sum(len(size["differences"]) for size in told_json["sizes"])
    heads = len(told_json["sizes"])
    assert len(rows) == count + heads
    assert run("compare", "puddle-smock.json", job) == text


# Mistakes


@pytest.mark.usefixtures("demo")
def test_the_mistakes_of_both_sides_are_told_together() -> None:
    Path("old.json").write_text("[", "utf-8")

    errors = refused("compare", "old.json", "nothing.toml")

    assert [error.split(":")[0] for error in errors] == ["old.json", "nothing.toml"]


@pytest.mark.usefixtures("demo")
def test_a_job_that_is_wrong_is_told_once_though_both_sides_need_it() -> None:
    edited(APRON, "new.toml", ('wearer = "adult"', 'wearer = "adlt"'))

    (error,) = refused("compare", "orchard-apron.svg", "new.toml")

    assert error.startswith("new.toml: wearer: ")


def test_patterns_without_a_common_piece_are_a_mistake(tmp_path: Path) -> None:
    old = sheet(tmp_path, rectangle("pocket"), "1.svg")
    new = sheet(tmp_path, rectangle("hat"), "2.svg")

    (error,) = refused("compare", old, new)

    assert "have no piece in common" in error
    assert '"pocket"' in error
    assert '"hat"' in error


def _nested(record: Any) -> str:
    return json.dumps(record)[:-1] + ', "x": ' + "[" * 10**5 + "]" * 10**5 + "}"


def _not_a_number(record: Any) -> str:
    record["sizes"][0]["runs"][0]["length_mm"] = float("nan")
    return json.dumps(record)


def _cut_short(record: Any) -> str:
    return json.dumps(record)[:5000]


def _other_version(record: Any) -> str:
    record["schema"]["version"] = 7
    return json.dumps(record)


def _text_for_a_list(record: Any) -> str:
    record["sizes"][1]["pieces"] = "\x1b[2J front"
    return json.dumps(record)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (_nested, "is nested too deeply"),
        (_not_a_number, "NaN is no number"),
        (_cut_short, "is not JSON: line 1: "),
        (_other_version, "schema.version: is 7"),
        (_text_for_a_list, 'sizes[1].pieces: is " [2J front", not a list'),
    ],
)
@pytest.mark.usefixtures("demo")
def test_a_schedule_that_was_spoilt_is_refused_in_one_line(
    spoil: Callable[[Any], str], words: str
) -> None:
    record = json.loads(Path("orchard-apron.json").read_text("utf-8"))
    Path("old.json").write_text(spoil(record), "utf-8")

    for arguments in (("old.json", APRON), (APRON, "old.json")):
        (error,) = refused("compare", *arguments)
        assert error.startswith("old.json: ")
        assert words in error
        assert_printable(error)


@pytest.mark.usefixtures("demo")
def test_names_in_a_stored_schedule_cannot_forge_a_line() -> None:
    text = Path("orchard-apron.json").read_text("utf-8")
    forged = json.dumps("main\nerror: \x1b[31m\ud800")
    Path("old.json").write_text(text.replace('"main"', forged), "utf-8")

    said = run("compare", "old.json", APRON)

    assert said.exit_code == 1
    assert_printable(said.out)
    assert not [line for line in said.out.splitlines() if line.startswith("error")]


def test_what_is_no_regular_file_is_refused(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle())
    pipe = tmp_path / "pipe.json"
    os.mkfifo(pipe)

    for path in (pipe, tmp_path, tmp_path / "none.json"):
        (error,) = refused("compare", path, drawing)
        assert error.startswith(f"{path}: ")


@pytest.mark.parametrize("within", ["1", "-1 mm", "wide", "nan mm"])
def test_a_tolerance_needs_a_length_with_its_unit(within: str) -> None:
    assert "--within" in usage_error("compare", "a.svg", "b.svg", "--within", within)


def test_two_files_are_needed() -> None:
    assert "NEW" in usage_error("compare", "a.svg")


def test_the_help_page_says_what_the_exit_codes_mean() -> None:
    words = " ".join(run("compare", "--help").out.split())

    assert "The exit code is 0 if nothing differs, 1 if anything does" in words

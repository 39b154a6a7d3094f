"""Tags that outlive a changed drawing, as a pattern maker meets it."""

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from command_line import DEMO, run


@pytest.fixture
def apron(tmp_path: Path) -> Path:
    """A job file of the demo that keeps its edges, beside its drawing."""
    for path in DEMO.glob("orchard-apron.*"):
        shutil.copy(path, tmp_path)
    job = tmp_path / "orchard-apron.toml"
    assert run("tag", job, "--refresh").exit_code == 0
    return job


def drawing(job: Path) -> Path:
    return job.with_suffix(".svg")


def redraw(job: Path, change: str) -> None:
    """Put everything that is drawn in a group with a transform."""
    text = drawing(job).read_text("utf-8")
    start = text.index(">", text.index("<svg")) + 1
    end = text.rindex("</svg>")
    body = f'<g transform="{change}">{text[start:end]}</g>'
    drawing(job).write_text(text[:start] + body + text[end:], "utf-8")


def bound(job: Path) -> Any:
    """What is bound in every size: lengths of the runs, by their names."""
    said = run("schedule", job, "--json")
    assert said.exit_code == 0, said.err
    return {
        (size["size"], row["name"]): pytest.approx(row["length_mm"], abs=1e-3)
        for size in said.json["sizes"]
        for row in size["runs"]
    }


def lengths(job: Path) -> dict[tuple[str, str], float]:
    sizes = json.loads(run("schedule", job, "--json").out)["sizes"]
    return {
        (size["size"], row["name"]): row["length_mm"]
        for size in sizes
        for row in size["runs"]
    }


@pytest.mark.parametrize(
    ("change", "is_renumbered"),
    [
        ("rotate(25)", False),
        ("scale(-1, 1)", True),
        ("translate(3, 90) rotate(90)", True),
    ],
)
def test_a_drawing_that_is_turned_or_mirrored_binds_the_same_edges(
    apron: Path, change: str, is_renumbered: bool
) -> None:
    before = bound(apron)
    redraw(apron, change)

    assert lengths(apron) == before
    said = run("tags", apron)
    assert said.exit_code == 0
    assert ("has been drawn anew" in said.err) is is_renumbered


def test_a_symmetrical_piece_that_may_be_turned_or_mirrored_is_in_doubt(
    apron: Path,
) -> None:
    """Upside down, the pocket may have been turned, and may have been mirrored."""
    redraw(apron, "rotate(180)")

    said = run("schedule", apron)

    assert said.exit_code == 2
    assert {line.split(": ", 1)[1].split(" cannot")[0] for line in said.errors} == {
        'edge 1 of "pocket"',
        'edge 3 of "pocket"',
    }


def test_refresh_writes_the_numbers_as_they_are_now(apron: Path) -> None:
    before = bound(apron)
    redraw(apron, "scale(-1, 1)")
    text = apron.read_text("utf-8")

    shown = run("tag", apron, "--refresh", "--dry-run")
    assert apron.read_text("utf-8") == text
    written = run("tag", apron, "--refresh")

    assert (shown.exit_code, written.exit_code) == (0, 0)
    assert "+edges = [" in shown.out
    assert lengths(apron) == before
    assert "drawn anew" not in run("tags", apron).err
    # Comments of the person stand where they stood.
    comments = re.findall("# .*", (DEMO / "orchard-apron.toml").read_text("utf-8"))
    assert [c for c in comments if c not in apron.read_text("utf-8")] == []


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_refresh_lets_the_list_of_edges_of_a_new_job_file_be_true(
    apron: Path, end: str
) -> None:
    def new(name: str) -> str:
        path = apron.with_name(name)
        assert run("new", drawing(apron), "-o", path).exit_code == 0
        return path.read_text("utf-8")

    old = new("old.toml")
    mine = "#   7: mine, which no program wrote"
    old = old.replace("# fold_edge", f"{mine}\n# fold_edge", 1)
    apron.with_name("old.toml").write_bytes(old.replace("\n", end).encode())
    redraw(apron, "scale(-1, 1)")

    assert run("tag", apron.with_name("old.toml"), "--refresh").exit_code == 0

    refreshed = apron.with_name("old.toml").read_bytes().decode()
    assert refreshed.count(mine) == 1
    assert ("\r\n" in refreshed) is (end == "\r\n")
    listed = re.compile(r"^# edges in size|^#   \d+: ")
    shown = [one for one in refreshed.splitlines() if listed.match(one) and one != mine]
    again = [one for one in new("again.toml").splitlines() if listed.match(one)]
    assert shown == again
    assert shown != [one for one in old.splitlines() if listed.match(one)]


def test_a_piece_that_is_renamed_in_the_drawing_keeps_its_tags(apron: Path) -> None:
    before = bound(apron)
    text = drawing(apron).read_text("utf-8")
    drawing(apron).write_text(
        text.replace('label="front"', 'label="front panel"'), "utf-8"
    )

    said = run("tags", apron)
    assert said.exit_code == 0
    assert 'is called "front panel" in the drawing now' in " ".join(said.err.split())
    assert lengths(apron) == before

    assert run("tag", apron, "--refresh").exit_code == 0
    assert 'name = "front panel"' in apron.read_text("utf-8")
    assert lengths(apron) == before


def test_a_drawing_of_another_shape_is_refused_with_the_edges(apron: Path) -> None:
    text = drawing(apron).read_text("utf-8")
    outline = r'<g id="S-pocket".*?<path class="cut" d="([^"]*)"'
    pocket = re.search(outline, text, re.DOTALL)
    assert pocket is not None
    other = "M 720 1050 h 250 l -60 -240 h -40 l 30 -60 z"
    drawing(apron).write_text(text.replace(pocket[1], other), "utf-8")
    before = apron.read_text("utf-8")

    said = run("tag", apron, "--refresh")

    assert said.exit_code == 2
    assert all('of "pocket" cannot be told for sure' in line for line in said.errors)
    assert apron.read_text("utf-8") == before

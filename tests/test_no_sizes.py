"""What a pattern is told whose drawing names no size: never of "size one size"."""

from pathlib import Path

import pytest
from command_line import run
from sheet_cases import TAPES, outline, run_of, write_drawing, write_job

PATCH = "M 100 100 H 400 A 60 60 0 0 1 460 160 V 400 H 100 Z"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    write_drawing(tmp_path, outline(PATCH, "patch"))
    return write_job(tmp_path, TAPES + run_of("edge", "patch 2"))


@pytest.mark.parametrize(
    "command", ["edges", "tags", "curves", "widths", "schedule", "words"]
)
def test_no_command_prints_the_word_size_twice(command: str, job: Path) -> None:
    said = run(command, job)

    assert said.exit_code == 0, said.err
    assert "size one size" not in said.out.lower()


@pytest.mark.parametrize("command", ["curves", "widths", "schedule"])
def test_what_is_said_of_it_stands_under_one_size(command: str, job: Path) -> None:
    heads = [
        line for line in run(command, job).out.splitlines() if line.startswith("One")
    ]

    assert len(heads) == 1
    assert heads[0].startswith("One size")


def test_the_schedule_says_what_to_buy_and_not_which_size_buys_most(job: Path) -> None:
    out = run("schedule", job).out

    assert "buys most" not in out
    assert "to buy: 20 cm of quilting cotton for all tapes cut on the bias" in out


@pytest.mark.parametrize(
    "typed", [("--html", "o.html"), ("--markdown", "o.md"), ("--charts", "o")]
)
def test_no_file_says_it_either(typed: tuple[str, str], job: Path) -> None:
    to = job.parent / typed[1]

    assert run("schedule", job, typed[0], to).exit_code == 0

    files = list(to.iterdir()) if to.is_dir() else [to]
    assert files
    for file in files:
        assert "size one size" not in file.read_text("utf-8").lower()


def test_a_picture_is_described_so_too(job: Path) -> None:
    picture = job.parent / "p.svg"

    assert run("picture", job, "-o", picture).exit_code == 0

    assert "Pieces patch in one size, drawn 1 to" in picture.read_text("utf-8")


def test_two_jobs_are_compared_under_one_size(job: Path) -> None:
    wider = job.with_name("b.toml")
    wider.write_text(job.read_text("utf-8").replace("9 mm", "6 mm"), "utf-8")

    out = run("compare", job, wider).out

    assert "\nOne size\n" in out
    assert "size one size" not in out.lower()

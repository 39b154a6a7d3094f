"""Colour on a terminal that wants it, and nowhere else."""

import os
from collections.abc import Mapping
from pathlib import Path

import pytest
from command_line import rectangle, run, sheet
from terminal import run_at_terminal

ESCAPE = b"\x1b"
RED = b"\x1b[31m"


def test_an_error_is_red_and_a_warning_has_a_colour_on_a_terminal(
    tmp_path: Path,
) -> None:
    doubtful = sheet(tmp_path, '<rect width="5" height="5"/>')

    error = run_at_terminal("lines", tmp_path / "nothere.svg")
    warned = run_at_terminal("lines", doubtful)

    assert error.exit_code == 2
    assert error.err.startswith(RED + b"error\x1b[0m: ")
    assert warned.exit_code == 0
    assert b"warning\x1b[0m: " in warned.err
    assert ESCAPE not in warned.out


@pytest.mark.parametrize(
    ("options", "environment"),
    [
        (("--no-color",), {}),
        ((), {"NO_COLOR": "1"}),
        ((), {"TERM": "dumb"}),
    ],
    ids=["option", "NO_COLOR", "dumb"],
)
def test_it_can_be_switched_off(
    options: tuple[str, ...], environment: Mapping[str, str], tmp_path: Path
) -> None:
    shown = run_at_terminal(
        *options, "lines", tmp_path / "nothere.svg", environment=environment
    )

    assert shown.exit_code == 2
    assert shown.err.startswith(b"error: ")
    assert ESCAPE not in shown.err


def test_an_empty_no_color_means_nothing(tmp_path: Path) -> None:
    """As no-color.org has it: present and not an empty string."""
    shown = run_at_terminal(
        "lines", tmp_path / "nothere.svg", environment={"NO_COLOR": ""}
    )

    assert shown.err.startswith(RED)


def test_a_file_gets_no_colour(tmp_path: Path) -> None:
    said = run("lines", tmp_path / "nothere.svg")

    assert said.exit_code == 2
    assert said.err.startswith("error: ")
    assert os.linesep not in said.err[:-1]


def test_a_name_in_a_drawing_colours_nothing(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle("a&#155;31m") + '<rect width="5" height="5"/>')

    shown = run_at_terminal("--no-color", "edges", drawing)

    assert ESCAPE not in shown.err
    assert "\x9b".encode() not in shown.err + shown.out

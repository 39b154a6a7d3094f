"""The command itself: help, exit codes, where it writes."""

import importlib
import os
from pathlib import Path

import click
import pytest
from command_line import (
    APRON,
    DEMO,
    assert_fits,
    assert_printable,
    rectangle,
    run,
    sheet,
    start,
    usage_error,
)

from edgefinder import __version__
from edgefinder.cli.main import COMMANDS, main

READER = "edgefinder.importers.formats.read_drawing"


@pytest.mark.parametrize("flag", ["-h", "--help"])
def test_help_goes_to_standard_output_and_shows_where_to_begin(flag: str) -> None:
    said = run(flag)

    assert (said.exit_code, said.err) == (0, "")
    assert "edgefinder demo" in said.out
    assert_fits(said.out)


def test_help_lists_every_command_once_in_the_order_of_the_work() -> None:
    said = run("--help")

    listed = said.out.split("Commands:\n")[1].splitlines()
    assert [line.split()[0] for line in listed] == list(COMMANDS)
    assert list(COMMANDS) == [
        "lines",
        "edges",
        "new",
        "tag",
        "untag",
        "tags",
        "curves",
        "widths",
        "swatch",
        "fabric",
        "schedule",
        "picture",
        "words",
        "mark",
        "page",
        "compare",
        "demo",
    ]


@pytest.mark.parametrize("flag", ["-h", "--help"])
@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_a_help_page_with_an_example(name: str, flag: str) -> None:
    said = run(name, flag)

    assert (said.exit_code, said.err) == (0, "")
    assert said.out.startswith(f"Usage: edgefinder {name} ")
    assert f"\n    edgefinder {name}" in said.out.split("Example")[1]
    assert_fits(said.out)


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_option_says_what_it_is_for(name: str) -> None:
    command = getattr(importlib.import_module(f"edgefinder.cli.{name}"), name)

    options = [p for p in command.params if isinstance(p, click.Option)]

    assert all(option.help for option in options)


def test_no_command_shows_the_help_page_as_a_mistake_of_typing() -> None:
    said = run()

    assert (said.exit_code, said.out) == (2, "")
    assert said.err == run("--help").out


def test_version_is_that_of_the_package() -> None:
    said = run("--version")

    assert (said.exit_code, said.err) == (0, "")
    assert said.out == f"edgefinder, version {__version__}\n"


def test_the_package_runs_as_a_module() -> None:
    ended = start("--version")

    assert (ended.returncode, ended.stderr) == (0, b"")
    assert ended.stdout.decode().split() == ["edgefinder,", "version", __version__]


def test_a_misspelt_command_is_suggested_and_not_run() -> None:
    error = usage_error("shedule", APRON)

    assert error == 'Error: there is no command "shedule"; did you mean "schedule"?'


def test_a_command_like_no_other_gets_the_list() -> None:
    error = usage_error("xyzzy")

    assert all(f'"{name}"' in error for name in COMMANDS)


@pytest.mark.parametrize("name", list(COMMANDS))
def test_an_unknown_option_is_named(name: str) -> None:
    assert "--colour-of-thread" in usage_error(name, "--colour-of-thread")


@pytest.mark.parametrize("name", ["lines", "edges", "new", "curves", "schedule"])
def test_a_missing_file_name_is_asked_for(name: str) -> None:
    assert "Missing argument" in usage_error(name)


@pytest.mark.parametrize("name", ["lines", "edges", "new", "curves", "schedule"])
def test_a_second_file_name_is_refused(name: str) -> None:
    assert "unexpected extra argument" in usage_error(name, "a.svg", "b.svg")


def test_control_characters_of_a_typed_command_do_not_reach_the_terminal() -> None:
    said = run("\x1b[2Jlines")

    assert said.exit_code == 2
    assert_printable(said.err)


def test_interrupting_ends_with_130_and_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(READER, interrupt)

    said = run("lines", DEMO / "orchard-apron.svg")

    assert (said.exit_code, said.out, said.err) == (130, "", "")


def test_a_mistake_of_the_program_ends_with_70_in_one_printable_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("in\x1b[31m\nthe seam")

    monkeypatch.setattr(READER, fail)

    said = run("lines", DEMO / "orchard-apron.svg")

    assert (said.exit_code, said.out) == (70, "")
    (line,) = said.err.splitlines()
    assert line.startswith("internal error: ZeroDivisionError: in [31m the seam; ")
    assert_printable(said.err)


def test_debug_shows_where_a_mistake_of_the_program_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("seam")

    monkeypatch.setattr(READER, fail)

    said = run("--debug", "lines", DEMO / "orchard-apron.svg")

    assert (said.exit_code, said.out) == (70, "")
    assert said.err.startswith("Traceback (most recent call last):\n")
    assert "in fail" in said.err


def test_debug_does_not_change_what_the_person_can_mend() -> None:
    plain, debug = run("lines", "nothere.svg"), run("--debug", "lines", "nothere.svg")

    assert debug == plain


def test_quiet_keeps_notes_back_and_shows_warnings(tmp_path: Path) -> None:
    tiny = '<rect width="5" height="5"/><circle cx="1" cy="1" r="1" display="none"/>'
    drawing = sheet(tmp_path, tiny)

    loud, quiet = run("lines", drawing), run("-q", "lines", drawing)

    assert [line.split(":")[0] for line in loud.err.splitlines()] == ["note", "warning"]
    assert [line.split(":")[0] for line in quiet.err.splitlines()] == ["warning"]
    assert quiet.out == loud.out


def test_quiet_keeps_back_what_was_written(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle())

    said = run("--quiet", "new", drawing)

    assert (said.exit_code, said.out, said.err) == (0, "", "")
    assert (tmp_path / "apron.toml").is_file()


def test_a_reader_that_goes_away_ends_the_command_quietly() -> None:
    reading, writing = os.pipe()
    os.close(reading)

    ended = start("edges", APRON, "--json", stdout=writing)
    os.close(writing)

    assert b"Traceback" not in ended.stderr
    assert b"internal error" not in ended.stderr
    assert b"Exception ignored" not in ended.stderr


@pytest.mark.parametrize("flags", [(), ("--json",)], ids=["text", "json"])
def test_a_result_that_cannot_be_written_is_an_error_in_one_line(
    flags: tuple[str, ...],
) -> None:
    with APRON.open("rb") as not_for_writing:
        ended = start("edges", APRON, *flags, stdout=not_for_writing)

    assert ended.returncode == 2
    (line,) = ended.stderr.decode().splitlines()
    assert line.startswith("error: the output cannot be written: ")


def test_names_that_the_terminal_cannot_show_are_replaced(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle("Schürze 縫"))

    ended = start("edges", drawing, environment={"PYTHONIOENCODING": "latin-1"})

    assert (ended.returncode, ended.stderr) == (0, b"")
    assert ended.stdout.decode("latin-1").startswith("Schürze ?\n")


def test_an_interrupt_while_writing_leaves_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(_: int) -> None:
        raise KeyboardInterrupt

    drawing = sheet(tmp_path, rectangle())
    monkeypatch.setattr(os, "fsync", interrupt)

    said = run("new", drawing)

    assert (said.exit_code, said.out, said.err) == (130, "", "")
    assert [path.name for path in tmp_path.iterdir()] == ["apron.svg"]


def test_the_group_is_what_the_package_installs() -> None:
    assert isinstance(main, click.Group)
    assert main.name == "main"

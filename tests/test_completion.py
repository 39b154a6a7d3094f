"""What a shell completes."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.shell_completion import ShellComplete
from command_line import DEMO, TAPE, job, rectangle, run, sheet

from edgefinder.cli.completing import QUICKLY_READ_BYTES
from edgefinder.cli.main import COMMANDS, main
from edgefinder.units import Unit

VARIABLE = "_EDGEFINDER_COMPLETE"
COMMAND = "from edgefinder.cli.main import main; main(prog_name='edgefinder')"


def completed(*words: str) -> list[str]:
    """What may stand in the place of the last word."""
    *typed, incomplete = words
    complete = ShellComplete(main, {}, "edgefinder", VARIABLE)
    return [item.value for item in complete.get_completions(typed, incomplete)]


@pytest.fixture
def _demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(DEMO, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)


def asked(shell: str, words: str = "", at: int = 0) -> str:
    """What the program answers to a shell."""
    ended = subprocess.run(  # noqa: S603 - this interpreter, our own package
        [sys.executable, "-c", COMMAND],
        env={**os.environ, VARIABLE: shell, "COMP_WORDS": words, "COMP_CWORD": str(at)},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert ended.stderr == b""
    return ended.stdout.decode()


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_gets_its_script(shell: str) -> None:
    script = asked(f"{shell}_source")

    assert VARIABLE in script
    assert f"{shell}_complete" in script


def test_bash_completes_a_command() -> None:
    assert asked("bash_complete", "edgefinder sch", 1).split() == ["plain,schedule"]


def test_a_bash_that_has_read_the_script_knows_how_to_complete() -> None:
    if shutil.which("bash") is None:
        pytest.fail("bash is needed for this test")
    script = asked("bash_source") + "\ncomplete -p edgefinder\n"

    ended = subprocess.run(
        ["bash", "--norc"],  # noqa: S607 - whichever bash there is
        input=script.encode(),
        capture_output=True,
        timeout=60,
        check=True,
    )

    assert b"_edgefinder_completion" in ended.stdout


def test_commands_and_options_are_completed() -> None:
    assert completed("") == list(COMMANDS)
    assert completed("w") == ["widths", "words"]
    assert completed("curves", "--s") == ["--size"]
    assert completed("edges", "--unit", "") == [str(unit) for unit in Unit]


@pytest.mark.usefixtures("_demo")
def test_sizes_are_those_of_the_job_file_that_is_typed() -> None:
    for command in ("curves", "widths", "schedule", "picture", "words", "mark"):
        typed = [command, "orchard-apron.toml", "--size", ""]
        assert completed(*typed) == ["S", "M", "L", "XL"], command
    assert completed("curves", "orchard-apron.toml", "--size", "x") == ["XL"]
    assert completed("curves", "--size", "") == []


@pytest.mark.usefixtures("_demo")
def test_pieces_are_those_of_the_drawing() -> None:
    pieces = ["front", "back", "pocket", "strap"]

    assert completed("tag", "orchard-apron.toml", "") == pieces
    assert completed("untag", "orchard-apron.toml", "b") == ["back"]
    assert completed("picture", "orchard-apron.toml", "--piece", "") == pieces


@pytest.mark.usefixtures("_demo")
def test_what_cannot_be_read_completes_nothing_and_says_nothing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    Path("orchard-apron.svg").write_text("no drawing", "utf-8")
    Path("puddle-smock.toml").write_text("no job", "utf-8")

    for name in ("orchard-apron.toml", "puddle-smock.toml", "nothing.toml", "a.svg"):
        assert completed("curves", name, "--size", "") == []
    assert capsys.readouterr() == ("", "")


def test_names_that_a_shell_would_run_or_take_apart_are_not_offered(
    tmp_path: Path,
) -> None:
    odd = ("a b", "$(reboot)", "`reboot`", "a;b", "-x", "~")
    names = (*odd, "side-front_2.a", "Größe")
    outlines = "".join(rectangle(name, (10, 150 * n)) for n, name in enumerate(names))
    sheet(tmp_path, outlines)
    path = job(tmp_path, TAPE)

    assert run("tags", path).exit_code == 0
    assert completed("tag", str(path), "") == ["side-front_2.a", "Größe"]


def test_a_drawing_that_takes_long_is_not_read_for_a_completion(
    tmp_path: Path,
) -> None:
    path = job(tmp_path, TAPE)
    padding = f"<!--{'x' * QUICKLY_READ_BYTES}-->"

    sheet(tmp_path, rectangle("front"))
    quick = completed("tag", str(path), "")
    sheet(tmp_path, rectangle("front") + padding)
    slow = completed("tag", str(path), "")

    assert (quick, slow) == (["front"], [])

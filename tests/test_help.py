"""The examples of the help pages work as they are typed, in the folder of the demo."""

import os
import re
import shlex
import shutil
import signal
from pathlib import Path

import pytest
from command_line import COLUMNS, DEMO, run
from terminal import RUN, at_terminal

from edgefinder.cli.main import COMMANDS, INTERRUPTED

FOLDER = "edgefinder-demo"

LASTING = "page"
"""A command that runs until it is told to stop."""


def examples(page: str) -> list[str]:
    """The lines that a help page shows as examples, each as one line."""
    shown = page.partition("Options:")[0].replace("\\\n", " ")
    return [
        " ".join(line.split())
        for line in shown.splitlines()
        if re.match(r" {4,}(edgefinder|cd) ", line)
    ]


def type_in(line: str) -> int:
    """Do what a line says; return how it ended."""
    words = shlex.split(line)
    if words[0] == "cd":
        os.chdir(words[1])
        return 0
    target = words[-1] if words[-2] == ">" else None
    said = run(*(words[1:-2] if target else words[1:]))
    if target:
        Path(target).write_text(said.out, "utf-8")
    return said.exit_code


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of the demo, with a list of cloths of its own beside it."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    shutil.copytree(DEMO, tmp_path / FOLDER)
    monkeypatch.chdir(tmp_path / FOLDER)
    return tmp_path / FOLDER


@pytest.mark.parametrize("name", [name for name in COMMANDS if name != LASTING])
def test_the_examples_of_a_command_work_as_typed(name: str, folder: Path) -> None:
    typed = examples(run(name, "--help").out)
    own = [line for line in typed if line.startswith(f"edgefinder {name}")]

    ended = {line: type_in(line) for line in typed}

    assert own
    assert set(ended.values()) == {0}, ended
    for line in typed:
        written = re.search(r" (?:-o|>|--(?:csv|html|pdf|charts)) (\S+)", line)
        assert written is None or (folder / written[1]).exists(), line


NO_BROWSER = "import webbrowser\nwebbrowser.open = lambda *_: True\n"


@pytest.mark.usefixtures("folder")
def test_the_examples_of_the_page_open_it_until_they_are_interrupted() -> None:
    typed = examples(run(LASTING, "--help").out)

    assert typed
    for line in typed:
        with at_terminal(NO_BROWSER + RUN, shlex.split(line)[1:]) as terminal:
            terminal.read_until(b"the page is at http://")
            terminal.read_until(b"Ctrl-C here")
            terminal.process.send_signal(signal.SIGINT)
            terminal.process.communicate(timeout=60)
            terminal.read_all()
        assert terminal.process.returncode in {0, INTERRUPTED}, terminal.shown
        assert b"Traceback" not in terminal.shown


def test_the_first_lines_of_the_program_work_one_after_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    monkeypatch.chdir(tmp_path)
    typed = _begin(run("--help").out)

    assert typed[:2] == ["edgefinder demo", f"cd {FOLDER}"]
    assert [type_in(line) for line in typed] == [0] * len(typed)
    assert Path.cwd() == tmp_path / FOLDER


def test_every_help_page_fits_its_width() -> None:
    for name in ("", *COMMANDS):
        page = run(*filter(None, (name, "--help"))).out
        assert max(map(len, page.splitlines())) <= COLUMNS, name


def _begin(page: str) -> list[str]:
    shown = page.split("Begin with:\n")[1].partition("and then")[0]
    lines = [line.strip() for line in shown.splitlines()]
    return [re.sub(r"\s{2,}.*", "", line) for line in lines if line]

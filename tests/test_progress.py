"""Progress on standard error: late, on a terminal only, and gone in the end."""

import io
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import APRON, run

from edgefinder.cli.progress import Progress
from edgefinder.schedule.release import release_from_file
from edgefinder.schedule.telling import one_by_one, silent


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def test_nothing_is_said_of_what_is_done_within_two_seconds() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)

    clock.now += 1.9
    shown.tell("drawing size", 3, 20)
    shown.clear()

    assert stream.getvalue() == ""


def test_after_two_seconds_one_line_is_written_over_by_the_next() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)

    clock.now += 2.5
    shown.tell("drawing size", 10, 20)
    clock.now += 0.01
    shown.tell("drawing size", 11, 20)  # too soon to be read
    clock.now += 0.5
    shown.tell("size", 9, 9)
    shown.clear()

    lines = stream.getvalue().split("\r")
    assert [line.rstrip() for line in lines] == [
        "",
        "drawing size 10 of 20",
        "size 9 of 9",
        "",
        "",
    ]
    assert len(lines[2]) == len(lines[1])
    assert "\n" not in stream.getvalue()


def test_items_are_told_of_before_they_are_given() -> None:
    told: list[tuple[str, int, int]] = []

    items = one_by_one("ab", "size", lambda *one: told.append(one))
    given = [(item, len(told)) for item in items]

    assert given == [("a", 1), ("b", 2)]
    assert told == [("size", 1, 2), ("size", 2, 2)]


def test_every_size_of_a_release_is_told_of() -> None:
    told: list[tuple[str, int, int]] = []

    release = release_from_file(APRON, tell=lambda *one: told.append(one))

    count = len(release.sizes)
    assert told == [("working out size", n, count) for n in range(1, count + 1)]
    assert list(one_by_one("ab", "size", silent)) == ["a", "b"]


def test_where_nobody_looks_on_nothing_but_notes_is_written(tmp_path: Path) -> None:
    said = run("schedule", APRON, "--html", tmp_path / "a.html")

    assert "\r" not in said.err


@pytest.mark.parametrize(
    ("options", "terminal", "is_shown"),
    [((), "xterm", True), (("--quiet",), "xterm", False), ((), "dumb", False)],
)
def test_on_a_terminal_it_is_shown_and_gone_in_the_end(
    options: tuple[str, ...], terminal: str, is_shown: bool
) -> None:
    script = (
        "import sys, time\n"
        "import edgefinder.cli.progress as progress\n"
        "progress.AFTER_S = progress.EVERY_S = 0.0\n"
        "from edgefinder.cli.main import main\n"
        "main(sys.argv[1:])\n"
    )
    ours, theirs = pty.openpty()

    done = subprocess.run(  # noqa: S603 - this interpreter, our own package
        [sys.executable, "-c", script, *options, "words", str(APRON)],
        stdout=subprocess.PIPE,
        stderr=theirs,
        env={**os.environ, "TERM": terminal},
        timeout=60,
        check=True,
    )
    os.close(theirs)
    shown = b""
    while True:
        try:
            part = os.read(ours, 4096)
        except OSError:  # nothing is left
            break
        if not part:
            break
        shown += part
    os.close(ours)

    assert (b"working out size 1 of 4" in shown) is is_shown
    assert b"front neck" in done.stdout
    if is_shown:
        assert shown.endswith(b"\r")
        assert shown.split(b"\r")[-2].strip() == b""

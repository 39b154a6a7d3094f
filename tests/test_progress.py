"""Progress on standard error: late, on a terminal only, and gone in the end."""

import io
import shutil
import signal
from pathlib import Path

import pytest
from command_line import APRON, DEMO, SMOCK, TAPE, job, rectangle, run, sheet
from terminal import AT_ONCE, RUN, at_terminal, run_at_terminal

from edgefinder.classifier.job_file import read_job
from edgefinder.cli.main import COMMANDS, INTERRUPTED
from edgefinder.cli.progress import Progress
from edgefinder.schedule.choices import By, release_choices
from edgefinder.schedule.reading import read_pattern, tag_unfinished
from edgefinder.schedule.release import release_from_file
from edgefinder.schedule.telling import Tell, one_by_one, silent

Told = list[tuple[str, int, int]]


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def listener(told: Told) -> Tell:
    return lambda what, number, total: told.append((what, number, total))


def test_nothing_is_said_of_what_is_done_within_two_seconds() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)

    clock.now += 1.9
    shown.tell("drawing size", 3, 20)
    shown.look()
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


def test_a_long_step_that_was_told_too_early_is_shown_while_it_lasts() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)

    shown.tell("reading drawing", 2, 3)
    clock.now += 2.0
    shown.look()
    clock.now += 60.0
    shown.look()  # nothing new

    assert stream.getvalue() == "\rreading drawing 2 of 3"


def test_a_step_that_came_too_soon_after_another_is_shown_a_little_later() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)

    clock.now += 3.0
    shown.tell("size", 1, 2)
    clock.now += 0.05
    shown.tell("size", 2, 2)
    clock.now += 0.45
    shown.look()

    assert stream.getvalue() == "\rsize 1 of 2\rsize 2 of 2"


def test_what_is_one_of_one_is_not_counted() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)

    clock.now += 3.0
    shown.tell("reading drawing", 1, 1)

    assert stream.getvalue() == "\rreading drawing"


def test_once_it_is_cleared_nothing_more_is_shown() -> None:
    stream, clock = io.StringIO(), Clock()
    shown = Progress(stream, clock)
    clock.now += 3.0
    shown.tell("size", 1, 2)
    shown.clear()
    before = stream.getvalue()

    clock.now += 3.0
    shown.look()
    shown.clear()

    assert stream.getvalue() == before


def test_items_are_told_of_before_they_are_given() -> None:
    told: Told = []

    items = one_by_one("ab", "size", listener(told))
    given = [(item, len(told)) for item in items]

    assert given == [("a", 1), ("b", 2)]
    assert told == [("size", 1, 2), ("size", 2, 2)]
    assert list(one_by_one("ab", "size", silent)) == ["a", "b"]


def test_every_drawing_of_a_job_is_told_of(tmp_path: Path) -> None:
    sheet(tmp_path, rectangle(), "front.svg")
    sheet(tmp_path, rectangle("back"), "back.svg")
    path = job(tmp_path, TAPE)
    text = path.read_text("utf-8").replace('"apron.svg"', '"front.svg", "back.svg"')
    path.write_text(text, "utf-8")
    told: Told = []

    read_pattern(read_job(path), tell=listener(told))
    tag_unfinished(read_job(path), listener(told))

    drawings = [("reading drawing", 1, 2), ("reading drawing", 2, 2)]
    assert told == [*drawings, *drawings, ("finding the edges that are meant", 1, 1)]


def test_every_size_of_a_release_is_told_of() -> None:
    told: Told = []

    release = release_from_file(APRON, tell=listener(told))

    count = len(release.sizes)
    assert count == 4
    assert told == [
        ("reading drawing", 1, 1),
        ("finding the edges that are meant", 1, 1),
        *(("working out size", n, count) for n in range(1, count + 1)),
    ]


def test_every_size_in_which_widths_are_compared_is_told_of() -> None:
    release = release_from_file(SMOCK)
    told: Told = []

    release_choices(release, By.WIDTH, [6.0], listener(told))

    count = len(release.sizes)
    assert told == [("comparing size", n, count) for n in range(1, count + 1)]


READING = "reading drawing"
SIZE = "working out size 4 of 4"
LONG = {
    "lines": (["orchard-apron.svg"], [READING, "measuring lines"]),
    "edges": (["orchard-apron.toml"], [READING]),
    "new": (["orchard-apron.svg", "-o", "new.toml"], [READING]),
    "tag": (["orchard-apron.toml", "front", "2", "--as", "hem"], [READING]),
    "untag": (["orchard-apron.toml", "front", "2"], [READING]),
    "tags": (["orchard-apron.toml"], [READING]),
    "curves": (["orchard-apron.toml"], [READING, SIZE]),
    "widths": (["orchard-apron.toml"], [READING, SIZE, "comparing size 4 of 4"]),
    "fabric": (["--length", "2m", "--cut-width", "4cm"], ["working out the fabric"]),
    "schedule": (["orchard-apron.toml"], [READING, SIZE]),
    "picture": (["orchard-apron.toml", "-o", "p.svg"], [READING, SIZE, "drawing size"]),
    "words": (["orchard-apron.toml"], [READING, SIZE]),
    "mark": (["orchard-apron.toml", "-o", "m.svg"], [READING, SIZE, "drawing size"]),
    "compare": (["orchard-apron.svg", "orchard-apron.toml"], [READING]),
    "demo": ([], [READING, SIZE]),
}
"""What each command is typed with in the folder of the demo, and what it tells of."""

IMMEDIATE = {"swatch"}
"""Commands that read no drawing and go through no sizes."""

LASTING = {"page"}
"""Commands that run until they are told to stop, and say so."""


def test_every_command_that_may_take_long_is_known_here() -> None:
    assert {*LONG, *IMMEDIATE, *LASTING} == set(COMMANDS)


@pytest.mark.parametrize("command", list(LONG))
def test_on_a_terminal_it_is_shown_and_gone_in_the_end(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    arguments, told = LONG[command]
    shutil.copytree(DEMO, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)

    shown = run_at_terminal(command, *arguments, code=AT_ONCE + RUN)

    text = shown.err.decode().replace("\r\n", "\n")
    assert shown.exit_code == 0, text
    for what in told:
        assert f"\r{what}" in text
    # The line is blank before anything else is said.
    *_, line, blank, rest = text.split("\r")
    assert line.strip()
    assert blank == " " * len(line)
    assert not rest or rest.endswith("\n")


@pytest.mark.parametrize(
    ("options", "terminal"), [(("--quiet",), "xterm"), ((), "dumb")]
)
def test_it_is_not_shown_to_who_wants_quiet_nor_where_no_line_is_written_over(
    options: tuple[str, ...], terminal: str
) -> None:
    shown = run_at_terminal(
        *options,
        "words",
        APRON,
        code=AT_ONCE + RUN,
        environment={"TERM": terminal},
    )

    assert shown.exit_code == 0
    assert b"front neck" in shown.out
    assert b"reading" not in shown.err
    assert b"\r" not in shown.err.replace(b"\r\n", b"\n")


def test_where_nobody_looks_on_nothing_but_notes_is_written(tmp_path: Path) -> None:
    said = run("schedule", APRON, "--html", tmp_path / "a.html")

    assert "\r" not in said.err
    assert "reading" not in said.err


STUCK = """
import threading
import edgefinder.schedule.reading as reading
reading.read_drawing = lambda *_, **__: threading.Event().wait()
"""
"""A drawing that is read for ever."""


def test_an_interrupt_clears_the_line_and_ends_with_130() -> None:
    with at_terminal(AT_ONCE + STUCK + RUN, ["schedule", APRON]) as terminal:
        terminal.read_until(b"reading drawing")
        terminal.process.send_signal(signal.SIGINT)
        out, _ = terminal.process.communicate(timeout=60)
        terminal.read_all()

    assert terminal.process.returncode == INTERRUPTED
    assert out == b""
    assert terminal.shown == b"\rreading drawing\r               \r"


def test_one_step_that_lasts_is_shown_without_being_told_again() -> None:
    """The line is told before its two seconds are over; nobody tells it once more."""
    soon = "import edgefinder.cli.progress as progress\n"
    soon += "progress.AFTER_S, progress.LOOK_S = 0.2, 0.05\n"
    with at_terminal(soon + STUCK + RUN, ["edges", APRON]) as terminal:
        terminal.read_until(b"reading drawing")
        terminal.process.send_signal(signal.SIGINT)
        terminal.process.wait(timeout=60)

    assert terminal.process.returncode == INTERRUPTED

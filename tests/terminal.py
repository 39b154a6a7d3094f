"""Commands at a terminal: standard error is one, and what it shows is kept."""

import os
import pty
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

AT_ONCE: Final = """
import sys
import edgefinder.cli.progress as progress
progress.AFTER_S = progress.EVERY_S = 0.0
"""
"""Progress is shown from the first moment on."""

RUN: Final = """
import sys
from edgefinder.cli.main import main
main(sys.argv[1:], prog_name="edgefinder")
"""


@dataclass(frozen=True, slots=True)
class Shown:
    """How a command ended, its result, and what the terminal was sent."""

    exit_code: int
    out: bytes
    err: bytes


class Terminal:
    """A command that runs, and its terminal."""

    def __init__(self, process: "subprocess.Popen[bytes]", ours: int) -> None:
        self.process = process
        self._ours = ours
        self.shown = b""

    def read_until(self, text: bytes) -> None:
        """Read what is shown until a text stands there."""
        while text not in self.shown:
            part = self._part()
            assert part, self.shown
            self.shown += part

    def read_all(self) -> None:
        """Read what is shown until nobody can write any more."""
        while part := self._part():
            self.shown += part

    def _part(self) -> bytes:
        try:
            return os.read(self._ours, 4096)
        except OSError:  # the other end is closed
            return b""


@contextmanager
def at_terminal(
    code: str,
    arguments: Sequence[str | Path],
    environment: Mapping[str, str] | None = None,
) -> Iterator[Terminal]:
    """Start a command whose standard error is a terminal."""
    ours, theirs = pty.openpty()
    plain = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
    process = subprocess.Popen(  # noqa: S603 - this interpreter, our own package
        [sys.executable, "-c", code, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=theirs,
        env={**plain, "TERM": "xterm", **(environment or {})},
    )
    os.close(theirs)
    try:
        yield Terminal(process, ours)
    finally:
        process.kill()
        process.communicate()
        os.close(ours)


def run_at_terminal(
    *arguments: str | Path,
    code: str = RUN,
    environment: Mapping[str, str] | None = None,
) -> Shown:
    """Run a command to its end."""
    with at_terminal(code, arguments, environment) as terminal:
        out, _ = terminal.process.communicate(timeout=60)
        terminal.read_all()
        return Shown(terminal.process.returncode, out, terminal.shown)

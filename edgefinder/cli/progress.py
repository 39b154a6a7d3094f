"""Progress on standard error, once a command takes long and somebody looks on."""

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final, TextIO

import click

if TYPE_CHECKING:
    from edgefinder.schedule.telling import Tell

AFTER_S: Final = 2.0
"""Nothing is said of what is done sooner: it would only flicker."""
EVERY_S: Final = 0.1


class Progress:
    """One line that is written over by the next.

    Parameters
    ----------
    stream : TextIO
    clock : callable
        Returns seconds.
    """

    def __init__(
        self, stream: TextIO, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._stream = stream
        self._clock = clock
        self._begun = self._told = clock()
        self._width = 0

    def tell(self, what: str, number: int, total: int) -> None:
        """Say which one of how many is begun."""
        now = self._clock()
        if now - self._begun < AFTER_S or now - self._told < EVERY_S:
            return
        self._told = now
        self._write(f"{what} {number} of {total}")

    def clear(self) -> None:
        """Leave an empty line behind."""
        if self._width:
            self._write("")
            self._stream.write("\r")
            self._stream.flush()

    def _write(self, text: str) -> None:
        self._stream.write(f"\r{text.ljust(self._width)}")
        self._stream.flush()
        self._width = len(text)


@contextmanager
def progress() -> "Iterator[Tell]":
    """Tell of progress while a command runs.

    Nothing is said if standard error is no terminal, or one that cannot write a line
    over, or if --quiet is given.
    """
    from edgefinder.schedule.telling import silent

    quiet = click.get_current_context().find_root().params.get("quiet")
    if quiet or not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield silent
        return
    shown = Progress(sys.stderr)
    try:
        yield shown.tell
    finally:
        shown.clear()

"""Progress on standard error, once a command takes long and somebody looks on."""

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING, Final, TextIO

import click

from edgefinder.errors import one_line

if TYPE_CHECKING:
    from edgefinder.schedule.telling import Tell

AFTER_S: Final = 2.0
"""Nothing is said of what is done sooner: it would only flicker."""
EVERY_S: Final = 0.1
"""A line that is written over sooner cannot be read."""
LOOK_S: Final = 0.5
"""How often it is looked whether something is to be said that nobody came to tell."""


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
        self._begun = self._written = clock()
        self._told = self._shown = ""
        self._lock = Lock()

    def tell(self, what: str, number: int, total: int) -> None:
        """Say which one of how many is begun."""
        told = one_line(what)
        self._told = told if total == 1 else f"{told} {number} of {total}"
        self.look()

    def look(self) -> None:
        """Write what was told last, if it is time and it does not stand there yet."""
        now = self._clock()
        with self._lock:
            told = self._told
            if told == self._shown or now - self._begun < AFTER_S:
                return
            if self._shown and now - self._written < EVERY_S:
                return
            self._written = now
            self._write(told)

    def clear(self) -> None:
        """Leave an empty line behind, and say nothing more."""
        with self._lock:
            self._told = ""
            if self._shown:
                self._write("")
                self._stream.write("\r")
                self._stream.flush()

    def _write(self, text: str) -> None:
        # Kept first: an interrupt while it is written must find it to be cleared.
        before, self._shown = self._shown, text
        self._stream.write(f"\r{text.ljust(len(before))}")
        self._stream.flush()


@contextmanager
def progress() -> "Iterator[Tell]":
    """Tell of progress while a command runs.

    Nothing is said if standard error is no terminal, or one that cannot write a line
    over, or if --quiet is given. However the command ends, the line is cleared first.
    """
    from edgefinder.schedule.telling import silent

    quiet = click.get_current_context().find_root().params.get("quiet")
    if quiet or not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield silent
        return
    shown = Progress(sys.stderr)
    is_over = Event()

    def look_on() -> None:
        # One long step tells nothing while it lasts.
        while not is_over.wait(LOOK_S):
            shown.look()

    looking = Thread(target=look_on, daemon=True)
    looking.start()
    try:
        yield shown.tell
    finally:
        is_over.set()
        looking.join()
        shown.clear()

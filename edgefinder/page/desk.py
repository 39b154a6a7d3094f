"""The job file that a page works on: what it says now, and every change of it."""

import hashlib
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from threading import RLock
from typing import Final

from edgefinder.classifier.job_file import job_bytes, text_of
from edgefinder.classifier.own_list import OwnList
from edgefinder.errors import EdgefinderError, OutputError, SettingsError
from edgefinder.files import bytes_there
from edgefinder.memory import Memory
from edgefinder.schedule.draft import Draft, work_out
from edgefinder.schedule.sources import source_files, stamps
from edgefinder.schedule.tag_edits import Edited, write_edited
from edgefinder.schedule.telling import Tell, silent

MOST_STEPS: Final = 200
"""Changes that can be undone; a job file has a few hundred words."""

Candidates = Iterable[str]
"""Job files that a change could lead to; the first that can be followed is meant."""

_LINE: Final = re.compile(r"\bline \d+\b")


class StaleError(EdgefinderError):
    """A change was asked for on a job file that is not the newest."""


@dataclass(frozen=True, slots=True)
class Step:
    """A change that was made: what it was, and the job file without it."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """How the job stands at one moment.

    Parameters
    ----------
    text : str
    draft : Draft
    revision : str
        Another one for every job file and every drawing that differs.
    undo, redo : str or None
        What would be undone or done again.
    problem : str or None
        Why the last change is not saved; it is kept in memory.
    notice : str or None
        What happened from outside.
    """

    text: str
    draft: Draft
    revision: str
    undo: str | None
    redo: str | None
    problem: str | None
    notice: str | None


class Desk:
    """A job file with its changes, for as many pages as look at it.

    Every change is worked out whole before it is taken, and is saved at once. What
    another program writes is never written over.
    """

    def __init__(
        self, path: Path, own: Callable[[], OwnList], tell: Tell = silent
    ) -> None:
        """Read a job file and work it out.

        Raises
        ------
        EdgefinderError
            If it cannot be read or is not TOML.
        """
        self.path = path
        self.memory = Memory()
        self.lock = RLock()
        self._own = own
        self._data: bytes | None = job_bytes(path)
        self._undo: list[Step] = []
        self._redo: list[Step] = []
        self._problem: str | None = None
        self._notice: str | None = None
        self._unreadable = False
        self._text = text_of(path, self._data)
        self._draft = work_out(path, self._text, own(), self.memory, tell)
        self.memory.end_round()

    def look(self) -> Seen:
        """Return how the job stands, after a look at what changed from outside."""
        with self.lock:
            self._look_outside()
            return self._seen()

    def change(
        self,
        revision: str,
        label: str,
        make: Callable[[Draft, str], Candidates],
    ) -> Seen:
        """Change the job file and save it.

        Parameters
        ----------
        revision : str
            That the change was asked for on.
        label : str
            What it is, for undo.
        make : callable
            Given the draft and the text; returns the job files that it could lead to.

        Returns
        -------
        Seen

        Raises
        ------
        StaleError
            If the job or a drawing has changed meanwhile; nothing is changed then.
        EdgefinderError
            If the change cannot be made, or would make a mistake.
        """
        with self.lock:
            self._expect(revision)
            text, draft = self._first_good(make(self._draft, self._text))
            if text == self._text:
                return self._seen()
            self._undo = [*self._undo, Step(label, self._text)][-MOST_STEPS:]
            self._redo = []
            self._take(text, draft)
            return self._seen()

    def undo(self, revision: str) -> Seen:
        """Take the last change back; see `change`."""
        return self._step(revision, self._undo, self._redo)

    def redo(self, revision: str) -> Seen:
        """Make a change again that was taken back; see `change`."""
        return self._step(revision, self._redo, self._undo)

    def save(self) -> Seen:
        """Try again to save what could not be saved."""
        with self.lock:
            self._look_outside()
            if self._problem is not None:
                self._write(self._text)
            return self._seen()

    def _step(self, revision: str, steps: list[Step], others: list[Step]) -> Seen:
        with self.lock:
            self._expect(revision)
            if steps:
                step = steps[-1]
                draft = self._worked_out(step.text)
                steps.pop()
                others.append(Step(step.label, self._text))
                self._take(step.text, draft)
            return self._seen()

    def _expect(self, revision: str) -> None:
        self._look_outside()
        if revision != self._revision():
            raise StaleError(
                "the job has changed meanwhile, in another page or by another "
                "program; it is shown as it is now: look at it and do it again"
            )

    def _look_outside(self) -> None:
        """Take over what other programs wrote to the job file or its drawings."""
        data = bytes_there(self.path)
        if data is None and self._data is not None:
            self._data = None
            self._notice = (
                f"{self.path.name} is gone; it is written anew with the next change."
            )
        elif data is not None and data != self._data:
            if self._problem is not None:
                self._problem = (
                    f"{self.path.name} was changed by another program while your last "
                    "change could not be saved; undo it to see the file as it is, or "
                    "copy what you need"
                )
                return
            self._take_over(data)
        elif self._unreadable:
            self._unreadable, self._notice = False, None  # it is as it was again
        elif stamps(source_files(self._draft.job)) != self._draft.stamps:
            self._draft = self._worked_out(self._text)
            self.memory.end_round()
            self._notice = "A drawing was changed by another program and is read anew."

    def _take_over(self, data: bytes) -> None:
        try:
            text = text_of(self.path, data)
            draft = self._worked_out(text)
        except EdgefinderError as error:
            self._unreadable = True
            self._notice = (
                f"{self.path.name} was changed by another program and cannot be read "
                f"now; nothing is written until it is mended: {error.messages[0]}"
            )
            return
        self._data, self._text, self._draft = data, text, draft
        self._unreadable = False
        self.memory.end_round()
        self._undo.clear()
        self._redo.clear()
        self._notice = (
            f"{self.path.name} was changed by another program; it is shown as it is "
            "now, and what was done before cannot be undone here."
        )

    def _first_good(self, candidates: Candidates) -> tuple[str, Draft]:
        """Return the first job file that makes no new mistake."""
        known = {_LINE.sub("", line) for line in self._draft.mistakes}
        first: list[str] = []
        for text in candidates:
            if text == self._text:
                return text, self._draft
            draft = self._worked_out(text)
            wrong = [m for m in draft.mistakes if _LINE.sub("", m) not in known]
            if not wrong:
                return text, draft
            first = first or wrong
        raise SettingsError(*first)

    def _worked_out(self, text: str) -> Draft:
        return work_out(self.path, text, self._own(), self.memory)

    def _take(self, text: str, draft: Draft) -> None:
        self._text, self._draft = text, draft
        self._notice = None
        self.memory.end_round()
        self._write(text)

    def _write(self, text: str) -> None:
        before = "" if self._data is None else text_of(self.path, self._data)
        if text == before:  # undone to what is saved
            self._problem = None
            return
        try:
            self._data = write_edited(Edited(self.path, self._data, before, text, ()))
        except OutputError as error:
            self._problem = error.messages[0]
            return
        self._problem = None

    def _revision(self) -> str:
        said = repr((self._text, self._draft.stamps)).encode("utf-8", "surrogatepass")
        return hashlib.sha256(said).hexdigest()[:16]

    def _seen(self) -> Seen:
        return Seen(
            self._text,
            self._draft,
            self._revision(),
            self._undo[-1].label if self._undo else None,
            self._redo[-1].label if self._redo else None,
            self._problem,
            self._notice,
        )

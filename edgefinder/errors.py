"""What can go wrong that the person at the table can mend.

::

    EdgefinderError
    |-- DrawingError     a drawing cannot be read, or its scale cannot be right
    |   `-- BrokenOutline  an outline is open, or is not an outline at all
    |-- TagError         a rule of the job file names an edge that is not there
    |-- SettingsError    a mistake in a job file or in a typed option
    `-- OutputError      a file cannot be written

A message says where, what (with the value) and how to mend it, in one line.
Mistakes of the program itself are ``ValueError`` or ``TypeError`` and are
never caught.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from shlex import quote


class EdgefinderError(Exception):
    """Something that the person can mend; holds one line per mistake."""

    def __init__(self, *messages: str) -> None:
        super().__init__(*messages)

    @property
    def messages(self) -> tuple[str, ...]:
        """One line for each mistake, in the order in which they were found."""
        return tuple(one_line(str(message)) for message in self.args)


class DrawingError(EdgefinderError):
    """A drawing cannot be read, or its scale cannot be right."""


class BrokenOutline(DrawingError):  # noqa: N818 - it is what the person sees
    """An outline is open, or encloses nothing."""


class TagError(EdgefinderError):
    """A rule names a piece, an edge or a line that the drawing does not have."""


class SettingsError(EdgefinderError):
    """A job file or a typed option says something that cannot be followed."""


class OutputError(EdgefinderError):
    """A file cannot be written, or would be written over."""


def as_typed(name: object) -> str:
    """Return a file name as it is typed in a terminal: in quotes if it has blanks."""
    return quote(one_line(str(name)))


def one_line(text: str) -> str:
    """Replace control characters, so that a name cannot break or forge a line."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " for c in text)


@contextmanager
def told_of(place: object) -> Iterator[None]:
    """Put a place in front of every mistake that is found meanwhile."""
    try:
        yield
    except EdgefinderError as error:
        error.args = tuple(f"{place}: {message}" for message in error.messages)
        raise


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Say which known names are nearest to a name that is not known.

    Parameters
    ----------
    name : str
        What was written.
    known : iterable of str
        What could have been written.

    Returns
    -------
    str
        ``"; did you mean 'neck'?"``, or the whole list when nothing is near,
        or an empty string when nothing is known.
    """
    from difflib import get_close_matches  # noqa: PLC0415 - only on the way out

    choices = list(dict.fromkeys(known))
    by_lower = {choice.casefold(): choice for choice in choices}
    near = get_close_matches(name.casefold(), by_lower, n=2, cutoff=0.6)
    if near:
        return f"; did you mean {_listed([by_lower[n] for n in near], 'or')}?"
    return f"; known: {_listed(choices, 'and')}" if choices else ""


def _listed(names: Sequence[str], last: str) -> str:
    quoted = [f'"{name}"' for name in names]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"

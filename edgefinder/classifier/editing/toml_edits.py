"""Changing a TOML text in one place and leaving all else as it is.

Every change is cut out of and put into the text itself, at the places that
`toml_layout` finds: comments, order, spacing and line ends elsewhere stay to the
byte. (tomlkit 0.15 does not promise that: it moves tables that stand between two
tables of one list, even in a text that nothing was changed in.)
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.toml_layout import Entry, Section, sections_of
from edgefinder.errors import SettingsError, one_line


@dataclass(frozen=True, slots=True)
class Splice:
    """``text[start:end]`` is to become ``new``."""

    start: int
    end: int
    new: str


def spliced(text: str, splices: Iterable[Splice]) -> str:
    """Make several changes at once.

    Parameters
    ----------
    text : str
    splices : iterable of Splice
        None of them may overlap another. What they put in gets the line ends that
        the text has at the end of its first line.

    Returns
    -------
    str
    """
    line_end = line_end_of(text)
    parts = []
    at = 0
    for splice in sorted(splices, key=lambda one: (one.start, one.end)):
        if splice.start < at:
            raise ValueError("two changes of one place")
        new = splice.new.replace("\r\n", "\n").replace("\n", line_end)
        parts += [text[at : splice.start], new]
        at = splice.end
    return "".join([*parts, text[at:]])


def line_end_of(text: str) -> str:
    """Return how the first line of a text ends."""
    first, _, _ = text.partition("\n")
    return "\r\n" if first.endswith("\r") else "\n"


def quoted(text: str) -> str:
    """Write a text as TOML, with an escape for every character that is not seen.

    Raises
    ------
    SettingsError
        If it holds half a character, as an argument that is not UTF-8 does.
    """
    if any("\ud800" <= character <= "\udfff" for character in text):
        raise SettingsError(f'"{one_line(text)}" is not text in UTF-8; type it again')
    return f'"{"".join(map(_escaped, text))}"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return f"\\{character}"
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def key_text(key: str) -> str:
    """Write a key, in quotes if it needs them."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else quoted(key)


def line_start(text: str, at: int) -> int:
    """Return where the line begins in which a character stands."""
    return text.rfind("\n", 0, at) + 1


def next_line(text: str, at: int) -> int:
    """Return where the next line begins, or the end of the text."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


_BLANKS: Final = re.compile(r"[ \t]*")


def with_entry(text: str, section: Section, line: str) -> Splice:
    """Put an entry after the last one of a section.

    Parameters
    ----------
    text : str
    section : Section
    line : str
        As it is to be written, without a line end.

    Returns
    -------
    Splice
        The first entry at the top of a file goes above the first table.
    """
    if section.entries:
        last = section.entries[-1]
        start = line_start(text, last.start)
        indent = (_BLANKS.match(text, start) or [""])[0]
        return _line_after(text, last.end, indent + line)
    if not section.path:
        return with_table(text, _end_of_top(text, section), [line])
    return _line_after(text, section.end, line)


def _end_of_top(text: str, top: Section) -> int:
    """Return where the comments above the first table begin, or the end of the text."""
    _, *others = sections_of(text)
    if not others:
        return len(text)
    at = line_start(text, others[0].start)
    while at > top.end and line_above(text, at).lstrip().startswith("#"):
        at = line_start(text, at - 1)
    return max(at, top.end)


def _line_after(text: str, at: int, line: str) -> Splice:
    end = next_line(text, at)
    if text.endswith("\n", 0, end):
        return Splice(end, end, f"{line}\n")
    return Splice(end, end, f"\n{line}")


def without_entry(text: str, entry: Entry) -> Splice:
    """Take an entry of a section out, with its line and the comment beside it."""
    return Splice(line_start(text, entry.start), next_line(text, entry.end), "")


def end_of_section(text: str, section: Section) -> int:
    """Return where the lines of a section end.

    Comments directly below its last entry are taken to be part of it, unless the next
    header is directly below them.
    """
    own = section.entries[-1].end if section.entries else section.end
    end = at = next_line(text, own)
    while at < len(text):
        line = text[at : next_line(text, at)].strip()
        if line.startswith("["):
            return end
        if not line.startswith("#"):
            break
        at = next_line(text, at)
    return at


def with_table(text: str, at: int, lines: Sequence[str]) -> Splice:
    """Put a table between two lines of a text, with a blank line on both sides.

    Parameters
    ----------
    text : str
    at : int
        Where a line begins, or the end of the text.
    lines : sequence of str

    Returns
    -------
    Splice
    """
    above = text[:at].lstrip("\ufeff")
    new = "".join(f"{line}\n" for line in lines)
    if above and not above.endswith("\n"):
        new = f"\n\n{new}"
    elif above and line_above(text, at).strip():
        new = f"\n{new}"
    if text[at : next_line(text, at)].strip():
        new = f"{new}\n"
    return Splice(at, at, new)


def line_above(text: str, at: int) -> str:
    """Return the line that ends where another begins."""
    return text[line_start(text, max(at - 1, 0)) : at]

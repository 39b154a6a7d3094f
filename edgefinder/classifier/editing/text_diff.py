"""Showing how a text is to change, before it does."""

from difflib import unified_diff as diff_lines
from typing import Final

from edgefinder.errors import one_line

NO_LINE_END: Final = "\n\\ No newline at end of file"
"""What a unified diff says below a last line that does not end."""


def unified_diff(path: str, before: str, after: str) -> str:
    r"""Return the difference of two texts as a unified diff.

    Parameters
    ----------
    path : str
        Of the file, for the heading.
    before, after : str

    Returns
    -------
    str
        With ``\n`` after every line; empty if the texts are equal. Line ends are not
        compared, and a character that is not seen is shown as a blank, so that nothing
        in a file can move the cursor or forge a line. Tabs stay.
    """
    name = one_line(path)
    lines = diff_lines(_lines(before), _lines(after), name, name, lineterm="")
    return "".join(
        f"{_harmless(part)}\n" for line in lines for part in line.split("\n")
    )


def _lines(text: str) -> list[str]:
    lines = text.replace("\r\n", "\n").split("\n")
    last = lines.pop()
    return [*lines, last + NO_LINE_END] if last else lines


def _harmless(line: str) -> str:
    return "\t".join(one_line(part) for part in line.split("\t"))

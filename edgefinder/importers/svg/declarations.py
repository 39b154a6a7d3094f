"""What style attributes declare, without waiting for the CSS library."""

import functools
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.importers.svg.font_size import is_font_size, size_in_font

Declarations = Mapping[str, str]
"""Values by property, in lower case."""

PROPERTIES: Final = frozenset(
    {
        *("color", "stroke", "stroke-width", "stroke-opacity"),
        *("fill", "fill-opacity", "opacity", "display", "visibility"),
        *("transform", "transform-origin", "transform-box", "clip-path", "mask"),
        *("translate", "rotate", "scale", "offset-path", "zoom"),
        *("font-size", "font"),
        *("r", "cx", "cy", "x", "y", "width", "height", "rx", "ry", "d"),
    }
)
"""The properties on which the outlines of a drawing, and whether they are seen,
depend. Others are left where they stand: an attribute such as ``points`` is none, and
a style sheet cannot change it."""
NOTHING_DECLARED: Final[Declarations] = MappingProxyType({})

_IMPORTANT: Final = re.compile(r"\s*!\s*important\s*$", re.IGNORECASE)
_COMMENT: Final = re.compile(r"/\*.*?(?:\*/|$)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Declaration:
    """One property with its value."""

    name: str
    value: str
    is_important: bool


@functools.lru_cache(maxsize=1024)
def read_style(text: str) -> tuple[Declaration, ...]:
    """Read a style attribute.

    Parameters
    ----------
    text : str

    Returns
    -------
    tuple of Declaration
        Those of `PROPERTIES`; what is no declaration is skipped, as CSS has it.

    References
    ----------
    CSS Style Attributes, section 3, "Syntax and Parsing".
    """
    declared = (read_declaration(*one) for one in _declared(_COMMENT.sub(" ", text)))
    return tuple(one for one in declared if one is not None)


def read_declaration(name: str, value: str, is_important: bool) -> Declaration | None:
    """Take a declaration, if it is of `PROPERTIES`.

    Of ``font`` only the size is kept. A size of no meaning is no declaration: one
    before it still counts.
    """
    if name not in PROPERTIES:
        return None
    if name == "font":
        size = size_in_font(value)
        return None if size is None else Declaration("font-size", size, is_important)
    if name == "font-size" and not is_font_size(value):
        return None
    return Declaration(name, value, is_important)


def cascade(declared: Iterable[Declaration]) -> Declarations:
    """Let later declarations win over earlier ones, and important ones over all.

    References
    ----------
    CSS Cascading 4, section 6.1, "Cascade Sorting Order".
    """
    ordinary: dict[str, str] = {}
    important: dict[str, str] = {}
    for one in declared:
        (important if one.is_important else ordinary)[one.name] = one.value
    return ordinary | important


def _declared(text: str) -> Iterator[tuple[str, str, bool]]:
    for declaration in _split(text):
        name, colon, value = declaration.partition(":")
        if colon:
            plain = _IMPORTANT.sub("", value)
            yield name.strip().lower(), plain.strip(), plain != value


def _split(text: str) -> Iterator[str]:
    """Part at semicolons that stand outside quotes and brackets."""
    if not any(sign in text for sign in "\"'("):
        yield from text.split(";")
        return
    start, depth, quote = 0, 0, ""
    for index, sign in enumerate(text):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'":
            quote = sign
        elif sign in "()":
            depth = max(depth + (1 if sign == "(" else -1), 0)
        elif sign == ";" and depth == 0:
            yield text[start:index]
            start = index + 1
    yield text[start:]

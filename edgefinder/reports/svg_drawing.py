"""SVG as text: elements, escaped words and short numbers, the same bytes every time.

Only presentation attributes are written, never ``style``: a page with a strict
content policy blocks the latter.
"""

import math
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from html import escape
from typing import Final

from edgefinder.errors import one_line

NAMESPACE: Final = "http://www.w3.org/2000/svg"
"""SVG 2, section 5.1.1."""

DECIMALS: Final = 2
"""Of a coordinate: 0.01 mm is below what scissors, a plotter or an eye resolve.

More: longer files. Fewer: shapes no longer agree with the figures beside them.
"""

MOST_KEPT: Final = 1024
"""Escaped texts that are kept: colours and pens come again with every line."""

_PREFIX: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*", re.ASCII)

_TRAILING: Final = re.compile(r"\.?0+(?=[, ]|$)")
"""Noughts behind the point that say nothing; every figure has a point."""
_NOTHING: Final = re.compile(r"-0(?=[, ]|$)")
"""What is left of a small negative figure."""


def number(value: float) -> str:
    """Write a coordinate in as few characters as it takes.

    Raises
    ------
    ValueError
        If it is not finite.

    Examples
    --------
    >>> number(12.50), number(-0.001)
    ('12.5', '0')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a place in a drawing")
    short = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if short in {"-0", ""} else short


def numbers(*values: float) -> str:
    """Write several coordinates with a blank between them."""
    return " ".join(number(value) for value in values)


def pairs(values: Sequence[float]) -> str:
    """Write coordinates x, y, x, y as points of a polyline, in one pass.

    Raises
    ------
    ValueError
        If one is not finite.

    Examples
    --------
    >>> pairs([12.50, -0.001, 3.0, 4.25])
    '12.5,0 3,4.25'
    """
    if not all(map(math.isfinite, values)):
        raise ValueError("a point is not a place in a drawing")
    one = f"%.{DECIMALS}f,%.{DECIMALS}f"
    text = " ".join([one] * (len(values) // 2)) % tuple(values)
    return _NOTHING.sub("0", _TRAILING.sub("", text))


@lru_cache(maxsize=MOST_KEPT)
def words(text: str) -> str:
    """Escape a text: it can neither open an element nor carry a control character."""
    return escape(one_line(text), quote=True)


def element(
    name: str, attributes: Mapping[str, str | float | None], *content: str
) -> str:
    """Write an element.

    Parameters
    ----------
    name : str
        As SVG has it; never a text of the person.
    attributes : mapping of str to str, float or None
        Texts are escaped, figures are shortened, None is left out.
    content : str
        Elements, or texts that went through `words`.

    Returns
    -------
    str

    Examples
    --------
    >>> element("line", {"x1": 0.0, "x2": 2.5, "id": None})
    '<line x1="0" x2="2.5"/>'
    """
    written = "".join(
        f' {key}="{words(value) if isinstance(value, str) else number(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    if not content:
        return f"<{name}{written}/>"
    return f"<{name}{written}>{''.join(content)}</{name}>"


def checked_prefix(prefix: str) -> str:
    """Return a prefix that makes every id of a drawing unique within a page.

    Raises
    ------
    ValueError
        If ids cannot begin with it: it takes a letter, then letters, digits, - or _.
    """
    if not _PREFIX.fullmatch(prefix):
        raise ValueError(f'"{prefix}" cannot begin an id')
    return prefix

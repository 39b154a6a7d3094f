"""What the texts within a piece say: its name, its size, how often it is cut."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

LONGEST_NAME: Final = 40
"""Characters; a longer text explains something, unless it is the only one."""
LONGEST_NOTE: Final = 80
"""Of how often a piece is cut, and in what."""

_NUMBER: Final = r"(?:\d+|an?|one|two|three|four|six|eight)"
_QUANTITY: Final = re.compile(
    rf"\W*(?:(?:cut|make)\b.*\b(?:{_NUMBER}|fold|pairs?)\b.*|{_NUMBER}\s*(?:x|\u00d7)\W*"
    r"(?:cut.*)?|\d+\s*(?:pairs?|pieces?|pcs?\.?)\W*|(?:quantity|qty)\W.*)",
    re.IGNORECASE,
)
_SIZE: Final = re.compile(r"\W*size\W*(?P<size>\w[\w/.+]{0,9})\W*", re.IGNORECASE)
"""One size; "sizes S - XL" is none."""
_ANY_SIZE: Final = re.compile(r"\W*sizes?\b.*", re.IGNORECASE)
_NO_NAME: Final = re.compile(
    r"(?:(?:place\s+)?(?:on|to)\s+(?:the\s+)?)?fold(?:\s+line)?"
    r"|(?:straight\s+)?grain(?:\s*line)?|straight\s+of\s+grain|true\s+bias|bias"
    r"|c\.?[fb]\.?|(?:centre|center)[\s-]+(?:front|back)(?:\s+(?:fold|line))?"
    r"|.*\ballowances?\b.*|(?:test|scale)\W*(?:square|box).*"
    r"|(?:cut(?:ting)?|sew(?:ing)?|stitch(?:ing)?)(?:\s+lines?)?"
    r"|notch(?:es)?|darts?|hems?|(?:drawn\s+)?by\b.*|.*(?:\u00a9|\bcopyright\b).*"
    r"|[\W\d]*(?:mm|cm|in|inch|inches|%)?[\W\d]*|\w",
    re.IGNORECASE,
)
"""Marks, measures and notes. One letter is a size or an apex."""


@dataclass(frozen=True, slots=True)
class TextHints:
    """What the texts within a piece offer.

    Parameters
    ----------
    name : str or None
        The first short line that is neither a size nor a quantity, nor explains a
        mark; a long one if it is the only one.
    size : str or None
        None where none or several sizes are named.
    quantity : str or None
        As it is written: "cut 1 on fold".
    """

    name: str | None
    size: str | None
    quantity: str | None


def read_hints(texts: Sequence[str]) -> TextHints:
    """Read the texts within a piece, in drawing order."""
    name = long_name = quantity = None
    sizes: set[str] = set()
    for text in (" ".join(text.split()) for text in texts):
        said = _SIZE.fullmatch(text)
        if said is not None:
            sizes.add(said["size"])
        elif len(text) > LONGEST_NOTE or _ANY_SIZE.fullmatch(text):
            continue
        elif _QUANTITY.fullmatch(text):
            quantity = quantity or text
        elif _NO_NAME.fullmatch(text):
            continue
        elif len(text) > LONGEST_NAME:
            long_name = text if long_name is None else ""
        elif name is None:
            name = text
    size = sizes.pop() if len(sizes) == 1 else None
    return TextHints(name or long_name or None, size, quantity)

"""The SVG files of the suite; README.md says where they come from."""

import re
from pathlib import Path
from typing import Final

_HERE: Final = Path(__file__).parent

OTHERS: Final = tuple(sorted((_HERE / "files").rglob("*.svg")))
"""Drawn by others, for other ends."""
FEATURES: Final = tuple(sorted((_HERE / "features").glob("*.svg")))
"""Written for this suite: what the standard says and the others do not use."""


_HEAD: Final = re.compile(r"<(?:\w+:)?svg\s[^>]*>")
_SIZE: Final = re.compile(r"""\s(?:width|height)=["'][^"'%]+["']""")


def says_size(path: Path) -> bool:
    """Whether a file says how large it is, both ways."""
    head = _HEAD.search(path.read_text("latin-1"))
    return head is not None and len(_SIZE.findall(head[0])) == 2


def name_of(path: Path) -> str:
    """Return the folder and file name, for test ids."""
    return f"{path.parent.name}/{path.stem}"

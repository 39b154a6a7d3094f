"""The SVG files of the suite; README.md says where they come from."""

from pathlib import Path
from typing import Final

_HERE: Final = Path(__file__).parent

OTHERS: Final = tuple(sorted((_HERE / "files").rglob("*.svg")))
"""Drawn by others, for other ends."""
FEATURES: Final = tuple(sorted((_HERE / "features").glob("*.svg")))
"""Written for this suite: what the standard says and the others do not use."""


def name_of(path: Path) -> str:
    """Return the folder and file name, for test ids."""
    return f"{path.parent.name}/{path.stem}"

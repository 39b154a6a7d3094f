"""Fonts on the person's own computer, for letters that the font of a PDF lacks."""

import struct
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Final

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFError, TTFont

FOLDERS: Final = (
    Path("C:/Windows/Fonts"),
    Path("/System/Library/Fonts"),
    Path("/Library/Fonts"),
    Path("/usr/share/fonts"),
)
"""Where Windows, macOS and Linux keep the fonts of all who use the computer."""

NAMES: Final = (
    # Latin, Greek, Cyrillic and more, as wide as the font of the rest.
    ("dejavusans.ttf", "dejavusans-bold.ttf"),
    ("verdana.ttf", "verdana bold.ttf"),
    ("verdana.ttf", "verdanab.ttf"),
    ("arial.ttf", "arial bold.ttf"),
    ("arial.ttf", "arialbd.ttf"),
    ("notosans-regular.ttf", "notosans-bold.ttf"),
    # Chinese, Japanese, Korean and others.
    ("arial unicode.ttf", "arial unicode.ttf"),
    ("msyh.ttc", "msyhbd.ttc"),
    ("yugothm.ttc", "yugothb.ttc"),
    ("malgun.ttf", "malgunbd.ttf"),
    ("simsun.ttc", "simsun.ttc"),
    ("msgothic.ttc", "msgothic.ttc"),
    ("tahoma.ttf", "tahomabd.ttf"),
    ("nirmala.ttf", "nirmalab.ttf"),
    ("droidsansfallbackfull.ttf", "droidsansfallbackfull.ttf"),
    ("wqy-microhei.ttc", "wqy-microhei.ttc"),
    ("ipag.ttf", "ipag.ttf"),
)
"""File names of a regular and a bold font, in small letters, best first.

From memory: what the three systems come with. One that is not there is passed over; so
is one whose outlines are not TrueType, or whose maker forbids embedding.
"""

_FS_TYPE_AT: Final = 8
_FORBIDDEN: Final = 0x0002 | 0x0100 | 0x0200
"""OpenType 1.9, table OS/2, fsType: where it stands in bytes, and what it forbids:
embedding, embedding a part, embedding outlines."""


def own_fonts(folders: Iterable[Path]) -> tuple[tuple[TTFont, TTFont], ...]:
    """Return the known fonts in some folders, each regular and bold.

    Parameters
    ----------
    folders : iterable of Path
        Those that are not there are passed over.

    Returns
    -------
    tuple of (TTFont, TTFont)
        Registered, best first.
    """
    return _own_fonts(tuple(folders))


@cache
def _own_fonts(folders: tuple[Path, ...]) -> tuple[tuple[TTFont, TTFont], ...]:
    there: dict[str, Path] = {}
    for folder in folders:
        for path in sorted(folder.rglob("*.tt[fc]")) if folder.is_dir() else ():
            there.setdefault(path.name.lower(), path)
    found = []
    for regular, bold in NAMES:
        pair = [_loaded(there[name]) for name in (regular, bold) if name in there]
        if len(pair) == 2 and pair[0] is not None and pair[1] is not None:
            found.append((pair[0], pair[1]))
    return tuple(found)


@cache
def _loaded(path: Path) -> TTFont | None:
    """Load a font; None if it cannot be embedded."""
    try:
        font = TTFont(str(path), str(path))
    except (TTFError, OSError, struct.error):
        return None
    if not _may_be_embedded(font):
        return None
    pdfmetrics.registerFont(font)
    return font


def _may_be_embedded(font: TTFont) -> bool:
    """Whether the maker of a font allows it, with only some of its letters."""
    face = font.face
    if "OS/2" not in face.table:
        return True
    face.seek_table("OS/2", _FS_TYPE_AT)
    return not face.read_ushort() & _FORBIDDEN

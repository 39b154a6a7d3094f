"""The tags of a binary DXF, up to where it was cut short.

The library's own loader gives up at the first tag that is not whole, and takes a file
without header for R12. Here the width of the group codes is seen from the first of
them, and a file that ends too early keeps its whole entities.
"""

import struct
from collections.abc import Iterator
from typing import Final

from ezdxf.lldxf.types import (
    BINARY_DATA,
    BYTES,
    DOUBLE,
    INT16,
    INT32,
    INT64,
    DXFBinaryTag,
    DXFTag,
)

from edgefinder.importers.dxf.sniff import (
    BINARY_SENTINEL,
    FOLLOWERS,
    NEEDED_CODES,
)

HIGHEST_CODE: Final = 1071
"""Of the DXF reference; a larger one says that the file is damaged there."""

_ESCAPE: Final = 255
"""Before a group code of two bytes where the others have one (R12)."""

_NUMBERS: Final = (
    (INT16, struct.Struct("<h")),
    (DOUBLE, struct.Struct("<d")),
    (INT32, struct.Struct("<i")),
    (INT64, struct.Struct("<q")),
    (BYTES, struct.Struct("<B")),
)
_NUMBER_OF: Final = {code: number for codes, number in _NUMBERS for code in codes}

_END: Final = (DXFTag(0, "ENDSEC"), DXFTag(0, "EOF"))


def has_wide_codes(data: bytes) -> bool:
    """Whether group codes have two bytes, as they do since R13."""
    # The first tag is group 0, SECTION: a second null belongs to the code.
    return data[len(BINARY_SENTINEL) + 1 : len(BINARY_SENTINEL) + 2] == b"\0"


def tags_of_binary(data: bytes, encoding: str, cut: list[str]) -> Iterator[DXFTag]:
    """Yield the tags of a binary DXF; one that was cut short is closed.

    Parameters
    ----------
    data : bytes
        Begins with the sentinel.
    encoding : str
        Of its texts.
    cut : list of str
        Gets the place if it was cut short, and what is left out there, before the
        last tag is yielded.

    Yields
    ------
    DXFTag
        The last entity is left out where it may be only a part.
    """
    held: list[DXFTag] = []
    inside = False
    place = [0]
    try:
        for tag in _tags(data, encoding, place):
            if tag.code == 0 and not _follows(tag, held):
                yield from held
                held = []
                inside = tag.value != "ENDSEC" and (inside or tag.value == "SECTION")
                if tag.value == "EOF":
                    yield tag
                    return
            held.append(tag)
    except (IndexError, ValueError, struct.error):
        pass  # half a tag, or what is none
    lost = ""
    if _is_whole(held):
        yield from held
    else:
        name = str(held[0].value)
        lost = f"; its last entity ({name}) is left out" if name.isalnum() else ""
        inside = inside and held[0].value != "SECTION"
    cut.append(f"byte {place[0]} of {len(data)}{lost}")
    yield from _END if inside else _END[1:]


def _follows(tag: DXFTag, held: list[DXFTag]) -> bool:
    """Whether an entity belongs to the one before: a vertex to its polyline."""
    return bool(held) and tag.value in FOLLOWERS.get(str(held[0].value), ())


def _is_whole(held: list[DXFTag]) -> bool:
    if not held:
        return True
    last = max(i for i, tag in enumerate(held) if i == 0 or tag.code == 0)
    needed = NEEDED_CODES.get(str(held[last].value))
    return needed is not None and {tag.code for tag in held[last:]}.issuperset(needed)


def _tags(data: bytes, encoding: str, place: list[int]) -> Iterator[DXFTag]:
    """Yield tag after tag; ``place`` holds where the one that is read begins."""
    wide = has_wide_codes(data)
    index = len(BINARY_SENTINEL)
    while index < len(data):
        place[0] = index
        code = data[index]
        if wide or code == _ESCAPE:
            at = index if wide else index + 1
            code = data[at] | data[at + 1] << 8
            index = at + 2
        else:
            index += 1
        if code > HIGHEST_CODE:
            raise ValueError("no group code")
        number = _NUMBER_OF.get(code)
        if number is not None:
            yield DXFTag(code, number.unpack_from(data, index)[0])
            index += number.size
        elif code in BINARY_DATA:
            stop = index + 1 + data[index]
            if stop > len(data):
                raise ValueError("half a chunk")
            yield DXFBinaryTag(code, data[index + 1 : stop])
            index = stop
        else:
            stop = data.index(b"\0", index)
            yield DXFTag(code, data[index:stop].decode(encoding, "surrogateescape"))
            index = stop + 1
    place[0] = index

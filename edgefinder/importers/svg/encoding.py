"""The encoding of an XML text: what expat reads as it is, and what is turned to UTF-8.

A byte order mark is right whatever the text says of itself. A text whose first line
can be read byte by byte is not UTF-16, even if it says so: some programs change the
one and leave the other as it was.
"""

import codecs
import re
from types import MappingProxyType
from typing import Final

_DECLARATION: Final = re.compile(
    rb"<\?xml\s[^>]*?\bencoding\s*=\s*[\"']([A-Za-z][A-Za-z0-9._:-]*+)[\"']"
)
"""XML 1.0, section 4.3.3, "Character Encoding in Entities"."""
_READ_BY_EXPAT: Final = frozenset({"utf-8", "ascii", "iso8859-1"})
_WIDE: Final = ("utf-16", "utf-32", "ucs-2", "ucs-4", "iso-10646-ucs")
_CODECS: Final = (
    *("ascii", "big5", "cp", "euc", "gb", "hp-roman8", "hz", "iso2022", "iso8859"),
    *("johab", "koi8", "kz1048", "mac", "ptcp154", "shift_jis", "tis-620", "utf-8"),
)
"""Beginnings of the names of codecs for text; Python has others, which are none."""
_LABELS: Final = MappingProxyType(
    {
        "windows-31j": "cp932",
        "x-sjis": "cp932",
        "x-gbk": "gbk",
        "x-euc-jp": "euc_jp",
        "x-mac-roman": "mac_roman",
        "x-cp1252": "cp1252",
    }
)
"""Names that Python does not know, from the same standard as the next."""
_WIDER: Final = MappingProxyType(
    {
        "big5": "big5hkscs",
        "euc_kr": "cp949",
        "gb2312": "gb18030",
        "gbk": "gb18030",
        "shift_jis": "cp932",
    }
)
"""What is meant by a name today: the WHATWG Encoding Standard, section 4.2, "Names and
labels", read in 2026."""
_MARKS: Final = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (b"<\0\0\0", "utf-32-le"),
    (b"\0\0\0<", "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
    (b"<\0", "utf-16-le"),
    (b"\0<", "utf-16-be"),
)
"""XML 1.0, appendix F.1, "Detection Without External Encoding Information"; those of
four bytes first, because those of two are their beginning."""


def for_expat(data: bytes) -> tuple[bytes, str | None]:
    """Return a text in an encoding that expat reads.

    Parameters
    ----------
    data : bytes

    Returns
    -------
    bytes
        The same bytes, or the text in UTF-8.
    str or None
        The encoding, whatever the text says of itself; None if it is right.

    Raises
    ------
    LookupError
        If the encoding is not known.
    UnicodeDecodeError
        If the text is not in the encoding that it names.
    """
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return (data, encoding) if encoding == "utf-8" else _turned(data, encoding)
    declared = _DECLARATION.match(data)
    if declared is None:
        return data, None
    name = declared[1].decode("ascii").lower()
    if name.startswith(_WIDE):
        return data, "utf-8"
    codec = codecs.lookup(_LABELS.get(name, name)).name
    if codec in _READ_BY_EXPAT:
        return data, codec.replace("iso8859", "iso-8859").replace("ascii", "us-ascii")
    if not codec.startswith(_CODECS):
        raise LookupError(f"unknown encoding: {name}")
    return _turned(data, _WIDER.get(codec, codec))


def _turned(data: bytes, encoding: str) -> tuple[bytes, str]:
    return data.decode(encoding).encode(), "utf-8"

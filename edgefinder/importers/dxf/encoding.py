"""The encoding of the texts of a DXF, from what it says and what they look like."""

import codecs
import re
from itertools import islice
from typing import Final

UTF8: Final = "utf-8"
WINDOWS: Final = "cp1252"
CHINESE: Final = "gbk"

FIRST_UTF8_VERSION: Final = "AC1021"
"""R2007 (DXF reference, $DWGCODEPAGE: texts are UTF-8 from there on)."""

MOST_RUNS: Final = 10_000
"""Runs of bytes beyond ASCII that are looked at; the first few tell."""

MOST_ODD: Final = 0.1
"""Share of runs that may be no pairs of the national standard: rarer characters."""

LEAST_COMMON: Final = 0.5
"""Share of pairs that must be characters of its first level, which are the common ones;
accented letters of Windows text that happen to stand in pairs are none."""

RARE: Final = re.compile("[\u0180-\u036f\u0530-\u07ff]")
"""Characters of two bytes in UTF-8 that names in Latin, Greek or Cyrillic letters lack,
but that pairs of Chinese become."""

_VALUE: Final = rb"[ \t]*\r?\n[ \t]*\d+[ \t]*\r?\n[ \t]*([^\r\n]*)"
_BINARY_VALUE: Final = rb"\0[\x01\x03]\0?([^\0]*)\0"

_NAMES: Final = {
    "mac-roman": "mac-roman",
    "ksc5601": "cp949",
    "gb2312": "gbk",
    "johab": "johab",
    "big5": "big5",
}


def encoding_of(data: bytes, *, binary: bool) -> tuple[str, str]:
    """Return the encoding to read with, and the one that the file names.

    Parameters
    ----------
    data : bytes
        The whole file.
    binary : bool
        A binary DXF is taken at its word.

    Notes
    -----
    Exports of older pattern programs often name no code page, or that of Windows,
    and write Chinese; newer ones name that of Windows and write UTF-8.
    """
    named = _named(data, binary=binary)
    if binary or data.isascii():
        return named, named
    runs = [
        found[0] for found in islice(re.finditer(rb"[\x80-\xff]+", data), MOST_RUNS)
    ]
    if _are_utf8(runs, sure=named == UTF8):
        return UTF8, named
    if named in {UTF8, WINDOWS}:
        return CHINESE if _look_chinese(runs) else WINDOWS, named
    return named, named


def _named(data: bytes, *, binary: bool) -> str:
    if _header_text(data, b"ACADVER", binary=binary) >= FIRST_UTF8_VERSION:
        return UTF8
    page = _header_text(data, b"DWGCODEPAGE", binary=binary).strip().lower()
    number = re.fullmatch(r"(?:ansi|dos|cp)?_?(\d+)", page)
    name = f"cp{number[1]}" if number else _NAMES.get(page, page.replace("_", "-"))
    try:
        return codecs.lookup(name).name if name else WINDOWS
    except LookupError:
        return WINDOWS


def _header_text(data: bytes, name: bytes, *, binary: bool) -> str:
    at = data.find(b"$" + name)
    if at < 0:
        return ""
    found = re.compile(_BINARY_VALUE if binary else _VALUE).match(
        data, at + 1 + len(name), at + 100
    )
    return found[1].decode("ascii", "replace") if found else ""


def _are_utf8(runs: list[bytes], *, sure: bool) -> bool:
    """Whether runs are UTF-8; a few Chinese characters can look so by chance."""
    try:
        text = "".join(run.decode(UTF8) for run in runs)
    except UnicodeDecodeError:
        return False
    return sure or not (RARE.search(text) and _look_chinese(runs))


def _look_chinese(runs: list[bytes]) -> bool:
    """Whether runs are pairs of GB 2312: both bytes from A1, the first up to F7."""
    pairs = [
        run[i : i + 2]
        for run in runs
        if len(run) % 2 == 0
        for i in range(0, len(run), 2)
    ]
    odd = sum(len(run) % 2 for run in runs) + sum(
        not (0xA1 <= first <= 0xF7 and 0xA1 <= second <= 0xFE)
        for first, second in pairs
    )
    common = sum(0xB0 <= first <= 0xD7 for first, _ in pairs)
    return odd <= MOST_ODD * len(runs) and common >= LEAST_COMMON * max(len(pairs), 1)

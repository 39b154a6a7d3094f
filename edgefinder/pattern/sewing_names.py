"""What sewing lines are called in drawings."""

from typing import Final

from edgefinder.pattern.selectors import parse_selector

_MARKS: Final = ("label", "class", "layer", "id")

CALLED_SEWING: Final = tuple(
    parse_selector(f"{mark}:*{word}*")
    for mark in _MARKS
    for word in ("sewing", "stitch", "seam line", "seamline", "sew line")
)
"""Lines that are called so may be sewing lines, if they are no topstitching."""

CALLED_TOPSTITCHING: Final = tuple(
    parse_selector(f"{mark}:*{word}*")
    for mark in _MARKS
    for word in ("topstitch", "top?stitch")
)

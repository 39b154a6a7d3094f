"""Names and sizes of pieces, from what the drawing says."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.errors import one_line
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.settings import FindingSettings, SizeSource

# "SizeS" is a size, "Sizes" and "SIZES" are the group around all of them.
_SIZE: Final = re.compile(
    r"size(?!(?-i:s|(?<=E)S)\s*$)[\s_:.-]*(?P<size>\S.*?)\s*", re.IGNORECASE
)
_MADE_UP: Final = re.compile(
    r"(svg_|path|rect|circle|ellipse|line|poly\w+|use|g|shape|layer)[\s_-]?[\d_-]*",
    re.IGNORECASE,
)
"""Ids that drawing programs count up by themselves."""


@dataclass(frozen=True, slots=True)
class Title:
    """The name and the size of a piece."""

    name: str
    size: str | None


def title_of(
    lines: Sequence[DrawnLine],
    drawing: Drawing,
    settings: FindingSettings,
    *,
    fallback: str,
) -> Title:
    """Name the piece whose outline was joined from drawn lines.

    The name is, in this order: the one that the job file gives to lines like these;
    the label of the line; the label of the innermost group or block below the layer;
    the id, where a person gave it; the layer, where that is not the size; the
    fallback. The size in a name ("front S") is taken off it. Of several lines only
    what they share is looked at: the id of one is not the name of the piece.

    Parameters
    ----------
    lines : sequence of DrawnLine
        At least one.
    drawing : Drawing
        That the lines stand in.
    settings : FindingSettings
    fallback : str

    Returns
    -------
    Title
    """
    sizes = {size_of(line, drawing, settings.sizes) for line in lines} - {None}
    size = sizes.pop() if len(sizes) == 1 else None
    for name, selector in settings.names:
        if any(selector.matches(line) for line in lines):
            return Title(name, size)
    line = _shared(lines)
    inner = [group for group in reversed(line.groups) if group != line.layer]
    candidates = [line.label, *inner]
    if not line.kind.isupper() and not _MADE_UP.fullmatch(line.id or ""):
        candidates.append(line.id)  # a DXF handle is not a name
    candidates.append(line.layer)
    for candidate in candidates:
        if not candidate or _SIZE.fullmatch(candidate):
            continue
        name = _without_size(candidate, size)
        if name and name != size:
            return Title(name, size)
    return Title(fallback, size)


def size_of(line: DrawnLine, drawing: Drawing, source: SizeSource) -> str | None:
    """Return the size that a drawn line belongs to; None where nothing says it."""
    if source is SizeSource.FILE:
        return drawing.name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    for text in (line.layer, *line.groups):
        said = _SIZE.fullmatch(one_line(text)) if text else None
        if said:
            return said["size"]
    return line.layer if source is SizeSource.LAYER else None


def _shared(lines: Sequence[DrawnLine]) -> DrawnLine:
    """Return the first line with only those names that all the lines have."""
    first = lines[0]
    groups: list[str] = []
    for level in zip(*(line.groups for line in lines), strict=False):
        if len(set(level)) > 1:
            break
        groups.append(level[0])
    return replace(
        first,
        id=first.id if all(line.id == first.id for line in lines) else None,
        layer=first.layer if all(line.layer == first.layer for line in lines) else None,
        groups=tuple(groups),
        label=first.label if all(line.label == first.label for line in lines) else None,
    )


def _without_size(name: str, size: str | None) -> str:
    # A sign that cannot be shown could not be typed in a job file either.
    text = " ".join(one_line(name).split())
    if size is None:
        return text
    token = re.escape(size)
    ends = rf"^(?:size[\s_-]*)?{token}[\s_-]+|[\s_-]+(?:size[\s_-]*)?{token}$"
    return re.sub(ends, "", text, flags=re.IGNORECASE).strip()

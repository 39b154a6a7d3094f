"""Names and sizes of pieces, from what the drawing says."""

import re
from dataclasses import dataclass
from typing import Final

from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.settings import FindingSettings, SizeSource

_SIZE: Final = re.compile(r"size[\s_:.-]*(?P<size>\S.*?)\s*", re.IGNORECASE)
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
    line: DrawnLine, drawing: Drawing, settings: FindingSettings, *, fallback: str
) -> Title:
    """Name the piece whose outline a drawn line is.

    The name is, in this order: the one that the job file gives to lines like this;
    the label of the line; the label of the innermost group or block below the layer;
    the id, where a person gave it; the layer, where that is not the size; the
    fallback. The size in a name ("front S") is taken off it.

    Parameters
    ----------
    line : DrawnLine
    drawing : Drawing
        That the line stands in.
    settings : FindingSettings
    fallback : str

    Returns
    -------
    Title
    """
    size = _size_of(line, drawing, settings.sizes)
    for name, selector in settings.names:
        if selector.matches(line):
            return Title(name, size)
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


def _size_of(line: DrawnLine, drawing: Drawing, source: SizeSource) -> str | None:
    if source is SizeSource.FILE:
        return drawing.name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    for text in (line.layer, *line.groups):
        said = _SIZE.fullmatch(text) if text else None
        if said:
            return said["size"]
    return line.layer if source is SizeSource.LAYER else None


def _without_size(name: str, size: str | None) -> str:
    text = " ".join(name.split())
    if size is None:
        return text
    token = re.escape(size)
    ends = rf"^(?:size[\s_-]*)?{token}[\s_-]+|[\s_-]+(?:size[\s_-]*)?{token}$"
    return re.sub(ends, "", text, flags=re.IGNORECASE).strip()

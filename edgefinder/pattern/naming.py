"""Names and sizes of pieces, from what the drawing says."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.errors import one_line
from edgefinder.findings import Finding, warning
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnText
from edgefinder.importers.svg.colours import NAMED_COLOURS, read_colour
from edgefinder.pattern.settings import FindingSettings, SizeSource
from edgefinder.pattern.text_hints import TextHints, read_hints

# "SizeS" is a size, "Sizes" and "SIZES" are the group around all of them.
_SIZE: Final = re.compile(
    r"size(?!(?-i:s|(?<=E)S)\s*$)[\s_:.-]*(?P<size>\S.*?)\s*", re.IGNORECASE
)
_SIZE_AT_END: Final = re.compile(
    r"(?:.*[\s_,:;(-])?size[\s_:.-]*"
    r"(?P<size>\d{1,3}(?:[/.]\d{1,3})?[a-z]?|x{0,4}[sml]|\dx[sl])\W*",
    re.IGNORECASE,
)
"""A label that ends with a size: "front, size 10"; "full size front" does not."""
_MADE_UP: Final = re.compile(
    r"(svg_|path|rect|circle|ellipse|line|poly\w+|use|g|shape|layer)[\s_-]?[\d_-]*",
    re.IGNORECASE,
)
"""Ids that drawing programs count up by themselves."""
_KIND_OF_LINE: Final = re.compile(
    r"(cut(ting)?|outlines?|patterns?|pieces?|lines?)([\s_-]*(lines?|layer))?|0",
    re.IGNORECASE,
)
"""Layers that say what a line is for, not which piece it is."""
_COLOUR_NAMES: Final = {
    value: name for name, value in reversed(list(NAMED_COLOURS.items()))
}
"""The first name of each colour: several have two."""

MOST_OFFERED: Final = 6
"""Names listed where none is like the pattern."""


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
    texts: Sequence[str] = (),
    has_own_layer: bool = False,
) -> Title:
    """Name the piece whose outline was joined from drawn lines.

    The name is, in this order: the one that the job file gives to lines like these;
    what ``names_like`` finds; the label of the line; the label of the innermost group
    or block below the layer; the id, where a person gave it; the first text within the
    piece that may be a name; the layer, where that is not the size; else none. A
    layer that holds this piece alone comes before the text. The size in a name ("front
    S") is taken off it. Of several lines only what they share is looked at: the id of
    one is not the name of the piece.

    Parameters
    ----------
    lines : sequence of DrawnLine
        At least one.
    drawing : Drawing
        That the lines stand in.
    settings : FindingSettings
    texts : sequence of str
        Within the piece. They give the size where nothing else does.
    has_own_layer : bool
        Whether no other piece stands on its layer.

    Returns
    -------
    Title
    """
    line = _shared(lines)
    hints = read_hints(texts)
    said = _said_by_pattern((*_names(line), *texts, _stem(drawing)), settings)
    size = _size_of_piece(lines, drawing, settings, hints)
    if said is not None:
        size = renamed_size(said[1], settings)
    for name, selector in settings.names:
        if any(selector.matches(one) for one in lines):
            return Title(name, size)
    if said is not None:
        return Title(one_line(said[0]), size)
    for candidate in _candidates(line, hints, has_own_layer=has_own_layer):
        if not candidate or _SIZE.fullmatch(candidate):
            continue
        name = _without_size(candidate, size)
        if name and name != size:
            return Title(name, size)
    return Title("", size)


def pattern_findings(
    outlines: Sequence[tuple[Sequence[DrawnLine], Sequence[str]]],
    drawing: Drawing,
    settings: FindingSettings,
) -> tuple[Finding, ...]:
    """Say so if no name of any piece is like ``names_like``.

    Parameters
    ----------
    outlines : sequence of (sequence of DrawnLine, sequence of str)
        For each piece its lines and the texts within.
    drawing : Drawing
    settings : FindingSettings
    """
    if settings.names_like is None:
        return ()
    offered = [
        (*_names(_shared(lines)), *texts, _stem(drawing)) for lines, texts in outlines
    ]
    if any(_said_by_pattern(names, settings) for names in offered):
        return ()
    first = ", ".join(f'"{one_line(name)}"' for name in offered[0][:MOST_OFFERED])
    message = (
        f"no name is like names_like of the job file; the first outline offers {first}"
    )
    return (warning("names-like", drawing.name, message),)


def unused_size_names(
    sizes: Iterable[str | None], settings: FindingSettings, where: str
) -> tuple[Finding, ...]:
    """Say which keys of ``size_names`` are no size of any piece.

    Parameters
    ----------
    sizes : iterable of str or None
        Of all pieces, as they are called in the end.
    settings : FindingSettings
    where : str
        The job file.
    """
    found = list(dict.fromkeys(size for size in sizes if size is not None))
    called = {_plain(size) for size in found}
    unused = [
        one_line(key) for key, name in settings.size_names if _plain(name) not in called
    ]
    if not unused:
        return ()
    listed = ", ".join(f'"{key}"' for key in unused)
    rest = ", ".join(map(one_line, found)) or "none"
    message = f"size_names: {listed} is no size in the drawings; sizes found: {rest}"
    return (warning("size-name", where, message),)


def size_of(line: DrawnLine, drawing: Drawing, settings: FindingSettings) -> str | None:
    """Return the size that a drawn line belongs to; None where nothing says it."""
    said = _said_by_pattern((*_names(line), _stem(drawing)), settings)
    if said is not None:
        return renamed_size(said[1], settings)
    if settings.sizes is SizeSource.FILE:
        return renamed_size(_stem(drawing), settings)
    if settings.sizes is SizeSource.COLOUR:
        if line.colour is None:
            return None
        size = renamed_size(line.colour, settings)
        return _COLOUR_NAMES.get(size, size)
    of_layer = _size_of_layer(line.layer, line.groups, settings)
    return _size_at_end(line, settings) if of_layer is None else of_layer


def _size_at_end(line: DrawnLine, settings: FindingSettings) -> str | None:
    for name in (line.label or "", *line.names):
        at_end = _SIZE_AT_END.fullmatch(name)
        if at_end is not None:
            return renamed_size(at_end["size"], settings)
    return None


def size_of_text(text: DrawnText, settings: FindingSettings) -> str | None:
    """Return the size whose layer or group a text stands in; None if in none."""
    if settings.sizes in {SizeSource.FILE, SizeSource.COLOUR}:
        return None
    return _size_of_layer(
        text.layer, text.groups, replace(settings, sizes=SizeSource.AUTO)
    )


def _size_of_layer(
    layer: str | None, groups: Iterable[str], settings: FindingSettings
) -> str | None:
    for text in (layer, *groups):
        said = _SIZE.fullmatch(one_line(text)) if text else None
        if said:
            return renamed_size(said["size"], settings)
    if settings.sizes is SizeSource.LAYER and layer is not None:
        return renamed_size(layer, settings)
    return None


def _size_of_piece(
    lines: Sequence[DrawnLine],
    drawing: Drawing,
    settings: FindingSettings,
    hints: TextHints,
) -> str | None:
    sizes = {size_of(line, drawing, settings) for line in lines} - {None}
    if not sizes and settings.sizes is SizeSource.AUTO and hints.size is not None:
        return renamed_size(hints.size, settings)
    return sizes.pop() if len(sizes) == 1 else None


def renamed_size(size: str, settings: FindingSettings) -> str:
    """Return the name that the job file gives to a size, if it does."""
    for drawn, name in settings.size_names:
        if _plain(drawn) == _plain(size):
            return name
    return size


def _plain(size: str) -> str:
    return read_colour(size) or " ".join(size.casefold().split())


def _stem(drawing: Drawing) -> str:
    return drawing.name.rsplit("/", 1)[-1].rsplit(".", 1)[0]


def _names(line: DrawnLine) -> tuple[str, ...]:
    """Return all that a drawing calls a line, from its own names outwards."""
    own = (line.label, line.id, *line.names, *reversed(line.groups), line.layer)
    return tuple(dict.fromkeys(name for name in own if name))


def _said_by_pattern(
    names: Iterable[str], settings: FindingSettings
) -> tuple[str, str] | None:
    if settings.names_like is None:
        return None
    said = (settings.names_like.read(name) for name in names)
    return next((found for found in said if found is not None), None)


def _candidates(
    line: DrawnLine, hints: TextHints, *, has_own_layer: bool
) -> Iterable[str | None]:
    yield line.label
    for group in reversed(line.groups):
        if group != line.layer and not _MADE_UP.fullmatch(group):
            yield group
    if not line.kind.isupper() and not _MADE_UP.fullmatch(line.id or ""):
        yield line.id  # a DXF handle is not a name
    if has_own_layer and not _KIND_OF_LINE.fullmatch(line.layer or ""):
        yield line.layer
    yield hints.name
    yield line.layer


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
        names=tuple(n for n in first.names if all(n in line.names for line in lines)),
    )


def _without_size(name: str, size: str | None) -> str:
    # A sign that cannot be shown could not be typed in a job file either.
    text = " ".join(one_line(name).split())
    if size is None:
        return text
    token = re.escape(size)
    ends = rf"^(?:size[\s_-]*)?{token}[\s_-]+|[\s_,;:(-]+(?:size[\s_:.-]*)?{token}\)?$"
    return re.sub(ends, "", text, flags=re.IGNORECASE).strip()

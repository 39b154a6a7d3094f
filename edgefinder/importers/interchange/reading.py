"""Read a pattern interchange file: from drawn lines to pieces in every size."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from edgefinder.constants import CORNER_ANGLE_DEG, JOIN_TOLERANCE_MM
from edgefinder.errors import BrokenOutline, DrawingError, one_line
from edgefinder.findings import Finding, counted, note, warning
from edgefinder.importers.drawing import Drawing, DrawnText, Reading
from edgefinder.importers.interchange.contents import (
    Contents,
    contents_of,
    scaled,
)
from edgefinder.importers.interchange.draft import Draft, draft_piece
from edgefinder.importers.interchange.drawn_piece import (
    DrawnPiece,
    Interchange,
    Style,
)
from edgefinder.importers.interchange.finishing import drawn_piece
from edgefinder.importers.interchange.grade_rules import GradeRules
from edgefinder.importers.interchange.grading import graded_sizes
from edgefinder.importers.interchange.keys import (
    PIECE_KEYS,
    STYLE_KEYS,
    Keys,
    plain_key,
    read_keys,
)
from edgefinder.importers.interchange.layers import Layer, is_known, layer_number
from edgefinder.importers.interchange.notches import vertices_of
from edgefinder.importers.interchange.scale import UNIT_WORDS, choose_unit

ASSUMED: Final = "unit-assumed"
"""Code of the finding by which the DXF reader says that the header names no unit."""

_CORNER_ANGLE: Final = np.radians(CORNER_ANGLE_DEG)


def read_interchange(
    reading: Reading,
    *,
    unit_mm: float | None = None,
    grade_rules: GradeRules | None = None,
    join_tolerance: float = JOIN_TOLERANCE_MM,
    corner_angle: float = float(_CORNER_ANGLE),
) -> Interchange:
    """Read the pieces of a pattern interchange file.

    Parameters
    ----------
    reading : Reading
        What the DXF reader returns, with the same ``unit_mm``.
    unit_mm : float or None
        Millimetres per drawing unit; None takes what the file says, if the pieces then
        have a likely size.
    grade_rules : GradeRules or None
        Make the other sizes of all pieces in the sample size by them.
    join_tolerance : float
        Gaps of outlines that are closed, in millimetres.
    corner_angle : float
        Turn that makes a corner of a vertex with no mark, in radians.

    Returns
    -------
    Interchange
        Its findings are those of this reading alone. Two codes of the DXF reader are
        answered by it: ``unit-assumed``, and ``no-outline`` for POINT.

    Raises
    ------
    BrokenOutline
        If the boundary of a piece does not close; one line for each such piece.
    DrawingError
        If the file holds no piece, or no unit makes pieces of a likely size.
    """
    drawing = reading.drawing
    contents, loose = contents_of(drawing)
    if not contents:
        raise DrawingError(
            f"{drawing.name}: no block draws a boundary on layer 1, or a sewing line "
            "on layer 14; it is no pattern interchange file"
        )
    style = _style(loose, contents)
    unit, findings = choose_unit(
        drawing.name,
        style.units,
        _largest(contents) / drawing.unit_mm,
        header_mm=_header_unit(reading),
        unit_mm=unit_mm,
    )
    if unit != drawing.unit_mm:
        drawing = scaled(drawing, unit / drawing.unit_mm)
        contents, _ = contents_of(drawing)
    keys = [read_keys(_key_texts(one.texts)) for one in contents]
    drafts, said = _drafts(contents, keys, join_tolerance, corner_angle)
    findings += (*said, *_remarks(drawing, contents, keys, style))
    drafts = [_with_size(draft, style) for draft in drafts]
    if grade_rules is not None:
        drafts, said = _in_all_sizes(drafts, grade_rules, style, unit)
        findings += (*grade_rules.findings, *said)
    pieces: list[DrawnPiece] = []
    for draft in drafts:
        piece, of_piece = drawn_piece(draft)
        pieces.append(piece)
        findings += of_piece
    return Interchange(style, tuple(pieces), unit, findings)


def _key_texts(texts: Iterable[DrawnText]) -> Iterable[str]:
    return [text.text for text in texts if layer_number(text.layer) == Layer.BOUNDARY]


def _style(loose: Sequence[DrawnText], contents: Sequence[Contents]) -> Style:
    """Read the keys of the style; some files write them into the blocks."""
    everywhere = [*loose, *(text for one in contents for text in one.texts)]
    keys = read_keys(text.text for text in everywhere)
    own = read_keys(text.text for text in loose)
    known = [pair for pair in keys.pairs if plain_key(pair[0]) in STYLE_KEYS]
    others = [pair for pair in own.pairs if plain_key(pair[0]) not in STYLE_KEYS]
    return Style(
        name=keys.get("style name"),
        sample_size=keys.get("sample size"),
        grade_rule_table=keys.get("grade rule table"),
        units=keys.get("units"),
        keys=tuple(dict.fromkeys((*known, *others))),
    )


def _largest(contents: Sequence[Contents]) -> float:
    """Return how far the vertices of the largest boundary reach."""
    sizes: list[float] = []
    for one in contents:
        points = np.concatenate(
            [vertices_of(line) for line in one.lines_on(one.boundary_layer)]
        )
        sizes += [np.ptp(points.real), np.ptp(points.imag)]
    return float(max(sizes))


def _header_unit(reading: Reading) -> float | None:
    assumed = any(finding.code == ASSUMED for finding in reading.findings)
    return None if assumed else reading.drawing.unit_mm


def _drafts(
    contents: Sequence[Contents],
    keys: Sequence[Keys],
    tolerance: float,
    corner_angle: float,
) -> tuple[list[Draft], list[Finding]]:
    drafts: list[Draft] = []
    findings: list[Finding] = []
    broken: list[str] = []
    for one, own in zip(contents, keys, strict=True):
        try:
            draft, said = draft_piece(
                one, own, tolerance=tolerance, corner_angle=corner_angle
            )
        except BrokenOutline as error:
            broken += error.messages
            continue
        drafts.append(draft)
        findings += said
    if broken:
        raise BrokenOutline(*broken)
    return drafts, findings


def _with_size(draft: Draft, style: Style) -> Draft:
    """Give a piece that names no size the sample size."""
    if draft.size is not None or style.sample_size is None:
        return draft
    return replace(draft, size=style.sample_size)


def _in_all_sizes(
    drafts: Sequence[Draft], rules: GradeRules, style: Style, unit: float
) -> tuple[list[Draft], list[Finding]]:
    scale = _rule_unit(rules, style, unit)
    drawn = {(plain_key(d.name), plain_key(d.size or "")) for d in drafts}
    every: list[Draft] = []
    findings: list[Finding] = []
    for draft in drafts:
        size = plain_key(draft.size or rules.sample_size)
        if size != plain_key(rules.sample_size):
            every.append(draft)
            continue
        sizes, said = graded_sizes(draft, rules, scale)
        findings += said
        every.append(replace(draft, size=draft.size or rules.sample_size))
        every += [
            one
            for one in sizes
            if (plain_key(one.name), plain_key(one.size or "")) not in drawn
        ]
    if len(every) == len(drafts):
        message = (
            f"{rules.name} makes no other size: no piece is in its sample size "
            f'"{one_line(rules.sample_size)}"'
        )
        findings.append(warning("no-sample", rules.name, message))
    return every, findings


def _rule_unit(rules: GradeRules, style: Style, unit: float) -> float:
    """Return the unit of the rules: that of the drawing, if they say the same."""
    said = None if rules.units is None else UNIT_WORDS.get(plain_key(rules.units))
    same = None if style.units is None else UNIT_WORDS.get(plain_key(style.units))
    return unit if said is None or said == same else said


def _remarks(
    drawing: Drawing,
    contents: Sequence[Contents],
    keys: Sequence[Keys],
    style: Style,
) -> Iterable[Finding]:
    unknown = [key for own in keys for key in own.without(PIECE_KEYS | STYLE_KEYS)]
    unknown += Keys(style.keys).without(PIECE_KEYS | STYLE_KEYS)
    if unknown:
        listed = ", ".join(f'"{one_line(key)}"' for key in dict.fromkeys(unknown))
        yield note("unknown-key", drawing.name, f"keys that are not known: {listed}")
    odd = [e.layer for e in drawing.lines if not is_known(layer_number(e.layer))]
    if odd:
        listed = ", ".join(f'"{one_line(name or "")}"' for name in dict.fromkeys(odd))
        message = f"layers with no meaning in pattern interchange, left out: {listed}"
        yield note("unknown-layer", drawing.name, message)
    bare = [
        one.block
        for one in contents
        if not (one.points_on(Layer.TURN) or one.points_on(Layer.CURVE))
    ]
    if bare:
        message = (
            f"{counted(len(bare), 'piece')} {'has' if len(bare) == 1 else 'have'} "
            "neither turn points nor curve points; corners were found by their angle"
        )
        yield note("no-marks", drawing.name, message)
    for one in contents:
        if one.copies > 1:
            message = f"the piece is inserted {one.copies} times; it is read once"
            yield note("several-inserts", one.where, message)

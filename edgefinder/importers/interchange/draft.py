"""A piece before its curves are drawn: lines with marks, which grading can move."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.findings import Finding, counted, note, warning
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.interchange.contents import Contents
from edgefinder.importers.interchange.drawn_notches import take_out_notches
from edgefinder.importers.interchange.drawn_piece import Notch
from edgefinder.importers.interchange.keys import (
    Keys,
    grade_point_rule,
)
from edgefinder.importers.interchange.layers import Layer, layer_number
from edgefinder.importers.interchange.marked_line import (
    MarkedLine,
    has_length,
    marked_line,
)
from edgefinder.importers.interchange.marks import (
    MARK_MM,
    Marks,
    mark,
    marks_of,
)
from edgefinder.importers.interchange.notches import (
    LooseNotch,
    drill_holes,
    loose_notches,
)
from edgefinder.importers.interchange.outlines import (
    ClosedLine,
    boundary_of,
    closed_lines,
)

Line = tuple[complex, complex]


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """One piece in one size, its lines given by marked vertices.

    Parameters
    ----------
    name : str
    size : str or None
    keys : Keys
    annotation : str or None
    boundary : MarkedLine
    cutouts : tuple of MarkedLine
    sewing_line : MarkedLine or None
    internal : tuple of MarkedLine
    fold_line, grain_line : (complex, complex) or None
    loose : tuple of LooseNotch
    drawn : tuple of Notch
        Those that were drawn into the boundary.
    drill_holes : ndarray of complex128, shape (n,)
    grade_points : tuple of (str, complex)
        Name of the rule, and where it holds.
    turn : Affine
        How the piece is turned, mirrored and stretched from the axes of its block, in
        which the grade rules are.
    where : str
    """

    name: str
    size: str | None
    keys: Keys
    annotation: str | None
    boundary: MarkedLine
    cutouts: tuple[MarkedLine, ...]
    sewing_line: MarkedLine | None
    internal: tuple[MarkedLine, ...]
    fold_line: Line | None
    grain_line: Line | None
    loose: tuple[LooseNotch, ...]
    drawn: tuple[Notch, ...]
    drill_holes: Complexes
    grade_points: tuple[tuple[str, complex], ...]
    turn: Affine
    where: str


def draft_piece(
    contents: Contents, keys: Keys, *, tolerance: float, corner_angle: float
) -> tuple[Draft, tuple[Finding, ...]]:
    """Read one piece from what its block draws.

    Parameters
    ----------
    contents : Contents
    keys : Keys
        Of its texts.
    tolerance : float
        Gaps of outlines that are closed, in millimetres.
    corner_angle : float
        Turn that makes a corner of a vertex with no mark, in radians.

    Raises
    ------
    BrokenOutline
        If its boundary does not close.
    """
    marks = marks_of(contents.points_on(Layer.TURN), contents.points_on(Layer.CURVE))
    lines, findings = _lines(contents, tolerance)

    def marked(line: MarkedLine) -> MarkedLine:
        return mark(line, marks, corner_angle)

    draft = Draft(
        name=keys.get("piece name") or contents.block,
        size=keys.get("size"),
        keys=keys,
        annotation=_annotation(contents, keys),
        boundary=marked(lines.boundary),
        cutouts=tuple(map(marked, lines.cutouts)),
        sewing_line=None if lines.sewing is None else marked(lines.sewing),
        internal=tuple(map(marked, lines.internal)),
        fold_line=_longest(contents.lines_on(Layer.FOLD)),
        grain_line=_longest(contents.lines_on(Layer.GRAIN)),
        loose=loose_notches(contents),
        drawn=lines.drawn,
        drill_holes=drill_holes(contents),
        grade_points=_grade_points(contents),
        turn=contents.turn,
        where=contents.where,
    )
    return draft, (*findings, *_apart(draft, marks))


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """The lines of a piece by what they are, not marked yet."""

    boundary: MarkedLine
    drawn: tuple[Notch, ...]
    cutouts: tuple[MarkedLine, ...]
    sewing: MarkedLine | None
    internal: tuple[MarkedLine, ...]


def _lines(contents: Contents, tolerance: float) -> tuple[_Lines, list[Finding]]:
    where = contents.where
    findings: list[Finding] = []
    of_boundary = contents.boundary_layer
    outer, inside, said = boundary_of(contents.lines_on(of_boundary), tolerance, where)
    findings += said
    if of_boundary == Layer.SEWING:
        message = (
            "it has no boundary on layer 1; the sewing line on layer 14 was taken as "
            "the cut line, so that no seam allowance is in it"
        )
        findings.append(warning("sewing-line-only", where, message))
    holes, loose_holes, said = closed_lines(
        contents.lines_on(Layer.CUTOUT), tolerance, where
    )
    findings += said
    sewing, loose_sewing, said = closed_lines(
        () if of_boundary == Layer.SEWING else contents.lines_on(Layer.SEWING),
        tolerance,
        where,
    )
    findings += said
    boundary, drawn = take_out_notches(marked_line(outer.path, outer.source))
    if drawn:
        were = "was" if len(drawn) == 1 else "were"
        message = (
            f"{counted(len(drawn), 'notch', 'notches')} drawn into the boundary {were} "
            "taken out of it"
        )
        findings.append(note("drawn-notch", where, message))
    boundary, sewing_line, said = _cut_and_sewing(boundary, sewing, where)
    findings += said
    loose = (*loose_holes, *loose_sewing)
    if loose:
        do = "does not close; it is" if len(loose) == 1 else "do not close; they are"
        message = f"{counted(len(loose), 'line')} on layers 11 and 14 {do} kept inside"
        findings.append(warning("open-inner-line", where, message))
    paths = [(line.path, line) for line in (*loose, *contents.lines_on(Layer.INTERNAL))]
    paths += [(line.path, line.source) for line in (*inside, *sewing[1:])]
    return _Lines(
        boundary,
        drawn,
        tuple(marked_line(line.path, line.source) for line in holes),
        sewing_line,
        tuple(
            line
            for path, source in paths
            if has_length(line := marked_line(path, source))
        ),
    ), findings


def _cut_and_sewing(
    boundary: MarkedLine, sewing: Sequence[ClosedLine], where: str
) -> tuple[MarkedLine, MarkedLine | None, tuple[Finding, ...]]:
    """Tell the cut line, which lies outside, from the sewing line."""
    if not sewing:
        return boundary, None, ()
    line, _ = take_out_notches(marked_line(sewing[0].path, sewing[0].source))
    if _area(line) <= _area(boundary):
        return boundary, line, ()
    message = (
        "the line on layer 14 lies outside the boundary on layer 1; the outer one was "
        "taken as the cut line, the inner one as the sewing line"
    )
    return line, boundary, (warning("sewing-line-outside", where, message),)


def _area(line: MarkedLine) -> float:
    # Of the polygon: enough to tell which line lies outside.
    doubled = np.conj(line.points) * np.roll(line.points, -1)
    return abs(float(doubled.imag.sum())) / 2


def _annotation(contents: Contents, keys: Keys) -> str | None:
    said = keys.get("annotation")
    if said is not None:
        return said
    texts = [
        text.text
        for text in contents.texts
        if layer_number(text.layer) == Layer.ANNOTATION
    ]
    return "; ".join(texts) or None


def _longest(lines: Sequence[DrawnLine]) -> Line | None:
    """Return the ends of the longest of some lines."""
    ends = [(line.path.start, line.path.end) for line in lines]
    ends = [(start, end) for start, end in ends if start != end]
    return max(ends, key=lambda pair: abs(pair[1] - pair[0]), default=None)


def _grade_points(contents: Contents) -> tuple[tuple[str, complex], ...]:
    return tuple(
        (rule, text.at)
        for text in contents.texts
        if (rule := grade_point_rule(text.text)) is not None
    )


def _apart(draft: Draft, marks: Marks) -> Iterator[Finding]:
    """Say how many turn points stand on no line of the piece."""
    lines = [draft.boundary, *draft.cutouts, *draft.internal]
    if draft.sewing_line is not None:
        lines.append(draft.sewing_line)
    vertices = np.concatenate([line.points for line in lines])
    apart = [at for at in marks.turn if np.abs(vertices - at).min() > MARK_MM]
    apart = [
        at
        for at in apart
        if not any(
            abs(at - notch.at) <= (notch.depth or 0) + MARK_MM for notch in draft.drawn
        )
    ]
    if apart:
        first = complex(apart[0])
        stand = (
            "stands on no line" if len(apart) == 1 else "stand on no line, the first"
        )
        message = (
            f"{counted(len(apart), 'turn point')} on layer 2 {stand} at "
            f"({first.real:.1f}, {first.imag:.1f}) mm"
        )
        yield note("turn-point-apart", draft.where, message)

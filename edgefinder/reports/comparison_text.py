"""A comparison as text: by size, only what differs."""

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from edgefinder.constants import MM_PER_INCH
from edgefinder.reports.amounts import cloth
from edgefinder.reports.differences import (
    Change,
    Comparison,
    Difference,
    Figure,
    Kind,
    SizeComparison,
    Thing,
)
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.reports.release_rows import size_title
from edgefinder.units import Rounding, Unit, format_length, rounded

_WORDS: Final = MappingProxyType(
    {
        "perimeter_mm": "once round",
        "cut": "cut",
        "finish": "finish",
        "allowance_mm": "allowance",
        "bound_length_mm": "bound",
        "too_tight_places": "places too tight",
        "tape": "tape",
        "closed": "closed",
        "times": "times",
        "order": "order of edges",
        "tape_to_cut_mm": "tape to cut",
        "finished_width_mm": "finished width",
        "cut_width_mm": "cut width",
        "fold": "fold",
        "grain": "grain",
        "cloth": "cloth",
        "total_mm": "total",
        "usable_width_mm": "usable width",
        "strip_seam_mm": "strip seam",
        "least_waste_buy_mm": "buy, least waste",
        "least_cloth_buy_mm": "buy, least cloth",
        "packets": "packets",
    }
)
"""What a figure is called; the length of an edge has no other name than its own."""

_MEASURED: Final = frozenset(
    {
        Change.LONGER,
        Change.SHORTER,
        Change.WIDER,
        Change.NARROWER,
        Change.MORE,
        Change.LESS,
    }
)
"""Changes that have an amount."""

_TO_CUT: Final = frozenset({"tape_to_cut_mm", "total_mm"})
"""Lengths that are cut: rounded up, as a schedule rounds them."""

_CHOSEN: Final = frozenset(
    {
        "allowance_mm",
        "finished_width_mm",
        "cut_width_mm",
        "usable_width_mm",
        "strip_seam_mm",
    }
)
"""Widths, which have no tolerance: written to the finest mark that a schedule has."""

_PARTS_OF_INCH: Final = (8, 16, 32, 64)
_WIDTH_PARTS_OF_INCH: Final = 16
_WIDTH_PARTS_OF_MM: Final = 10


def comparison_text(
    comparison: Comparison, names: tuple[str, str], tolerance: str, unit: Unit
) -> str:
    """Write what differs.

    Parameters
    ----------
    comparison : Comparison
    names : tuple of str
        Of the old and of the new file.
    tolerance : str
        As it was typed, ``1 mm``.
    unit : Unit

    Returns
    -------
    str
        Size by size; one line if nothing differs.
    """
    what = "" if comparison.is_schedule else "pieces and edges of "
    count = len(comparison.sizes)
    sizes = f"{what}{count} size{'' if count == 1 else 's'}"
    if comparison.is_same:
        text = f"nothing differs by more than {tolerance}: {sizes} compared"
        return "\n".join([*paragraph(text), ""])
    old, new = names
    lines = paragraph(f"old: {old}", hanging="  ")
    lines += paragraph(f"new: {new}", hanging="  ")
    lines += paragraph(
        f"{sizes} compared; lengths that differ by more than {tolerance}"
    )
    ruler = _ruler(unit, comparison.within)
    for size in comparison.sizes:
        if not size.is_same:
            lines += ["", *_size(size, ruler)]
    same = [size.size for size in comparison.sizes if size.is_same]
    if same:
        lines += ["", *paragraph(f"no difference in size {', '.join(same)}")]
    return "\n".join([*lines, ""])


@dataclass(frozen=True, slots=True)
class _Ruler:
    """The marks that lengths are read off at: so many to the inch or millimetre."""

    unit: Unit
    parts: int
    rounding: Rounding = Rounding.NEAREST

    def marks(self, length: float) -> int:
        """Return the mark of a length in millimetres."""
        whole = MM_PER_INCH if self.unit is Unit.INCH else 1.0
        return rounded(length * self.parts / whole, self.rounding)

    def written(self, marks: int) -> str:
        """Write the length at a mark."""
        if self.unit is Unit.INCH:
            length = marks / self.parts * MM_PER_INCH
            return format_length(length, self.unit, denominator=self.parts)
        return format_length(marks / self.parts, self.unit, parts=self.parts)


def _ruler(unit: Unit, within: float) -> _Ruler:
    """Choose marks so close that what differs by more is seen to differ."""
    if unit.is_metric:
        return _Ruler(unit, 1 if within >= 1 else 10)
    enough = [parts for parts in _PARTS_OF_INCH if MM_PER_INCH / parts <= within]
    return _Ruler(unit, min(enough, default=_PARTS_OF_INCH[-1]))


def _ruler_for(what: str, ruler: _Ruler) -> _Ruler:
    """Choose the marks for a figure: those of a schedule where it is rounded so."""
    if what in _TO_CUT:
        return replace(ruler, rounding=Rounding.UP)
    if what in _CHOSEN:
        is_inch = ruler.unit is Unit.INCH
        least = _WIDTH_PARTS_OF_INCH if is_inch else _WIDTH_PARTS_OF_MM
        return replace(ruler, parts=max(ruler.parts, least))
    return ruler


def _size(size: SizeComparison, ruler: _Ruler) -> list[str]:
    lines = heading(
        f"{size_title(size.size)}{f': {size.change}' if size.change else ''}"
    )
    if size.change is Change.GONE:
        return lines
    rows = [
        (
            _name(difference),
            _figure(difference, difference.old, ruler),
            _figure(difference, difference.new, ruler),
            _change(difference, ruler),
        )
        for difference in size.differences
    ]
    return lines + columns(("", "old", "new", "difference"), rows)


def _name(difference: Difference) -> str:
    is_run = difference.thing.kind is Kind.RUN
    word = _WORDS.get(difference.what, "edges" if is_run else "")
    return f"{_thing(difference.thing)}{', ' if word else ''}{word}"


def _thing(thing: Thing) -> str:
    edge = f"{thing.piece} {thing.edge}"
    names = {
        Kind.PIECE: thing.piece or "",
        Kind.EDGE: edge,
        Kind.EDGE_IN_RUN: f"{edge} in {thing.run}",
        Kind.RUN: f"run {thing.run}",
        Kind.TAPE: f"tape {thing.tape}",
        Kind.FABRIC: f"fabric for {thing.tape}",
    }
    return names[thing.kind]


def _figure(difference: Difference, value: Figure | None, ruler: _Ruler) -> str:
    if value is None or difference.what == "order":  # whole lists of edges
        return "-" if value is None else ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) or not difference.what.endswith("_mm"):
        return str(value)
    if difference.what.endswith("_buy_mm"):
        return cloth(value, ruler.unit)
    ruler = _ruler_for(difference.what, ruler)
    return ruler.written(ruler.marks(value))


def _change(difference: Difference, ruler: _Ruler) -> str:
    by = difference.by
    if by is None or difference.change not in _MEASURED:
        return str(difference.change)
    return f"{_amount(difference, abs(by), ruler)} {difference.change}"


def _amount(difference: Difference, by: float, ruler: _Ruler) -> str:
    """Write how far two figures are apart, so that the ones shown add up."""
    if not difference.what.endswith("_mm"):
        return f"{by:.0f}"
    if difference.what.endswith("_buy_mm"):
        return cloth(by, ruler.unit)
    ruler = _ruler_for(difference.what, ruler)
    old, new = difference.old or 0, difference.new or 0
    marks = abs(ruler.marks(float(new)) - ruler.marks(float(old)))
    return ruler.written(marks) if marks else f"less than {ruler.written(1)}"

"""What happens to every edge, and why, as text."""

from collections.abc import Sequence

from edgefinder.classifier.sizes import ONE_SIZE
from edgefinder.classifier.tags import TaggedPiece, TaggedSize
from edgefinder.reports.amounts import length
from edgefinder.reports.layout import WIDTH, columns, heading, paragraph
from edgefinder.units import Unit

NOTHING_SAID = "nothing is said of it"
"""Of an edge that is a seam for want of a rule."""

GAP = "   "
INDENT = " " * 6
"""Before a reason: beside its edge, or under it where there is no room."""


def tags_text(sizes: Sequence[TaggedSize], unit: Unit) -> str:
    """Write every edge of every piece with its finish and the rule that gives it.

    Parameters
    ----------
    sizes : sequence of TaggedSize
        Lengths are those of the first; of the others only what is otherwise is said.
    unit : Unit
    """
    first, *others = sizes
    lines: list[str] = []
    for tagged in first.pieces:
        lines += [*_piece(tagged, first.size, unit), ""]
    for size in others:
        for tagged in size.pieces:
            model = _same(tagged, first)
            if model is None or _finishes(model) != _finishes(tagged):
                lines += [*_piece(tagged, size.size, unit), ""]
    names = ", ".join(size.size for size in sizes)
    if others:
        said = f"lengths are those of size {first.size}; tags hold for: {names}"
        lines += paragraph(said)
    return "\n".join(lines) + "\n"


def _of_size(size: str) -> str:
    return "" if size == ONE_SIZE else f", size {size}"


def _same(tagged: TaggedPiece, size: TaggedSize) -> TaggedPiece | None:
    return next((t for t in size.pieces if t.piece.name == tagged.piece.name), None)


def _finishes(tagged: TaggedPiece) -> list[tuple[str, str]]:
    """Return label and finish of each edge, once where a size has a corner more."""
    pairs = [
        (edge.label, str(finish))
        for edge, finish in zip(tagged.piece.edges, tagged.finishes, strict=True)
    ]
    return list(dict.fromkeys(pairs))


def _piece(tagged: TaggedPiece, size: str, unit: Unit) -> list[str]:
    rows = [
        (
            edge.label,
            str(finish),
            length(edge.length, unit),
            length(allowance, unit) if allowance else "-",
        )
        for edge, finish, allowance in zip(
            tagged.piece.edges, tagged.finishes, tagged.allowances, strict=True
        )
    ]
    table = columns(("edge", "finish", "length", "allowance"), rows, left=2)
    lines = [
        *heading(f"{tagged.piece.name}{_of_size(size)}, cut {tagged.cut}"),
        table[0],
    ]
    for row, reasons in zip(table[1:], tagged.reasons, strict=True):
        why = "; ".join(reason.text for reason in reasons) or NOTHING_SAID
        is_short = len(row) + len(GAP) + len(why) <= WIDTH
        lines += [row + GAP + why] if is_short else [row, *paragraph(why, INDENT)]
    return lines

"""What happens to every edge, and why, as plain records."""

from collections.abc import Sequence

from edgefinder.classifier.tags import TaggedPiece, TaggedSize
from edgefinder.reports.records import Record


def tags_records(sizes: Sequence[TaggedSize]) -> list[Record]:
    """Return every edge of every size with its finish and the rules that give it."""
    return [
        {"size": size.size, "pieces": [_piece(tagged) for tagged in size.pieces]}
        for size in sizes
    ]


def _piece(tagged: TaggedPiece) -> Record:
    return {
        "name": tagged.piece.name,
        "cut": tagged.cut,
        "edges": [
            {
                "number": edge.number,
                "edge": edge.label,
                "known_as": list(edge.known_as),
                "length_mm": edge.length,
                "finish": str(finish),
                "allowance_mm": allowance,
                "why": [
                    {"rule": reason.said, "line": reason.line} for reason in reasons
                ],
            }
            for edge, finish, allowance, reasons in zip(
                tagged.piece.edges,
                tagged.finishes,
                tagged.allowances,
                tagged.reasons,
                strict=True,
            )
        ],
    }

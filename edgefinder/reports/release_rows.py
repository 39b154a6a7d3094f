"""The rows of a release's tables, and its sentences, as every report prints them."""

from collections.abc import Sequence
from typing import Final

from edgefinder.binding.cloth import WORKING_DEFAULTS, Cloth
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import InsideCorner, Origin
from edgefinder.classifier.sizes import ONE_SIZE
from edgefinder.pattern.pieces import Edge
from edgefinder.reports.amounts import cloth, length, to_cut, width, width_at_most
from edgefinder.reports.place_text import edge_name
from edgefinder.schedule.fabric_need import usable_width_of
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow, SizeSchedule, TapeRow
from edgefinder.schedule.uses import EdgeUse, edge_uses
from edgefinder.units import Unit
from edgefinder.yardage.tape_length import TapeLength

COVER_HEAD: Final = (
    "size",
    "tape",
    "tape to cut",
    "fabric to buy",
    "lies flat up to",
    "watch",
)
"""Columns of the table for the back cover; the first two are names."""

EDGE_HEAD: Final = (
    "edge",
    "cut line",
    "bound",
    "x",
    "inside R",
    "outside R",
    "verdict",
)
"""Columns of the table of bound edges."""


def cloth_sentences(cloths: Sequence[Cloth]) -> list[str]:
    """Say where the limits of cloths come from."""
    said: list[str] = []
    if any(one.is_default for one in cloths):
        said.append(WORKING_DEFAULTS)
    for one in dict.fromkeys(cloths):
        if not one.is_default:
            whose = "your own list" if one.origin is Origin.OWN_LIST else "the job file"
            said.append(f"stretch and ease limits of {one.name} are those of {whose}")
    return said


def tape_words(tape: Tape, unit: Unit) -> str:
    """Describe a tape: width, fold, grain, cloth and its limits."""
    limits = tape.cloth.along(tape.grain)
    return (
        f'tape "{tape.name}": {width(tape.finished_width, unit)} finished, '
        f"{tape.fold}, cut {width(tape.cut_width, unit)} wide, {tape.grain}, "
        f"{tape.cloth.name}: stretch {100 * limits.ok.stretch:g} % easily, "
        f"{100 * limits.limit.stretch:g} % at most; ease {100 * limits.ok.ease:g} % "
        f"easily, {100 * limits.limit.ease:g} % at most"
    )


def cover_words(release: Release) -> str:
    """Explain the columns of the table for the back cover."""
    usable = length(usable_width_of(release.job.fabric), release.job.unit)
    return (
        f"fabric: {usable} usable, by the method that takes least; lies flat up "
        "to: widest finished width without steam; watch: places that are not flat"
    )


def cover_row(size: SizeSchedule, row: TapeRow, unit: Unit) -> tuple[str, ...]:
    """Return the row of one tape in one size for the back cover."""
    best = row.plan.least_cloth
    watched = sum(
        len(run.judged.places) for run in size.runs if run.run.tape is row.tape
    )
    return (
        size.size,
        row.tape.name,
        to_cut(row.total, unit),
        "-" if best is None else cloth(best.buy, unit),
        width_at_most(row.widest, unit),
        str(watched),
    )


def edge_rows(size: SizeSchedule, unit: Unit) -> dict[str, list[tuple[str, ...]]]:
    """Return the rows of the bound edges of every piece, by its name."""
    uses = edge_uses(size.runs)
    return {
        tagged.piece.name: [
            _edge_row(tagged.piece.name, edge, uses[edge], unit)
            for edge in tagged.piece.edges
            if edge in uses
        ]
        for tagged in size.tagged.pieces
    }


def _edge_row(piece: str, edge: Edge, use: EdgeUse, unit: Unit) -> tuple[str, ...]:
    finished = use.finished
    inside, outside = edge.tightest_inside, edge.tightest_outside
    across = " fold" if finished.is_unfolded else ""
    return (
        f"{piece} {edge.label}{across}",
        length(finished.cut_length, unit),
        length(finished.length, unit),
        str(use.times),
        length(inside.radius if inside else None, unit),
        length(outside.radius if outside else None, unit),
        str(use.verdict),
    )


def run_table(
    size: SizeSchedule, unit: Unit
) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return head and rows of the runs: the parts of a tape that any of them has."""
    parts = [_tape_parts(row.tape_length) for row in size.runs]
    shown = [name for name in parts[0] if any(part[name] for part in parts)]
    rows = [
        (
            row.run.name,
            *(length(part[name] or None, unit) for name in shown),
            to_cut(row.tape_length.total, unit),
            str(row.run.settings.times),
        )
        for row, part in zip(size.runs, parts, strict=True)
    ]
    plus = [name if name == "edge" else f"+ {name}" for name in shown]
    return ("run", *plus, "= tape", "x"), rows


def size_title(size: str) -> str:
    """Name a size at the head of what is said of it."""
    return "One size" if size == ONE_SIZE else f"Size {size}"


def size_words(size: str) -> str:
    """Name a size within a sentence; a drawing that names none has one size."""
    return ONE_SIZE if size == ONE_SIZE else f"size {size}"


def run_names(sizes: Sequence[SizeSchedule]) -> tuple[str, ...]:
    """Return the names of all runs of some sizes, in the order of the job."""
    return tuple(dict.fromkeys(row.run.name for size in sizes for row in size.runs))


def total_words(row: TapeRow, unit: Unit) -> str:
    """Write how much tape is cut in all, and how the shop counts it."""
    # In centimetres the shop counts like the ruler.
    shop = "" if unit is Unit.CENTIMETRE else f" ({cloth(row.total, unit)})"
    return f"{to_cut(row.total, unit)}{shop}"


def _tape_parts(tape: TapeLength) -> dict[str, float]:
    return {
        "edge": tape.edge,
        "feed": tape.feed,
        "mitres": tape.mitres,
        "join": tape.join,
        "tails": tape.tails,
        "ends": tape.ends,
        "ties": tape.ties,
    }


def order_words(row: RunRow) -> str:
    """Write the edges of a run in sewing order, its ends, tape and corners."""
    edges = ", ".join(edge_name(edge) for edge in row.run.edges)
    settings = row.run.settings
    if settings.is_closed:
        ends = "closed"
    elif settings.start == settings.end:
        ends = f"{settings.start} at both ends"
    else:
        ends = f"{settings.start} at the start, {settings.end} at the end"
    return f"{row.run.name}: {edges} ({ends}; tape {row.run.tape.name}{_corners(row)})"


def _corners(row: RunRow) -> str:
    inside = sum(corner.turn < 0 for corner in row.run.corners)
    outside = len(row.run.corners) - inside
    clipped = inside and row.run.settings.inside_corners is InsideCorner.CLIP
    text = ""
    for side, count in (("outside", outside), ("inside", inside)):
        plural = "" if count == 1 else "s"
        way = "clip and pull straight" if side == "inside" and clipped else "mitre"
        text += f"; {count} {side} corner{plural} to {way}" if count else ""
    return text

"""The schedule of a release as text."""

from collections.abc import Sequence

from edgefinder import __version__
from edgefinder.binding.cloth import WORKING_DEFAULTS, Cloth
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import InsideCorner, Origin
from edgefinder.reports.amounts import cloth, length, to_cut, width, width_at_most
from edgefinder.reports.fabric_text import packets_lines, plan_lines
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.reports.place_text import edge_name, place_lines, widths_lines
from edgefinder.schedule.release import Release, RunRow, SizeSchedule, TapeRow
from edgefinder.schedule.uses import edge_use
from edgefinder.units import Unit
from edgefinder.yardage.tape_length import TapeLength


def schedule_text(release: Release) -> str:
    """Write the whole schedule: the back cover first, then size by size."""
    lines = [
        *heading(release.job.name, "="),
        *_about(release),
        "",
        *_back_cover(release),
    ]
    for size in release.sizes:
        lines += ["", *size_lines(size, release.job.unit)]
    lines += ["", *heading("Cautions")]
    for caution in release.cautions:
        lines += paragraph(caution, "- ", "  ")
    return "\n".join([*lines, ""])


def curves_text(sizes: Sequence[SizeSchedule], unit: Unit) -> str:
    """Write the places that do not lie flat, and the widths that would."""
    lines: list[str] = []
    for size in sizes:
        lines += heading(f"Size {size.size}", "=")
        for row in size.runs:
            lines += _run_curves(row, unit)
        for tape in size.tapes:
            lines += paragraph(
                f'Places on all runs of tape "{tape.tape.name}" by width:'
            )
            lines += [*widths_lines(tape.widths, unit), ""]
    lines += _cloths_from([t.tape.cloth for size in sizes for t in size.tapes])
    return "\n".join([*lines, ""])


def _run_curves(row: RunRow, unit: Unit) -> list[str]:
    tape = row.run.tape
    lines = heading(f"{row.run.name}: tape {width(tape.finished_width, unit)} finished")
    edges = ", ".join(edge_name(edge) for edge in row.run.edges)
    lines += paragraph(f"along {edges}", hanging="  ")
    for number, report in enumerate(row.judged.places, start=1):
        lines += place_lines(number, report, unit)
    if not row.judged.places:
        lines.append("lies flat everywhere")
    lines += [
        f"widest tape that lies flat everywhere: {width_at_most(row.widest, unit)}",
        "",
    ]
    return lines


def _about(release: Release) -> list[str]:
    job = release.job
    files = ", ".join(path.name for path in job.drawings)
    tapes = {row.tape.name: row.tape for size in release.sizes for row in size.tapes}
    lines = paragraph(f"drawn in {files}; edgefinder {__version__}")
    for tape in tapes.values():
        lines += paragraph(_tape_words(tape, job.unit), hanging="  ")
    return lines + _cloths_from([tape.cloth for tape in tapes.values()], hanging="  ")


def _cloths_from(cloths: Sequence[Cloth], hanging: str = "") -> list[str]:
    """Say where the limits of cloths come from."""
    lines: list[str] = []
    if any(one.is_default for one in cloths):
        lines += paragraph(WORKING_DEFAULTS, hanging=hanging)
    for one in dict.fromkeys(cloths):
        if not one.is_default:
            whose = "your own list" if one.origin is Origin.OWN_LIST else "the job file"
            said = f"stretch and ease limits of {one.name} are those of {whose}"
            lines += paragraph(said, hanging=hanging)
    return lines


def _tape_words(tape: Tape, unit: Unit) -> str:
    limits = tape.cloth.along(tape.grain)
    return (
        f'tape "{tape.name}": {width(tape.finished_width, unit)} finished, '
        f"{tape.fold}, cut {width(tape.cut_width, unit)} wide, {tape.grain}, "
        f"{tape.cloth.name}: stretch {100 * limits.ok.stretch:g} % easily, "
        f"{100 * limits.limit.stretch:g} % at most; ease {100 * limits.ok.ease:g} % "
        f"easily, {100 * limits.limit.ease:g} % at most"
    )


def _back_cover(release: Release) -> list[str]:
    unit = release.job.unit
    rows = [_cover_row(size, row, unit) for size in release.sizes for row in size.tapes]
    usable = length(release.job.fabric.usable_width, unit)
    return [
        *heading("All sizes"),
        *columns(
            (
                "size",
                "tape",
                "tape to cut",
                "fabric to buy",
                "lies flat up to",
                "watch",
            ),
            rows,
            left=2,
        ),
        *paragraph(
            f"fabric: {usable} usable, by the method that takes least; lies flat up "
            "to: widest finished width without steam; watch: places that are not flat"
        ),
    ]


def _cover_row(size: SizeSchedule, row: TapeRow, unit: Unit) -> tuple[str, ...]:
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


def size_lines(size: SizeSchedule, unit: Unit) -> list[str]:
    """Write one size: bound edges, runs, tapes with their fabric, places to watch."""
    lines = [*heading(f"Size {size.size}", "="), "", *heading("Bound edges")]
    lines += _edges(size, unit)
    lines += ["", *heading("Runs"), *_runs(size, unit)]
    for row in size.tapes:
        lines += ["", *heading(f'Tape "{row.tape.name}"'), *_tape(row, unit)]
    places = [report for row in size.runs for report in row.judged.places]
    lines += ["", *heading("Places to watch")]
    for number, report in enumerate(places, start=1):
        lines += place_lines(number, report, unit)
    return lines if places else [*lines, "none: the tape lies flat everywhere"]


def _edges(size: SizeSchedule, unit: Unit) -> list[str]:
    rows = []
    for tagged in size.tagged.pieces:
        for edge in tagged.piece.edges:
            use = edge_use(edge, size.runs)
            if use is None:
                continue
            finished = use.finished
            inside, outside = edge.tightest_inside, edge.tightest_outside
            across = " fold" if finished.is_unfolded else ""
            rows.append(
                (
                    f"{tagged.piece.name} {edge.label}{across}",
                    length(finished.cut_length, unit),
                    length(finished.length, unit),
                    str(use.times),
                    length(inside.radius if inside else None, unit),
                    length(outside.radius if outside else None, unit),
                    str(use.verdict),
                )
            )
    head = ("edge", "cut line", "bound", "x", "inside R", "outside R", "verdict")
    return columns(head, rows)


def _runs(size: SizeSchedule, unit: Unit) -> list[str]:
    """Write every part of a tape in a column of its own, if any run has it."""
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
    lines = columns(("run", *plus, "= tape", "x"), rows)
    for row in size.runs:
        lines += paragraph(_order(row), "  ", "    ")
    return lines


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


def _order(row: RunRow) -> str:
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


def _tape(row: TapeRow, unit: Unit) -> list[str]:
    # In centimetres the shop counts like the ruler.
    shop = "" if unit is Unit.CENTIMETRE else f" ({cloth(row.total, unit)})"
    lines = [f"total {to_cut(row.total, unit)}{shop}", ""]
    if row.packets is not None and row.tape.packet_length is not None:
        packed = packets_lines(row.packets, row.tape.packet_length, unit)
        lines += [*packed, ""]
    lines += [*plan_lines(row.plan, unit), "", "places by finished width:"]
    return [*lines, *widths_lines(row.widths, unit)]

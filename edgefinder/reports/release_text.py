"""The schedule of a release as text."""

from collections.abc import Sequence
from itertools import chain

from edgefinder import __version__
from edgefinder.binding.cloth import Cloth
from edgefinder.reports.amounts import width, width_at_most
from edgefinder.reports.cloth_text import (
    begin_lines,
    cover_cloth_lines,
    one_cut_lines,
    there_lines,
)
from edgefinder.reports.fabric_text import packets_lines, plan_lines
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.reports.place_text import edge_name, place_lines, widths_lines
from edgefinder.reports.release_rows import (
    COVER_HEAD,
    EDGE_HEAD,
    cloth_sentences,
    cover_row,
    cover_words,
    edge_rows,
    order_words,
    run_table,
    size_title,
    tape_words,
    total_words,
)
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow, SizeSchedule, TapeRow
from edgefinder.units import Unit


def schedule_text(release: Release) -> str:
    """Write the whole schedule: the back cover first, then size by size."""
    lines = [
        *heading(release.job.name, "="),
        *_about(release),
        "",
        *_back_cover(release),
        "",
        *cover_cloth_lines(release),
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
        lines += heading(size_title(size.size), "=")
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
        lines += paragraph(tape_words(tape, job.unit), hanging="  ")
    return lines + _cloths_from([tape.cloth for tape in tapes.values()], hanging="  ")


def _cloths_from(cloths: Sequence[Cloth], hanging: str = "") -> list[str]:
    """Say where the limits of cloths come from."""
    lines: list[str] = []
    for sentence in cloth_sentences(cloths):
        lines += paragraph(sentence, hanging=hanging)
    return lines


def _back_cover(release: Release) -> list[str]:
    unit = release.job.unit
    rows = [cover_row(size, row, unit) for size in release.sizes for row in size.tapes]
    return [
        *heading("All sizes"),
        *columns(COVER_HEAD, rows, left=2),
        *paragraph(cover_words(release)),
    ]


def size_lines(size: SizeSchedule, unit: Unit) -> list[str]:
    """Write one size: bound edges, runs, tapes with their fabric, places to watch."""
    lines = [*heading(size_title(size.size), "="), "", *heading("Bound edges")]
    rows = list(chain.from_iterable(edge_rows(size, unit).values()))
    lines += columns(EDGE_HEAD, rows)
    lines += ["", *heading("Runs"), *_runs(size, unit)]
    for row in size.tapes:
        lines += ["", *heading(f'Tape "{row.tape.name}"'), *_tape(row, unit)]
    lines += one_cut_lines(size.cuts, unit)
    places = [report for row in size.runs for report in row.judged.places]
    lines += ["", *heading("Places to watch")]
    for number, report in enumerate(places, start=1):
        lines += place_lines(number, report, unit)
    return lines if places else [*lines, "none: the tape lies flat everywhere"]


def _runs(size: SizeSchedule, unit: Unit) -> list[str]:
    lines = columns(*run_table(size, unit))
    for row in size.runs:
        lines += paragraph(order_words(row), "  ", "    ")
    return lines


def _tape(row: TapeRow, unit: Unit) -> list[str]:
    lines = [f"total {total_words(row, unit)}", ""]
    if row.packets is not None and row.tape.packet_length is not None:
        packed = packets_lines(row.packets, row.tape.packet_length, unit)
        lines += [*packed, ""]
    lines += [*plan_lines(row.plan, unit), *begin_lines(row, unit)]
    lines += there_lines(row, unit)
    lines += ["", "places by finished width:"]
    return [*lines, *widths_lines(row.widths, unit)]

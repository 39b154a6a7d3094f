"""What would lie flat at another finished width: nothing of it is written."""

from dataclasses import replace
from typing import Any

from edgefinder.classifier.tags import TaggedSize
from edgefinder.curvature.judgement import judge_runs
from edgefinder.curvature.verdict import Verdict
from edgefinder.errors import SettingsError, did_you_mean
from edgefinder.memory import Memory
from edgefinder.page.piece_data import piece_data
from edgefinder.reports.amounts import width as width_text
from edgefinder.reports.release_rows import run_names
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import SizeSchedule
from edgefinder.units import parse_length

Data = dict[str, Any]


def tried_width(
    release: Release, size: str, tape: str, typed: str, memory: Memory
) -> Data:
    """Judge the runs of a tape at another finished width.

    Parameters
    ----------
    release : Release
    size, tape : str
    typed : str
        A length with its unit.
    memory : Memory
        Of the job file.

    Returns
    -------
    dict
        How many places there are, and where they lie on the pieces.

    Raises
    ------
    SettingsError
        If there is no such size or tape, or the width is no length.
    """
    wide = parse_length(typed)
    if wide <= 0:
        raise SettingsError(f'"{typed}": a tape has a width')
    shown = next((one for one in release.sizes if one.size == size), None)
    if shown is None:
        known = [one.size for one in release.sizes]
        raise SettingsError(f'there is no size "{size}"{did_you_mean(size, known)}')
    rows = [row for row in shown.runs if row.run.tape.name == tape]
    if not rows:
        known = [row.tape.name for row in shown.tapes]
        raise SettingsError(f'no run has a tape "{tape}"{did_you_mean(tape, known)}')
    other = replace(rows[0].run.tape, finished_width=wide)
    judged = judge_runs([replace(row.run, tape=other) for row in rows])
    tried = [replace(row, judged=one) for row, one in zip(rows, judged, strict=True)]
    said = [report.place.verdict for one in judged for report in one.places]
    steam = said.count(Verdict.STEAM)
    names = {edge.finished.piece.name for row in rows for edge in row.run.edges}
    pieces = tuple(one for one in shown.tagged.pieces if one.piece.name in names)
    part = TaggedSize(size, pieces, (), ())
    others = [row for row in shown.runs if row.run.tape.name != tape]
    drawn = piece_data(
        SizeSchedule(size, part, (*tried, *others), ()),
        run_names(release.sizes),
        release.job.unit,
        memory,
    )
    return {
        "tape": tape,
        "width": width_text(wide, release.job.unit),
        "steam": steam,
        "tooTight": len(said) - steam,
        "pieces": [{key: one[key] for key in ("name", "bands")} for one in drawn],
    }

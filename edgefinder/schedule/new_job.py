"""Writing the job file with which work on a drawing begins."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from edgefinder.classifier.editing.settings_edits import TOP, set_key
from edgefinder.classifier.job_file import drawing_job
from edgefinder.classifier.template import drawing_text, job_text
from edgefinder.files import write_new
from edgefinder.findings import Finding
from edgefinder.schedule.reading import read_pattern
from edgefinder.schedule.telling import Tell, silent
from edgefinder.units import Unit


def write_new_job(
    drawings: Sequence[Path], target: Path, unit: Unit, tell: Tell = silent
) -> tuple[Finding, ...]:
    """Write a job file for drawings, wherever they lie.

    Parameters
    ----------
    drawings : sequence of Path
    target : Path
        Of the job file; it must not be there yet.
    unit : Unit
        That reports are to be printed in.
    tell : Tell
        Told of every drawing.

    Returns
    -------
    tuple of Finding
        Of the drawings.

    Raises
    ------
    EdgefinderError
        If a drawing cannot be read, or the job file is there already.
    """
    job = replace(drawing_job(drawings[0]), drawings=tuple(drawings))
    pattern = read_pattern(job, tell=tell)
    text = job_text(pattern.sizes, drawings[0], target, unit=unit)
    if len(drawings) > 1:
        listed = [drawing_text(drawing, target) for drawing in drawings]
        text = set_key(text, TOP, "", "drawings", listed)
    write_new(target, text)
    return pattern.findings

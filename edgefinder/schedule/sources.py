"""The files that a schedule is made from, and whether they have changed."""

from collections.abc import Iterable
from pathlib import Path

from edgefinder.classifier.job import Job
from edgefinder.importers.interchange.grade_rules import find_grade_rules

Stamp = tuple[int, int, int] | None
"""What changes when a file is written; None if it is not there."""

Stamps = tuple[tuple[Path, Stamp], ...]


def drawing_files(job: Job) -> tuple[Path, ...]:
    """Return the drawings of a job, each with the grade rules beside it."""
    found: dict[Path, None] = {}
    for path in job.drawings:
        rules = find_grade_rules(path)
        found |= dict.fromkeys((path,) if rules is None else (path, rules))
    return tuple(found)


def source_files(job: Job) -> tuple[Path, ...]:
    """Return all drawings of a job with what is read beside them, scraps too."""
    scraps = job.fabric.scrap_drawing
    if not scraps:
        return drawing_files(job)
    return (*drawing_files(job), job.path.parent / scraps)


def stamps(paths: Iterable[Path]) -> Stamps:
    """Return something for every file that changes when it is written."""
    return tuple((path, _stamp(path)) for path in paths)


def _stamp(path: Path) -> Stamp:
    try:
        there = path.stat()
    except (OSError, ValueError):
        return None  # told when it is read
    return there.st_mtime_ns, there.st_size, there.st_ino

"""The demo's apron begun anew, for pages on which the rest of it is pointed at."""

import shutil
from pathlib import Path
from typing import Final, NamedTuple

from page_server import DEMO

from edgefinder.reports.release_text import schedule_text
from edgefinder.schedule.new_job import write_new_job
from edgefinder.schedule.release import release_from_file
from edgefinder.units import Unit

JOB: Final = "orchard-apron.toml"
DRAWING: Final = "orchard-apron.svg"
BY_HAND: Final = DEMO / JOB
"""The demo's own job file, which was written by hand."""

RAW: Final = ("front 2", "back 2")
FOLD: Final = "front 7"


class Run(NamedTuple):
    """A run of the job file that was written by hand."""

    name: str
    edges: tuple[str, ...]
    start: str = ""
    end: str = ""
    times: str = ""


CAUGHT: Final = "caught in a seam"
RUNS: Final = (
    Run("front neck", ("front 6",), CAUGHT, CAUGHT),
    Run("armholes", ("front 4", "back 4"), CAUGHT, CAUGHT, "2"),
    Run("front hem", ("front 1",)),
    Run("back edges", ("back 6", "back 7", "back 1"), CAUGHT, "turned under", "2"),
    Run("pocket opening", ("pocket 3", "pocket 1"), CAUGHT, CAUGHT),
)
SETTINGS: Final = (
    ("top-name", "Orchard apron"),
    ("fabric-usable_width", "42 in"),
    ("fabric-strip_seam", "1/4 in"),
    ("tapes-0-finished_width", "3/8 in"),
)
"""What is typed; the unit is picked, and the lines that are cut are rarely needed."""

CUTS: Final = ((1, "back", "2"), (3, "strap", "4"))
"""Which piece of the list is cut how often."""
ALLOWANCE: Final = ("pocket 2", "10 mm")


def begun(folder: Path) -> Path:
    """Write a job file as ``edgefinder new`` does, in millimetres, no edge tagged."""
    shutil.copy(DEMO / DRAWING, folder)
    job = folder / JOB
    write_new_job([folder / DRAWING], job, Unit.MILLIMETRE)
    return job


def schedule_of(job: Path) -> str:
    """Print the schedule of a job file."""
    return schedule_text(release_from_file(job))


def two_words(edge: str) -> tuple[str, str]:
    """Take the name of an edge apart: its piece and its number."""
    piece, _, label = edge.partition(" ")
    return piece, label

"""Legs, jobs and releases that the tests of tape and reports share."""

from dataclasses import replace
from pathlib import Path as FilePath
from typing import Final

from shapes import polygon

from edgefinder import __version__
from edgefinder.binding.cloth import GrainLimits, Limits, find_cloth
from edgefinder.binding.laying import lay_runs
from edgefinder.binding.runs import BoundEdge, Leg, Run, Span
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import read_job
from edgefinder.geometry.measured import measure
from edgefinder.geometry.path import Path
from edgefinder.geometry.profile import heading_profile
from edgefinder.importers.drawing import Drawing, DrawnLine, Reading
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.finished import FinishedEdge, finish_edge
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings
from edgefinder.schedule.reading import tag_pattern
from edgefinder.schedule.release import Release, make_release

DEMO: Final = FilePath(__file__).resolve().parent.parent / "fixtures" / "demo"
EXPECTED: Final = FilePath(__file__).resolve().parent / "expected"
DEMO_NAMES: Final = ("orchard-apron", "puddle-smock")

CUT_LINES: Final = {
    "svg": (parse_selector("class:cut"),),
    "dxf": (parse_selector("layer:Size ?"), parse_selector("layer:Size XL")),
}
"""How the outlines of the demo are chosen in its two kinds of file."""

QUILTING: Final = find_cloth("quilting cotton", ()).bias
LAWN: Final = find_cloth("lawn", ()).bias
NO_STRETCH: Final = GrainLimits(Limits(0.0, 0.0), Limits(0.0, 0.0))


def drawn(
    path: Path, *, label: str | None = None, layer: str | None = None
) -> DrawnLine:
    """A line as a reader hands it on."""
    return DrawnLine(path, None, "path", layer, (), (), None, label, "drawing, line 1")


def piece_of(path: Path) -> Piece:
    """A piece with a closed outline."""
    drawing = Drawing("drawing", (drawn(path, label="piece"),), (), 1.0)
    (piece,) = find_pieces(Reading(drawing, ()), FindingSettings()).pieces
    return piece


def edge_leg(piece: Piece, number: int) -> Leg:
    """A leg along one edge of a piece, no allowance anywhere."""
    nothing = dict.fromkeys(range(1, len(piece.edges) + 1), 0.0)
    finished = finish_edge(piece, number, nothing, None)
    edge = BoundEdge(finished, mirrored=False)
    return Leg(finished.profile, (Span(edge, 0.0, finished.length, 0.0),))


def leg_along(path: Path) -> Leg:
    """A leg along any line; the edge that it claims to lie on is a stand-in."""
    profile = heading_profile(measure(path))
    finished = FinishedEdge(
        piece_of(polygon(0, 100, 100 + 100j)),
        1,
        profile,
        profile.s,
        profile.s,
        is_unfolded=False,
    )
    edge = BoundEdge(finished, mirrored=False)
    return Leg(profile, (Span(edge, 0.0, profile.length, 0.0),))


def demo_job(name: str, kind: str | None = None) -> Job:
    """A job of the demo, from the drawing that it names or from one of a kind."""
    job = read_job(DEMO / f"{name}.toml")
    if kind is None:
        return job
    finding = replace(job.finding, cut_lines=CUT_LINES[kind])
    return replace(job, drawings=(DEMO / f"{name}.{kind}",), finding=finding)


def write_job(folder: FilePath, outlines: str, settings: str) -> FilePath:
    """Write a drawing of millimetres and a job file beside it."""
    (folder / "pattern.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" '
        f'viewBox="0 0 1000 1000">{outlines}</svg>',
        encoding="utf-8",
    )
    path = folder / "pattern.toml"
    path.write_text(f'drawings = ["pattern.svg"]\n{settings}', encoding="utf-8")
    return path


def job_of(folder: FilePath, outlines: str, settings: str) -> Job:
    """Write a job and read it back."""
    return read_job(write_job(folder, outlines, settings))


def release_of(folder: FilePath, outlines: str, settings: str) -> Release:
    """Write a job and make its schedule."""
    return make_release(job_of(folder, outlines, settings))


def expected_text(name: str) -> str:
    """A stored report; where the version stands it says VERSION."""
    text = (EXPECTED / name).read_text(encoding="utf-8")
    return text.replace("edgefinder VERSION", f"edgefinder {__version__}")


def runs_of(job: Job) -> tuple[Run, ...]:
    """Lay the runs of the only size of a job."""
    pattern = tag_pattern(job)
    (size,) = pattern.sizes
    return lay_runs(size, pattern.tapes, job.finding.corner_angle)

"""How a new job file names its drawings, wherever they lie."""

import os.path
import tomllib
from pathlib import Path

import pytest
from test_page_changes import SQUARES

from edgefinder.classifier.job_file import read_job
from edgefinder.schedule.new_job import write_new_job
from edgefinder.units import Unit


def drawings(folder: Path) -> list[Path]:
    """Two drawings in two folders."""
    found = [folder / "a" / "body  1.svg", folder / "b" / "arm.svg"]
    arms = SQUARES.replace("front", "sleeve").replace("back", "cuff")
    for path, text in zip(found, (SQUARES, arms), strict=True):
        path.parent.mkdir()
        path.write_text(text, "utf-8")
    return found


def listed(job: Path) -> list[str]:
    found: list[str] = tomllib.loads(job.read_text("utf-8"))["drawings"]
    return found


@pytest.mark.parametrize("count", [1, 2])
def test_drawings_are_named_from_where_the_job_file_lies(
    tmp_path: Path, count: int
) -> None:
    there = drawings(tmp_path)[:count]
    job = tmp_path / "a" / "job.toml"
    write_new_job(there, job, Unit.INCH)
    names = ["body  1.svg", os.path.join("..", "b", "arm.svg")]  # noqa: PTH118
    assert listed(job) == names[:count]
    assert [one.resolve() for one in read_job(job).drawings] == there


@pytest.mark.parametrize("count", [1, 2])
def test_a_drawing_to_which_no_way_leads_is_named_in_full(
    tmp_path: Path, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a system with drives, there is no way from one to another."""

    def no_way(path: Path, start: Path) -> str:
        raise ValueError(f"path is on mount 'C:', start on mount 'D:': {path} {start}")

    monkeypatch.setattr(os.path, "relpath", no_way)
    there = drawings(tmp_path)[:count]
    job = tmp_path / "job.toml"
    write_new_job(there, job, Unit.INCH)
    assert listed(job) == list(map(str, there))
    assert list(read_job(job).drawings) == there

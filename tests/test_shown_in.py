"""Reports in another unit than the job file's, and sizes as they are typed."""

from pathlib import Path

import pytest
from command_line import APRON, SMOCK, refused, run

from edgefinder.schedule.release import only_sizes, release_from_file
from edgefinder.units import Unit


def said(*options: str | Path) -> str:
    ended = run(*options)
    assert ended.exit_code == 0, ended.err
    return ended.out


def in_inches(folder: Path) -> Path:
    """The smock's job file, copied and set to inches by hand."""
    text = SMOCK.read_text("utf-8")
    assert 'unit = "cm"' in text
    for one in SMOCK.parent.iterdir():
        if one.is_file():
            (folder / one.name).write_bytes(one.read_bytes())
    job = folder / SMOCK.name
    job.write_text(text.replace('unit = "cm"', 'unit = "in"'), "utf-8")
    return job


@pytest.mark.parametrize("command", ["schedule", "curves", "widths", "words"])
def test_a_unit_that_is_typed_does_what_the_job_file_would(
    tmp_path: Path, command: str
) -> None:
    edited = in_inches(tmp_path)

    assert said(command, SMOCK, "--unit", "in") == said(command, edited)
    assert said(command, SMOCK) != said(command, edited)


def test_a_pdf_and_a_picture_are_in_the_unit_that_is_typed(tmp_path: Path) -> None:
    target = tmp_path / "smock.svg"
    said("picture", SMOCK, "--unit", "in", "-o", target)

    text = target.read_text("utf-8")
    assert " in" in text
    assert " cm" not in text
    letter = tmp_path / "smock.pdf"
    said("schedule", SMOCK, "--size", "2", "--unit", "in", "--pdf", letter)
    assert b"612 792" in letter.read_bytes()  # US Letter, in points


def test_a_size_is_known_in_small_letters_where_only_one_is_meant() -> None:
    assert said("curves", APRON, "--size", "xl") == said(
        "curves", APRON, "--size", "XL"
    )
    assert "there is no size" in " ".join(refused("curves", APRON, "--size", "xxl"))


def test_a_size_that_is_written_so_is_meant_before_one_like_it() -> None:
    release = release_from_file(APRON, shown_in=Unit.CENTIMETRE)

    assert release.job.unit is Unit.CENTIMETRE
    assert [one.size for one in only_sizes(release, ["m", "M"]).sizes] == ["M"]


def test_a_new_job_file_in_inches_is_written_in_inches(tmp_path: Path) -> None:
    job = tmp_path / "apron.toml"
    drawing = APRON.with_suffix(".svg")
    said("new", drawing, "--unit", "in", "-o", job)

    settings = [
        line
        for line in job.read_text("utf-8").splitlines()
        if " = " in line and not line.startswith(("#", "edges", "[", " "))
    ]
    assert 'seam_allowance = "3/8 in"' in "\n".join(settings)
    assert 'turn_of_cloth = "1/16 in"' in "\n".join(settings)
    assert not any(" mm" in line.split("#")[0] for line in settings)

"""The job file that is written for a drawing can be read, and says what is there."""

from pathlib import Path as FilePath

import pytest
from drawn import bodice, drawn, piece_of, pieces_of
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, rectangle

from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import read_job
from edgefinder.classifier.sizes import SizePieces, same_name, sort_by_size
from edgefinder.classifier.template import ByHand, job_text
from edgefinder.pattern.pieces import Piece
from edgefinder.units import Unit


def text_of(
    folder: FilePath,
    *pieces: Piece,
    unit: Unit = Unit.INCH,
    unit_mm: float | None = None,
    drawing: str = "apron.svg",
) -> str:
    sizes, _ = sort_by_size([pieces])
    return job_text(
        sizes,
        folder / drawing,
        folder / "apron.toml",
        unit=unit,
        by_hand=ByHand(unit_mm),
    )


def job_from(folder: FilePath, text: str) -> Job:
    path = folder / "apron.toml"
    path.write_text(text, encoding="utf-8")
    return read_job(path)


def test_what_is_written_reads_back(tmp_path: FilePath) -> None:
    job = job_from(
        tmp_path,
        text_of(tmp_path, piece_of(bodice()), piece_of(rectangle(300, 40), "strap")),
    )

    assert job.name == "apron"
    assert job.unit is Unit.INCH
    assert [path.resolve() for path in job.drawings] == [
        (tmp_path / "apron.svg").resolve()
    ]
    assert [piece.name for piece in job.pieces] == ["front", "strap"]
    assert [tape.name for tape in job.tapes] == ["main"]
    assert job.runs == ()


@pytest.mark.parametrize("unit", list(Unit))
def test_the_unit_is_the_one_asked_for(tmp_path: FilePath, unit: Unit) -> None:
    job = job_from(tmp_path, text_of(tmp_path, piece_of(bodice()), unit=unit))

    assert job.unit is unit


@pytest.mark.parametrize(
    "unit_mm", [1.0, 25.4, 0.352777777777777, 1e-5, 1 / 3, 10.0, 1234.5678901234]
)
def test_a_unit_given_by_hand_reads_back_to_the_last_digit(
    tmp_path: FilePath, unit_mm: float
) -> None:
    text = text_of(tmp_path, piece_of(bodice()), unit_mm=unit_mm)

    assert job_from(tmp_path, text).unit_mm == unit_mm


def test_the_example_of_a_run_can_be_taken_up(tmp_path: FilePath) -> None:
    text = text_of(tmp_path, piece_of(bodice()))
    head, example = text.split("# [[runs]]")

    taken = "\n".join(
        line.removeprefix("# ") for line in ("[[runs]]" + example).splitlines()
    )
    job = job_from(tmp_path, head + taken)

    (run,) = job.runs
    assert [word.text for word in run.edges] == ["front 1"]
    assert run.tape == job.tapes[0].name


NAMES = [
    "front",
    "front 2",
    "2",
    'the "good" one',
    "the 'other' one",
    "a\\b\\n",
    "Rückenteil 前 ½",
    "# no comment",
    "[[runs]]",
    "a = 1",
    "line\nbreak",
    "tab\there",
    "bell\x07",
    "\u202eknab",
    "all mirrored",
    '"""',
    "x" * 300,
]


@pytest.mark.parametrize("name", NAMES)
def test_any_name_of_a_piece_reads_back_and_is_found(
    tmp_path: FilePath, name: str
) -> None:
    (piece,) = pieces_of(drawn(rectangle(300, 40), label=name))

    job = job_from(tmp_path, text_of(tmp_path, piece))

    assert same_name(job.pieces[0].name, piece.name)


@given(st.text(min_size=1, max_size=20).filter(str.strip))
def test_a_hostile_name_cannot_write_a_key_of_its_own(name: str) -> None:
    pieces = pieces_of(drawn(rectangle(300, 40), label=name))
    sizes = (SizePieces("one size", pieces),)
    folder = FilePath("somewhere")

    text = job_text(sizes, folder / "a.svg", folder / "a.toml", unit=Unit.INCH)

    keys = [line.split(" = ")[0] for line in text.splitlines() if " = " in line]
    assert [key for key in keys if not key.startswith("#")] == [
        "name",
        "unit",
        "drawings",
        "seam_allowance",
        "wearer",
        "cloth",
        "usable_width",
        "strip_seam",
        "name",
        "finished_width",
        "fold",
        "grain",
        "turn_of_cloth",
        "name",
        "cut",
        "size",  # of the edges as they are drawn
        "edges",
    ]


@pytest.mark.parametrize("drawing", ["my apron (2).svg", "a'b.svg", 'a"b.svg', "é.dxf"])
def test_any_name_of_a_drawing_reads_back(tmp_path: FilePath, drawing: str) -> None:
    text = text_of(tmp_path, piece_of(bodice()), drawing=drawing)

    assert job_from(tmp_path, text).drawings[0].name == drawing


def test_a_drawing_in_another_folder_is_named_from_the_job_file(
    tmp_path: FilePath,
) -> None:
    sizes, _ = sort_by_size([[piece_of(bodice())]])
    job = tmp_path / "jobs" / "a.toml"

    text = job_text(sizes, tmp_path / "drawings" / "a.svg", job, unit=Unit.INCH)

    assert 'drawings = ["../drawings/a.svg"]' in text


def test_edges_are_described_so_that_they_are_found_on_paper(
    tmp_path: FilePath,
) -> None:
    lines = text_of(tmp_path, piece_of(bodice()), unit=Unit.MILLIMETRE).splitlines()

    def said(number: int) -> str:
        (line,) = [line for line in lines if line.startswith(f"#   {number}: ")]
        return line

    assert said(1) == "#   1: 150 mm, straight, runs to the right"
    assert said(2) == "#   2: 180 mm, straight, runs upwards"
    assert "inside curve, radius" in said(3)
    assert "runs upwards" in said(3)
    assert said(4).endswith("straight, runs to the left")
    assert said(6) == "#   6: 260 mm, straight, runs downwards"


def test_a_loop_is_described_as_one(tmp_path: FilePath) -> None:
    text = text_of(tmp_path, piece_of(circle_outline(100)), unit=Unit.MILLIMETRE)

    assert "#   1: 628 mm, outside curve, radius 100 mm, no corner: one loop" in text


def test_a_piece_in_several_sizes_stands_once(tmp_path: FilePath) -> None:
    pieces = [piece_of(bodice(), "front", size) for size in ("S", "M")]

    job = job_from(tmp_path, text_of(tmp_path, *pieces))

    assert [piece.name for piece in job.pieces] == ["front"]


def test_writing_twice_gives_the_same_text(tmp_path: FilePath) -> None:
    pieces = [piece_of(bodice()), piece_of(rectangle(300, 40), "strap")]

    assert text_of(tmp_path, *pieces) == text_of(tmp_path, *pieces)

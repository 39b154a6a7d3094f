"""From a pattern interchange file to the schedule: it says itself what it marks."""

from pathlib import Path

import numpy as np
import pytest
from command_line import run
from interchange_files import (
    ARMHOLE,
    CORNERS,
    bib,
    file_of,
    line,
    polyline,
    rule_file,
)
from scipy.special import ellipeinc

from edgefinder.classifier.job_file import drawing_job, read_job
from edgefinder.pattern.pieces import Piece
from edgefinder.schedule.reading import read_pattern
from edgefinder.schedule.release import make_release

FOLD = line(CORNERS[5], CORNERS[0], 6)


def piece_in(folder: Path, data: bytes) -> Piece:
    path = folder / "bib.dxf"
    path.write_bytes(data)
    (piece,) = read_pattern(drawing_job(path)).pieces
    return piece


def quarter_ellipse() -> float:
    """Length of the armhole: complete elliptic integral of the second kind (scipy)."""
    _, a, b, _, _ = ARMHOLE
    long, short = max(a, b), min(a, b)
    return float(long * ellipeinc(np.pi / 2, 1 - (short / long) ** 2))


def test_edges_end_at_the_turn_points_and_run_smoothly_through_curve_points(
    tmp_path: Path,
) -> None:
    piece = piece_in(tmp_path, file_of([bib()]))

    assert (piece.name, piece.size) == ("Bib", "M")
    assert len(piece.edges) == len(CORNERS)
    assert {complex(e.start) for e in piece.edges} == {complex(z) for z in CORNERS}
    assert piece.edges[2].length == pytest.approx(quarter_ellipse(), rel=1e-5)


def test_the_mirror_line_is_the_fold_and_the_quantity_is_cut(tmp_path: Path) -> None:
    keys = {"Piece Name": "Bib", "Size": "M", "Quantity": "1,1"}
    piece = piece_in(tmp_path, file_of([bib(keys, FOLD)]))

    assert piece.marks is not None
    assert piece.marks.fold_edge == 6
    assert piece.marks.cut == 2
    assert piece.marks.allowances is None


def test_the_gap_to_the_sewing_line_is_the_allowance_of_each_edge(
    tmp_path: Path,
) -> None:
    square = [0j, 300 + 0j, 300 + 200j, 200j]
    inside = [15 + 10j, 290 + 10j, 290 + 200j, 15 + 200j]
    cut = polyline(square, 1, closed=True)
    sewing = polyline(inside, 14, closed=True)
    piece = piece_in(tmp_path, file_of([bib(None, sewing, boundary=cut, marks=False)]))

    assert piece.marks is not None
    assert piece.marks.allowances == pytest.approx((10, 10, 0, 15))


def test_a_schedule_takes_fold_and_allowances_from_the_drawing(tmp_path: Path) -> None:
    (tmp_path / "bib.dxf").write_bytes(file_of([bib(None, FOLD)]))
    job = tmp_path / "bib.toml"
    job.write_text(
        'drawings = ["bib.dxf"]\n[[tapes]]\nname = "main"\nfinished_width = "6 mm"\n'
        '[[runs]]\nname = "neck"\ntape = "main"\nedges = ["Bib 5"]\n'
    )

    release = make_release(read_job(job))

    # The neckline meets the fold: it is bound across it, twice the quarter ellipse.
    (row,) = release.sizes[0].runs
    quarter = 140 * ellipeinc(np.pi / 2, 1 - (100 / 140) ** 2)
    assert row.run.length == pytest.approx(2 * quarter, rel=1e-5)


def test_the_job_file_wins_over_the_drawing(tmp_path: Path) -> None:
    keys = {"Piece Name": "Bib", "Size": "M", "Quantity": "1,1"}
    (tmp_path / "bib.dxf").write_bytes(file_of([bib(keys)]))
    job = tmp_path / "bib.toml"
    job.write_text(
        'drawings = ["bib.dxf"]\n[[tapes]]\nname = "main"\nfinished_width = "6 mm"\n'
        '[[pieces]]\nname = "Bib"\ncut = 3\nallowances = { 5 = "4 mm" }\n'
        '[[runs]]\nname = "neck"\ntape = "main"\nedges = ["Bib 5"]\ntimes = 3\n'
    )

    (size,) = make_release(read_job(job)).sizes

    assert size.tagged.pieces[0].cut == 3
    assert size.tagged.pieces[0].allowances[4] == 4


def test_grade_rules_beside_the_file_make_the_other_sizes(tmp_path: Path) -> None:
    (tmp_path / "bib.dxf").write_bytes(file_of([bib()]))
    rules = rule_file("S M L", "M", {"1": "0,0 0,0 0,0"})
    (tmp_path / "bib.rul").write_bytes(rules)

    said = run("edges", tmp_path / "bib.dxf", "--json")

    assert said.exit_code == 0
    assert {piece["size"] for piece in said.json["pieces"]} >= {"M"}

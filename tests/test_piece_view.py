"""What a picture shows of a piece, against shapes whose geometry is known.

The references are closed forms: a circle's own centre, radius and width of a ring.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from command_line import APRON, SMOCK
from sheet_cases import made, outline, run_of

from edgefinder.curvature.verdict import Verdict
from edgefinder.geometry.segments import Complexes
from edgefinder.reports.picture.piece_view import (
    PieceView,
    view_piece,
)
from edgefinder.reports.picture.place_stretches import numbered_places
from edgefinder.reports.picture.size_index import index_size
from edgefinder.reports.picture.strokes import piece_strokes
from edgefinder.reports.release_rows import run_names
from edgefinder.schedule.release import Release, release_from_file

SCALE = 1.0

# A piece 300 mm wide whose upper edge is a half circle of 40 mm cut into it.
NECK = outline(
    "M 100 400 L 400 400 L 400 200 L 290 200 A 40 40 0 0 1 210 200 L 100 200 Z", "bib"
)
# The same half circle standing out of it.
TAB = outline(
    "M 100 400 L 400 400 L 400 200 L 290 200 A 40 40 0 0 0 210 200 L 100 200 Z", "bib"
)
CENTRE = 250 - 200j


def views(release: Release, size: int = 0) -> dict[str, PieceView]:
    one = release.sizes[size]
    index = index_size(one, run_names(release.sizes))
    return {
        tagged.piece.name: view_piece(tagged, index, SCALE)
        for tagged in one.tagged.pieces
    }


def curved_edge(release: Release) -> int:
    edges = release.sizes[0].tagged.pieces[0].piece.edges
    return next(e.number for e in edges if abs(e.length - np.pi * 40) < 0.1)


def bib(folder: Path, body: str, more: str = "") -> PieceView:
    first = made(folder, body, run_of("neck", "bib 1"))
    number = curved_edge(first)
    return views(made(folder, body, run_of("neck", f"bib {number}") + more))["bib"]


def bib_on_fold(folder: Path, body: str) -> PieceView:
    """The bib with its left side on the fold."""
    drawn = views(made(folder, body, run_of("neck", "bib 1")))["bib"].edges
    left = (np.allclose(edge.points.real, 100.0) for edge in drawn)
    fold = 1 + list(left).index(True)
    other = fold % 4 + 1
    job = run_of("neck", f"bib {other}")
    more = f'[[pieces]]\nname = "bib"\nfold_edge = {fold}\n'
    return views(made(folder, body, job + more))["bib"]


def polygon(points: Complexes) -> shapely.Polygon:
    return shapely.Polygon(np.column_stack([points.real, points.imag]))


def whole(view: PieceView) -> shapely.Polygon:
    return polygon(np.concatenate([edge.points for edge in view.edges]))


@pytest.mark.parametrize("body", [NECK, TAB])
def test_the_circle_of_the_worst_place_is_the_circle_that_was_drawn(
    tmp_path: Path, body: str
) -> None:
    view = bib(tmp_path, body)

    (circle,) = view.circles
    assert circle.radius == pytest.approx(40.0, abs=0.01)
    assert abs(circle.centre - CENTRE) < 0.01
    assert abs(circle.at - CENTRE) == pytest.approx(40.0, abs=1e-6)


@pytest.mark.parametrize("body", [NECK, TAB])
def test_the_number_of_a_place_is_wanted_on_the_side_away_from_the_cloth(
    tmp_path: Path, body: str
) -> None:
    view = bib(tmp_path, body)

    (place,) = view.places
    beside = place.at + place.outwards
    assert not whole(view).contains(shapely.Point(beside.real, beside.imag))


@pytest.mark.parametrize("body", [NECK, TAB])
def test_the_band_is_the_ring_of_cloth_that_the_tape_covers(
    tmp_path: Path, body: str
) -> None:
    view = bib(tmp_path, body)

    (band,) = view.bands
    apart = np.abs(band.border - CENTRE)
    inner, outer = (40.0, 49.0) if body is NECK else (31.0, 40.0)
    assert np.all((np.abs(apart - inner) < 0.05) | (np.abs(apart - outer) < 0.05))
    assert polygon(band.border).within(whole(view).buffer(0.1))


def test_an_edge_with_an_allowance_is_bound_where_that_ends(tmp_path: Path) -> None:
    body = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")
    more = '[[pieces]]\nname = "bib"\nallowances = { 1 = "10 mm" }\n'

    view = views(made(tmp_path, body, run_of("one", "bib 1") + more))["bib"]

    edge = shapely.LineString(
        np.column_stack([view.edges[0].points.real, view.edges[0].points.imag])
    )
    for point in view.bound[0].points:
        assert edge.distance(shapely.Point(point.real, point.imag)) == pytest.approx(10)
        assert whole(view).covers(shapely.Point(point.real, point.imag))


def test_a_seam_takes_its_allowance_out_of_the_bound_line(tmp_path: Path) -> None:
    body = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")
    more = '[[pieces]]\nname = "bib"\nseam = [2, 4]\nseam_allowance = "15 mm"\n'

    view = views(made(tmp_path, body, run_of("one", "bib 1") + more))["bib"]

    (line,) = view.bound
    drawn = view.edges[0].points
    assert abs(line.points[0] - drawn[0]) == pytest.approx(15)
    assert abs(line.points[-1] - drawn[-1]) == pytest.approx(15)


def test_a_place_and_its_mirror_image_share_one_mark_on_the_drawn_half() -> None:
    view = views(release_from_file(APRON))["front"]

    assert view.is_on_fold
    shared = [place.numbers for place in view.places if len(place.numbers) > 1]
    assert shared == [(4, 5)]
    cloth = whole(view).buffer(0.5)
    for band in view.bands:
        assert polygon(band.border).within(cloth.buffer(5.0))


def test_every_place_of_the_schedule_is_marked_on_its_piece() -> None:
    for job in (APRON, SMOCK):
        release = release_from_file(job)
        for i, size in enumerate(release.sizes):
            shown = views(release, i)
            for numbered in numbered_places(size):
                edge = numbered.report.place.edge.finished
                marked = {n for p in shown[edge.piece.name].places for n in p.numbers}
                assert numbered.number in marked


def test_an_edge_is_labelled_with_its_name_and_the_letters_of_its_runs(
    tmp_path: Path,
) -> None:
    body = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")
    more = (
        '[[pieces]]\nname = "bib"\nedge_names = { top = 3 }\nhem = [2]\nfold_edge = 4\n'
    )

    view = views(
        made(tmp_path, body, run_of("a", "bib 1") + run_of("b", "bib top") + more)
    )["bib"]

    assert [edge.label for edge in view.edges] == ["1 A", "2 hem", "top B", "4 fold"]


def test_a_place_round_the_start_of_a_closed_edge_is_one_stretch(
    tmp_path: Path,
) -> None:
    body = '<circle cx="300" cy="300" r="35"><title>disc</title></circle>'

    view = views(
        made(tmp_path, body, run_of("round", "disc 1", more="closed = true\n"))
    )

    (band,) = view["disc"].bands
    assert polygon(band.border).area == pytest.approx(np.pi * (35**2 - 26**2), rel=0.01)
    assert band.verdict in {Verdict.STEAM, Verdict.TOO_TIGHT}


def test_the_demo_has_its_grain_lines_and_notches() -> None:
    view = views(release_from_file(APRON))["front"]

    assert view.grain == (100 - 777j, 100 - 458.5j)
    ((at, inwards),) = view.notches
    inside = at + inwards
    assert whole(view).contains(shapely.Point(inside.real, inside.imag))


@pytest.mark.parametrize("depth", [1.0, 3.5, 6.0, 40.0])
def test_the_bracket_of_the_fold_keeps_clear_of_a_grain_line_beside_it(
    tmp_path: Path, depth: float
) -> None:
    # The left side, x = 100, is the fold; paper and cloth are of one size here.
    body = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")
    view = bib_on_fold(tmp_path, body)
    grain = (100 + depth - 350j, 100 + depth - 250j)

    strokes = piece_strokes(replace(view, grain=grain), SCALE)

    (bracket,) = (
        stroke
        for stroke in strokes
        if stroke.kind == "fold" and np.ptp(stroke.points.imag) > 50
    )
    assert np.abs(bracket.points.real - (100 + depth)).min() >= 2.0
    assert bracket.points.real.min() > 100


def test_a_run_keeps_its_letter_in_a_size_that_has_others(tmp_path: Path) -> None:
    body = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")
    release = made(tmp_path, body, run_of("a", "bib 1") + run_of("b", "bib 3"))
    (size,) = release.sizes
    fewer = replace(size, runs=size.runs[1:])

    (tagged,) = fewer.tagged.pieces
    view = view_piece(tagged, index_size(fewer, run_names((size, fewer))), SCALE)

    assert [edge.label for edge in view.edges] == ["1", "2", "3 B", "4"]
    assert view.runs == (1,)

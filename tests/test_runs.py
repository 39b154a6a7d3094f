import math
from pathlib import Path as FilePath

import numpy as np
import pytest
from tape_cases import demo_job, job_of, runs_of

from edgefinder.binding.laying import lay_runs
from edgefinder.binding.runs import Run
from edgefinder.errors import TagError
from edgefinder.geometry.profile_edits import kinks
from edgefinder.schedule.reading import tag_pattern

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
# Right half of a shape on the fold: three edges, two of them bound.
HALF = '<path id="half" d="M 100 100 L 200 150 L 100 300 Z"/>'


def runs(
    folder: FilePath, outlines: str, *edges: str, closed: bool = False, more: str = ""
) -> tuple[Run, ...]:
    named = ", ".join(f'"{edge}"' for edge in edges)
    settings = f"""{more}
    [[tapes]]
    name = "main"
    finished_width = "9 mm"
    [[runs]]
    name = "edge"
    tape = "main"
    edges = [{named}]
    closed = {str(closed).lower()}
    """
    return runs_of(job_of(folder, outlines, settings))


def turns(run: Run) -> list[float]:
    return [math.degrees(corner.turn) for corner in run.corners]


def test_a_closed_run_begins_at_a_corner_and_turns_all_of_them(
    tmp_path: FilePath,
) -> None:
    around = [f"patch {n}" for n in (1, 2, 3, 4)]

    (run,) = runs(tmp_path, SQUARE, *around, closed=True)

    assert turns(run) == pytest.approx([90] * 4)
    assert [leg.length for leg in run.legs] == pytest.approx([200] * 4)
    assert run.length == pytest.approx(800)
    assert (run.name, run.tape.name) == ("edge", "main")
    assert not any(leg.profile.closed for leg in run.legs)


def test_an_open_run_turns_only_the_corners_between_its_edges(
    tmp_path: FilePath,
) -> None:
    (run,) = runs(tmp_path, SQUARE, "patch 2", "patch 3")

    (corner,) = run.corners
    assert turns(run) == pytest.approx([90])
    assert corner.edge.finished.number == 2
    assert corner.at == pytest.approx(200)
    assert [leg.length for leg in run.legs] == pytest.approx([200, 200])


def test_a_run_may_go_the_other_way_round_and_keeps_its_sewing_order(
    tmp_path: FilePath,
) -> None:
    (run,) = runs(tmp_path, SQUARE, "patch 3", "patch 2", "patch 1")

    assert [edge.finished.number for edge in run.edges] == [3, 2, 1]
    assert run.length == pytest.approx(600)
    assert len(run.corners) == 2


def test_a_seam_takes_its_allowance_out_of_the_edge_that_is_bound(
    tmp_path: FilePath,
) -> None:
    (run,) = runs(tmp_path, SQUARE, "patch 1", more='seam_allowance = "15 mm"')

    (edge,) = run.edges
    assert run.length == pytest.approx(200 - 2 * 15)
    assert edge.finished.cut_length == pytest.approx(200)
    assert edge.drawn_at(0.0) == pytest.approx(15)
    assert edge.drawn_at(run.length) == pytest.approx(185)


def test_allowances_that_leave_nothing_of_an_edge_are_refused(
    tmp_path: FilePath,
) -> None:
    with pytest.raises(TagError, match="leave nothing of edge 1"):
        runs(tmp_path, SQUARE, "patch 1", more='seam_allowance = "100 mm"')


def test_a_round_outline_is_one_closed_leg_without_corners(tmp_path: FilePath) -> None:
    disc = '<circle id="patch" cx="300" cy="300" r="80"/>'

    (run,) = runs(tmp_path, disc, "patch 1", closed=True)

    (leg,) = run.legs
    assert leg.profile.closed
    assert leg.profile.winding == pytest.approx(2 * math.pi)
    assert run.length == pytest.approx(160 * math.pi)
    assert run.corners == ()


def test_a_hole_is_run_with_the_cloth_on_the_left(tmp_path: FilePath) -> None:
    hole = SQUARE.replace("z", "z M 150 200 a 50 50 0 0 0 100 0 a 50 50 0 0 0 -100 0 z")

    (run,) = runs(tmp_path, hole, "patch 5", closed=True)

    assert run.legs[0].profile.winding == pytest.approx(-2 * math.pi)


def test_an_edge_across_the_fold_is_bound_over_both_halves_without_a_corner(
    tmp_path: FilePath,
) -> None:
    # The hem is square to the fold, which is the left side.
    more = '[[pieces]]\nname = "patch"\nfold_edge = 4'

    (run,) = runs(tmp_path, SQUARE, "patch 1", more=more)

    assert run.length == pytest.approx(400)
    assert run.corners == ()
    (edge,) = run.edges
    # Edge 1 begins at the fold, so that the mirrored half comes first.
    assert [edge.is_mirrored_at(s) for s in (10.0, 390.0)] == [True, False]
    assert edge.drawn_at(190.0) == pytest.approx(10)
    assert edge.drawn_at(210.0) == pytest.approx(10)


def test_a_shape_on_the_fold_has_the_corners_of_the_whole_shape(
    tmp_path: FilePath,
) -> None:
    """With two edges beside the fold, both of them meet it."""
    more = '[[pieces]]\nname = "half"\nfold_edge = 3'

    (run,) = runs(tmp_path, HALF, "half 1", "half 2", closed=True, more=more)

    # The whole: (100, 100), (200, 150), (100, 300), (0, 150); y is down.
    whole = np.array([100 + 100j, 150j, 100 + 300j, 200 + 150j])
    sides = np.roll(whole, -1) - whole
    expected = np.degrees(np.abs(np.angle(np.roll(sides, -1) / sides)))
    assert sorted(turns(run)) == pytest.approx(sorted(expected))
    assert sum(turns(run)) == pytest.approx(360)
    lengths = sorted(leg.length for leg in run.legs)
    assert lengths == pytest.approx(sorted(np.abs(sides)))


def test_mirrored_edges_turn_the_corners_of_the_mirrored_piece(
    tmp_path: FilePath,
) -> None:
    slanted = '<path id="patch" d="M 0 300 H 300 L 200 100 H 0 Z"/>'
    pair = '[[pieces]]\nname = "patch"\ncut = 2'
    (drawn,) = runs(tmp_path, slanted, "patch 1", "patch 2", "patch 3", more=pair)
    mirrored_edges = ("patch 3 mirrored", "patch 2 mirrored", "patch 1 mirrored")

    (mirrored,) = runs(tmp_path, slanted, *mirrored_edges, more=pair)

    assert turns(mirrored) == pytest.approx(turns(drawn)[::-1])
    assert all(edge.mirrored for edge in mirrored.edges)
    last = mirrored.edges[-1]
    assert last.is_mirrored_at(1.0)
    # Run the other way: what is told is the distance along the drawn edge.
    assert last.drawn_at(10.0) == pytest.approx(last.finished.length - 10)


def test_pieces_sewn_together_are_one_line_across_their_seam(
    tmp_path: FilePath,
) -> None:
    two = SQUARE + '<path id="flap" d="M 400 100 h 100 v 150 h -100 z"/>'

    (run,) = runs(tmp_path, two, "patch 3", "flap 3", more='seam_allowance = "1 cm"')

    (leg,) = run.legs
    assert leg.length == pytest.approx(260)
    assert [span.edge.finished.length for span in leg.spans] == pytest.approx([180, 80])
    assert run.corners == ()


@pytest.mark.parametrize("peak", [-40.0, -12.0, 12.0, 40.0])
def test_pieces_that_meet_at_an_angle_turn_the_tape_at_their_seam(
    tmp_path: FilePath, peak: float
) -> None:
    """The foot of a square, and that of a flap that rises from their seam."""
    foot = 300 - 100 * math.tan(math.radians(peak))
    flap = f'<path id="flap" d="M 400 100 h 100 V {foot} L 400 300 z"/>'

    (run,) = runs(tmp_path, SQUARE + flap, "patch 1", "flap 1")

    # Laid edge to edge the foot of the flap goes on at an angle to that of the square.
    turn = math.radians(peak)
    if abs(peak) < 30:
        assert run.corners == ()
        (leg,) = run.legs
        bend = np.diff(leg.profile.heading)
        assert bend[np.abs(bend) > 1e-9] == pytest.approx([turn])
    else:
        (corner,) = run.corners
        assert corner.is_at_seam
        assert corner.turn == pytest.approx(turn)
        assert len(run.legs) == 2


def test_a_distance_along_a_leg_is_found_on_its_edge(tmp_path: FilePath) -> None:
    more = '[[pieces]]\nname = "patch"\nfold_edge = 4'
    (run,) = runs(tmp_path, SQUARE, "patch 1", "patch 2", "patch 3", more=more)
    # Mirrored hem, hem, corner, side, corner, top, mirrored top.
    hem, side, top = run.legs

    assert [leg.length for leg in run.legs] == pytest.approx([400, 200, 400])
    edge, along = side.locate(50.0)
    assert edge.finished.number == 2
    assert along == pytest.approx(50)
    edge, along = hem.locate(250.0)
    assert edge.finished.number == 1
    assert edge.drawn_at(along) == pytest.approx(50)
    edge, along = top.locate(399.0)
    assert edge.finished.number == 3
    assert edge.is_mirrored_at(along)


@pytest.mark.parametrize("name", ["orchard-apron", "puddle-smock"])
def test_legs_of_the_demo_hold_no_corner_and_lose_no_length(name: str) -> None:
    job = demo_job(name)
    pattern = tag_pattern(job)

    for size in pattern.sizes:
        for run in lay_runs(size, pattern.tapes, job.finding.corner_angle):
            bound = math.fsum(edge.finished.length for edge in run.edges)
            assert run.length == pytest.approx(bound, rel=1e-12)
            for leg in run.legs:
                assert len(kinks(leg.profile, job.finding.corner_angle)[0]) == 0
                assert leg.spans[0].start == 0.0
                assert leg.spans[-1].end == pytest.approx(leg.length)


def test_a_drop_with_one_corner_is_one_leg_from_the_corner_round(
    tmp_path: FilePath,
) -> None:
    drop = '<path id="drop" d="M 200 100 C 350 250 350 350 200 350 C 50 350 50 250 '
    drop += '200 100 Z"/>'

    (run,) = runs(tmp_path, drop, "drop 1", closed=True)

    (corner,) = run.corners
    (leg,) = run.legs
    assert math.degrees(corner.turn) == pytest.approx(90)  # between 45 and 45 degrees
    assert leg.length == pytest.approx(run.edges[0].finished.edge.length)
    assert not leg.profile.closed
    assert leg.profile.winding == pytest.approx(2 * math.pi - corner.turn)

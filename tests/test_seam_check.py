"""The seams that runs cross, on pieces with straight edges and closed forms."""

import math
from dataclasses import replace
from pathlib import Path as FilePath

import numpy as np
import pytest
from tape_cases import DEMO_NAMES, demo_job, job_of

from edgefinder.binding.junctions import Junction, junctions
from edgefinder.binding.seam_check import seam_findings
from edgefinder.classifier.job import Finish
from edgefinder.classifier.tags import TaggedRun, TaggedSize
from edgefinder.errors import TagError
from edgefinder.findings import Severity
from edgefinder.schedule.reading import tag_pattern
from edgefinder.schedule.release import make_release

Corners = tuple[complex, ...]

# Half a bodice, y up: hem 1, side 2, armhole 3, shoulder 4, neck 5, middle 6.
FRONT: Corners = (0, 150, 150 + 200j, 85 + 295j, 30 + 315j, 280j)
BACK: Corners = (0, 150, 150 + 200j, 85 + 295j, 30 + 315j, 300j)
TAPE = '[[tapes]]\nname = "main"\nfinished_width = "6 mm"\n'
PIECES = """
seam_allowance = "10 mm"
[[pieces]]
name = "front"
fold_edge = 6
allowances = { 3 = "0 mm" }
[[pieces]]
name = "back"
cut = 2
allowances = { 3 = "0 mm" }
"""


def outline(name: str, corners: Corners, right: float) -> str:
    points = " ".join(f"{z.real + right},{600 - z.imag}" for z in map(complex, corners))
    return f'<polygon id="{name}" points="{points}"/>'


def drawing(front: Corners = FRONT, back: Corners = BACK) -> str:
    return outline("front", front, 100) + outline("back", back, 400)


def run_of(*edges: str, closed: bool = False, name: str = "run") -> str:
    named = ", ".join(f'"{edge}"' for edge in edges)
    return (
        f'[[runs]]\nname = "{name}"\ntape = "main"\nedges = [{named}]\n'
        f"closed = {str(closed).lower()}\n"
    )


def tagged(folder: FilePath, pieces: str, settings: str) -> TaggedSize:
    (size,) = tag_pattern(job_of(folder, pieces, settings)).sizes
    return size


def joined(
    folder: FilePath, *edges: str, pieces: str = "", closed: bool = False
) -> tuple[Junction, ...]:
    settings = PIECES + TAPE + run_of(*edges, closed=closed)
    size = tagged(folder, pieces or drawing(), settings)
    return junctions(size, size.runs[0])


def names(junction: Junction) -> tuple[str, str]:
    return junction.first.seam_name, junction.second.seam_name


def inner_angle(corners: Corners, at: int) -> float:
    count = len(corners)
    here = complex(corners[at])
    before, after = corners[at - 1] - here, corners[(at + 1) % count] - here
    return float(np.angle(before / after) % (2 * np.pi))


def set_in_length(corners: Corners, number: int, allowance: float) -> float:
    """Length of an edge set in, between neighbours without allowance."""
    start, end = number - 1, number % len(corners)
    taken = sum(
        allowance / math.tan(inner_angle(corners, corner)) for corner in (start, end)
    )
    return abs(corners[end] - corners[start]) - taken


def test_a_neckline_crosses_both_shoulders(tmp_path: FilePath) -> None:
    first, second = joined(tmp_path, "back 5", "front 5", "back 5 mirrored")

    # The run goes against the outline: from the middle of the back up to its shoulder.
    assert names(first) == ('"back 4"', '"front 4 mirrored"')
    assert names(second) == ('"front 4"', '"back 4 mirrored"')
    for one in (first, second):
        assert one.is_seam
        front, back = sorted((one.first, one.second), key=lambda e: e.piece.name)[::-1]
        assert front.lengths == pytest.approx((set_in_length(FRONT, 4, 10),))
        whole = set_in_length(BACK, 4, 10)
        assert back.lengths == pytest.approx((whole, 2 * whole))  # one of a pair, both
        # Shoulder and neck meet at the end of the shoulder as it is drawn.
        assert (front.seam_at_end, front.bound_at_end) == (True, False)
        assert front.angle == pytest.approx(inner_angle(FRONT, 4))
        assert back.angle == pytest.approx(inner_angle(BACK, 4))


def test_the_turn_across_a_seam_follows_from_the_two_angles(tmp_path: FilePath) -> None:
    (junction,) = joined(tmp_path, "back 5 mirrored", "front 5 mirrored")

    # Laid edge to edge at the shoulder the neckline is the line of both necks: the
    # back turned onto the shoulder of the front at the corner.
    front_neck = FRONT[5] - FRONT[4]
    shoulder = (FRONT[3] - FRONT[4]) / (BACK[3] - BACK[4]).conjugate()
    back_neck = (BACK[5] - BACK[4]).conjugate() * shoulder
    wanted = abs(np.angle(-front_neck / back_neck))
    turn = math.pi - junction.first.angle - junction.second.angle
    assert abs(turn) == pytest.approx(wanted)


def test_seams_of_different_lengths_are_told_with_both(tmp_path: FilePath) -> None:
    longer = (*BACK[:3], BACK[3] + 8, *BACK[4:])
    settings = PIECES + TAPE + run_of("back 5", "front 5", "back 5 mirrored")
    size = tagged(tmp_path, drawing(back=longer), settings)

    findings = seam_findings([size], "job.toml")

    front, back = set_in_length(FRONT, 4, 10), set_in_length(longer, 4, 10)
    assert back - front > 1
    assert [(f.code, f.severity, f.where) for f in findings] == [
        ("seam-lengths", Severity.WARNING, 'run "run"')
    ] * 2
    assert findings[0].message == (
        'crosses the seam of "back 4" and "front 4 mirrored", whose sewing lines are '
        f"{back:.1f} and {front:.1f} mm long: {back - front:.1f} mm to ease in, or "
        "other edges belong together"
    )


@pytest.mark.parametrize(("more", "is_told"), [(0.9, False), (1.1, True)])
def test_a_millimetre_is_not_worth_telling(
    tmp_path: FilePath, more: float, is_told: bool
) -> None:
    # Rectangles: the seams are their sides, 100 mm and a little more.
    two = outline("a", (0, 200, 200 + 100j, 100j), 50)
    height = (100 + more) * 1j
    two += outline("b", (0, 200, 200 + height, height), 400)
    size = tagged(tmp_path, two, TAPE + run_of("a 1", "b 1"))

    (junction,) = junctions(size, size.runs[0])

    assert junction.difference == pytest.approx(more)
    assert bool(seam_findings([size], "job.toml")) == is_told


def test_an_armhole_is_joined_where_the_seams_are_equally_long(
    tmp_path: FilePath,
) -> None:
    """Nobody wrote which half of the front and which back is meant."""
    eased = (*BACK[:4], BACK[4] - 8, BACK[5])  # the shoulder of the back

    (junction,) = joined(tmp_path, "front 3", "back 3", pieces=drawing(back=eased))

    assert names(junction) == ('"front 2"', '"back 2 mirrored"')
    assert junction.difference == pytest.approx(0, abs=1e-9)


def test_of_two_eased_seams_the_one_that_fits_better_is_taken(
    tmp_path: FilePath,
) -> None:
    eased = (*BACK[:3], BACK[3] + 8, *BACK[4:])  # both the side and the shoulder

    (junction,) = joined(tmp_path, "front 3", "back 3", pieces=drawing(back=eased))

    assert names(junction) == ('"front 2"', '"back 2 mirrored"')
    assert junction.difference is not None
    assert 1 < junction.difference < 3


def test_a_closed_run_has_a_junction_at_its_join(tmp_path: FilePath) -> None:
    found = joined(tmp_path, "front 3", "back 3 mirrored", closed=True)

    assert [{name.strip('"') for name in names(one)} for one in found] in (
        [{"front 4", "back 4 mirrored"}, {"front 2", "back 2 mirrored"}],
        [{"front 2", "back 2 mirrored"}, {"front 4", "back 4 mirrored"}],
    )


@pytest.mark.parametrize("backwards", [False, True])
def test_groups_of_several_edges_say_which_way_a_run_goes(
    tmp_path: FilePath, backwards: bool
) -> None:
    # Two squares of one size: lengths say nothing.
    two = outline("a", (0, 100, 100 + 100j, 100j), 50)
    two += outline("b", (0, 100, 100 + 100j, 100j), 400)
    edges = ["a 1", "a 2", "b 1", "b 2"]
    if backwards:
        edges.reverse()
    size = tagged(tmp_path, two, TAPE + run_of(*edges))

    (junction,) = junctions(size, size.runs[0])

    wanted = ('"a 3"', '"b 4"')
    assert names(junction) == (wanted[::-1] if backwards else wanted)
    ends = junction.first, junction.second
    assert [end.seam_at_end for end in ends] == [backwards, not backwards]
    assert [end.bound_at_end for end in ends] == [not backwards, backwards]


def test_groups_that_go_opposite_ways_are_refused(tmp_path: FilePath) -> None:
    two = outline("a", (0, 100, 100 + 100j, 100j), 50)
    two += outline("b", (0, 100, 100 + 100j, 100j), 400)
    settings = TAPE + run_of("a 1", "a 2", "b 2", "b 1")
    size = tagged(tmp_path, two, settings)

    with pytest.raises(TagError) as caught:
        seam_findings([size, size], "job.toml")
    with pytest.raises(TagError):
        make_release(job_of(tmp_path, two, settings))

    (message,) = caught.value.messages
    assert message == (
        'job.toml: runs "run": edges: "a 1, 2" and "b 2, 1" go round their pieces in '
        "opposite ways, and the cloth would change sides; name those of one of them in "
        'the other order, or write "mirrored" after those of "b" if the other one of '
        "a pair is meant"
    )


def test_a_mirrored_group_may_be_named_the_other_way_round(tmp_path: FilePath) -> None:
    two = outline("a", (0, 100, 100 + 100j, 100j), 50)
    two += outline("b", (0, 100, 100 + 100j, 100j), 400)
    edges = "a 1", "a 2", "b 2 mirrored", "b 1 mirrored"
    size = tagged(tmp_path, two, TAPE + run_of(*edges))

    (junction,) = junctions(size, size.runs[0])

    assert names(junction) == ('"a 3"', '"b 3 mirrored"')


def test_a_seam_across_the_fold_counts_with_both_halves(tmp_path: FilePath) -> None:
    # A skirt on the fold, 2 x 100 mm wide at its waist, below one bodice of 200 mm;
    # their right sides are bound.
    pieces = outline("skirt", (0, 100, 100 + 300j, 300j), 50)
    pieces += outline("bodice", (0, 200, 200 + 200j, 200j), 400)
    skirt = '[[pieces]]\nname = "skirt"\nfold_edge = 4\n'
    run = run_of("skirt 2", "bodice 2")
    size = tagged(tmp_path, pieces, skirt + TAPE + run)

    (junction,) = junctions(size, size.runs[0])

    assert names(junction) == ('"skirt 3"', '"bodice 1"')
    assert junction.first.lengths == pytest.approx((200, 100))
    assert junction.difference == pytest.approx(0)
    # Both ends of the unfolded waist are the start of the edge as drawn.
    assert (junction.first.seam_at_end, junction.first.bound_at_end) == (False, True)


def test_half_of_a_seam_across_the_fold_is_sewn_to_one_of_a_pair(
    tmp_path: FilePath,
) -> None:
    pieces = outline("skirt", (0, 100, 100 + 300j, 300j), 50)
    pieces += outline("bodice", (0, 100, 100 + 200j, 200j), 400)
    said = '[[pieces]]\nname = "skirt"\nfold_edge = 4\n'
    said += '[[pieces]]\nname = "bodice"\ncut = 2\n'
    size = tagged(tmp_path, pieces, said + TAPE + run_of("skirt 2", "bodice 2"))

    (junction,) = junctions(size, size.runs[0])

    assert junction.difference == pytest.approx(0)


def test_a_seam_that_is_cut_at_a_mark_is_measured_whole(tmp_path: FilePath) -> None:
    two = outline("a", (0, 100, 100 + 150j, 150j), 50)
    two += outline("b", (0, 100, 100 + 150j, 150j), 400)
    marked = '[[pieces]]\nname = "a"\nseam = ["from corner 4 to 4 at 40 %"]\n'
    marked += 'allowances = { 4 = "5 mm" }\n'
    size = tagged(tmp_path, two, marked + TAPE + run_of("a 3", "b 3"))
    (a, _) = size.pieces
    assert [edge.label for edge in a.piece.edges][-2:] == ["4a", "4b"]

    (junction,) = junctions(size, size.runs[0])

    seams = {end.piece.name: end for end in (junction.first, junction.second)}
    assert seams["a"].lengths == pytest.approx((150,))


def test_a_run_that_leaves_a_piece_at_a_hem_is_told(tmp_path: FilePath) -> None:
    two = outline("a", (0, 100, 100 + 100j, 100j), 50)
    two += outline("b", (0, 100, 100 + 100j, 100j), 400)
    hem = '[[pieces]]\nname = "a"\nhem = [3]\n'
    edges = "a 1", "a 2", "b 1", "b 2"
    size = tagged(tmp_path, two, hem + TAPE + run_of(*edges))

    (finding,) = seam_findings([size], "job.toml")

    assert finding.code == "no-seam"
    assert finding.message == (
        'goes from "a 2" to "b 1", where no two seams meet: "a 3" is hem, "b 4" is seam'
    )


def test_a_seam_of_which_allowances_leave_nothing_is_told(tmp_path: FilePath) -> None:
    two = outline("a", (0, 200, 200 + 30j, 30j), 50)
    two += outline("b", (0, 200, 200 + 30j, 30j), 400)
    said = '[[pieces]]\nname = "a"\nhem = [3]\nallowances = { 3 = "30 mm" }\n'
    size = tagged(tmp_path, two, said + TAPE + run_of("a 1", "b 1"))

    (finding,) = seam_findings([size], "job.toml")

    assert finding.code == "seam-lengths"
    assert finding.message.endswith("allowances leave nothing of one of them")


def test_what_is_unlike_in_several_sizes_is_told_once(tmp_path: FilePath) -> None:
    found = []
    for name, height in (("S", 103j), ("M", 100j), ("L", 107j)):
        two = outline("a", (0, 200, 200 + 100j, 100j), 50)
        two += outline("b", (0, 200, 200 + height, height), 400)
        size = tagged(tmp_path, two, TAPE + run_of("a 1", "b 1"))
        found.append(replace(size, size=name))

    (finding,) = seam_findings(found, "job.toml")

    assert "100.0 and 107.0 mm long (size L and 1 more): 7.0 mm" in finding.message


def test_a_run_on_one_piece_crosses_no_seam(tmp_path: FilePath) -> None:
    settings = PIECES + TAPE + run_of("front 5")
    size = tagged(tmp_path, drawing(), settings)

    assert junctions(size, size.runs[0]) == ()
    assert seam_findings([size], "job.toml") == ()


def test_the_schedule_tells_of_unlike_seams(tmp_path: FilePath) -> None:
    two = outline("a", (0, 200, 200 + 100j, 100j), 50)
    two += outline("b", (0, 200, 200 + 110j, 110j), 400)

    release = make_release(job_of(tmp_path, two, TAPE + run_of("a 1", "b 1")))

    (finding,) = [f for f in release.findings if f.code == "seam-lengths"]
    assert "100.0 and 110.0 mm" in finding.message


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_seams_of_the_demo_fit(name: str) -> None:
    sizes = tag_pattern(demo_job(name)).sizes

    def crossed(size: TaggedSize, run: TaggedRun) -> int:
        found = junctions(size, run)
        assert all(j.first.finish is j.second.finish is Finish.SEAM for j in found)
        assert all(j.difference == pytest.approx(0, abs=1e-6) for j in found)
        return len(found)

    assert sum(crossed(size, run) for size in sizes for run in size.runs) > 0
    assert seam_findings(sizes, "job.toml") == ()

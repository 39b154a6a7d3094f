from tape_cases import demo_job

from edgefinder.curvature.verdict import Verdict
from edgefinder.pattern.pieces import Piece
from edgefinder.schedule.release import make_release
from edgefinder.schedule.size_rows import SizeSchedule
from edgefinder.schedule.uses import EdgeUse, edge_uses


def smock() -> SizeSchedule:
    return make_release(demo_job("puddle-smock")).sizes[0]


def piece_named(size: SizeSchedule, name: str) -> Piece:
    (piece,) = (t.piece for t in size.tagged.pieces if t.piece.name == name)
    return piece


def use_of(size: SizeSchedule, name: str, number: int) -> EdgeUse | None:
    return edge_uses(size.runs).get(piece_named(size, name).edges[number - 1])


def test_an_edge_that_no_run_takes_is_not_bound() -> None:
    size = smock()

    assert use_of(size, "front", 2) is None  # a side seam
    assert use_of(size, "front", 6) is None  # the fold


def test_an_edge_is_counted_for_every_pass_and_every_mirror_image() -> None:
    size = smock()

    neck = use_of(size, "back", 4)
    armhole = use_of(size, "back", 2)
    across_fold = use_of(size, "front", 5)

    assert neck is not None
    assert (neck.times, neck.runs) == (2, ("neck",))  # drawn and mirrored
    assert armhole is not None
    assert (armhole.times, armhole.runs) == (2, ("armholes",))  # times = 2
    assert across_fold is not None
    assert across_fold.times == 1
    assert across_fold.finished.is_unfolded


def test_the_verdict_of_an_edge_is_the_worst_of_its_own_places() -> None:
    size = smock()

    for name, number, verdict in (
        ("front", 1, Verdict.FLAT),
        ("front", 3, Verdict.FLAT),  # of one run with back 2
        ("back", 2, Verdict.STEAM),
        ("back", 5, Verdict.STEAM),
    ):
        use = use_of(size, name, number)
        assert use is not None
        assert use.verdict == verdict


def test_a_place_that_is_too_tight_outweighs_one_for_steam() -> None:
    size = make_release(demo_job("orchard-apron")).sizes[0]

    use = use_of(size, "front", 1)

    assert use is not None
    assert use.verdict == Verdict.TOO_TIGHT

import math
from pathlib import Path as FilePath
from typing import cast

import pytest
from tape_cases import DEMO_NAMES, demo_job, release_of

from edgefinder.reports.records import Record
from edgefinder.reports.release_records import (
    curves_records,
    release_record,
    sizes_records,
)
from edgefinder.schedule.release import Release, make_release


@pytest.fixture(scope="module", params=DEMO_NAMES)
def release(request: pytest.FixtureRequest) -> Release:
    return make_release(demo_job(request.param))


@pytest.fixture(scope="module")
def smock() -> Release:
    return make_release(demo_job("puddle-smock"))


def rows(record: Record, key: str) -> list[Record]:
    return cast("list[Record]", record[key])


def number(record: Record, key: str) -> float:
    return cast("float", record[key])


def test_a_schedule_has_its_pattern_sizes_and_cautions(release: Release) -> None:
    record = release_record(release)

    assert record["pattern"] == release.job.name
    assert record["cautions"] == list(release.cautions)
    for size in rows(record, "sizes"):
        expected = {"size", "pieces", "runs", "tapes", "fabric", "one_cuts", "places"}
        assert size.keys() == expected


def test_every_total_is_traced_edge_by_edge(release: Release) -> None:
    for size in sizes_records(release):
        for run in rows(size, "runs"):
            parts = cast("dict[str, float]", run["tape_parts_mm"])
            assert parts.keys() == {
                "edge",
                "feed",
                "mitres",
                "join",
                "tails",
                "ends",
                "ties",
            }
            bound = math.fsum(number(edge, "bound_mm") for edge in rows(run, "edges"))
            mitres = math.fsum(number(c, "extra_mm") for c in rows(run, "corners"))
            assert parts["edge"] == pytest.approx(bound, rel=1e-12)
            assert parts["mitres"] == pytest.approx(mitres)
            assert run["length_mm"] == parts["edge"]
            assert run["tape_mm"] == pytest.approx(math.fsum(parts.values()))
            times = number(run, "times")
            assert run["tape_to_cut_mm"] == pytest.approx(
                times * number(run, "tape_mm")
            )
        for tape in rows(size, "tapes"):
            cut = math.fsum(
                number(run, "tape_to_cut_mm")
                for run in rows(size, "runs")
                if run["tape"] == tape["name"]
            )
            assert tape["total_mm"] == pytest.approx(cut)
            (fabric,) = (f for f in rows(size, "fabric") if f["tape"] == tape["name"])
            assert fabric["length_mm"] == tape["total_mm"]
            assert fabric["cut_width_mm"] == tape["cut_width_mm"]


def test_the_bound_length_of_a_run_is_that_of_the_edges_of_its_pieces(
    release: Release,
) -> None:
    for size in sizes_records(release):
        edges = {
            (piece["name"], edge["edge"]): edge
            for piece in rows(size, "pieces")
            for edge in rows(piece, "edges")
        }
        for run in rows(size, "runs"):
            for bound in rows(run, "edges"):
                edge = edges[bound["piece"], bound["edge"]]
                assert edge["finish"] == "bound"
                assert edge["bound_length_mm"] == bound["bound_mm"]
                assert run["name"] in cast("list[str]", edge["runs"])
                halves = 2 if bound["across_fold"] else 1
                cut_line = halves * number(edge, "length_mm")
                assert bound["cut_line_mm"] == pytest.approx(cut_line)
                assert number(bound, "bound_mm") <= cut_line * (1 + 1e-12)


def test_an_edge_that_is_not_bound_says_so(smock: Release) -> None:
    front = rows(sizes_records(smock)[0], "pieces")[0]
    by_number = {edge["number"]: edge for edge in rows(front, "edges")}

    side, fold = by_number[2], by_number[6]

    assert (front["name"], front["fold_edge"]) == ("front", 6)
    assert (side["finish"], fold["finish"]) == ("seam", "fold")
    assert (side["allowance_mm"], fold["allowance_mm"]) == (10.0, 0.0)
    for edge in (side, fold):
        assert edge["bound_length_mm"] is None
        assert edge["verdict"] is None
        assert edge["bound_times"] == 0
        assert edge["runs"] == []


def test_a_place_has_the_figures_and_the_point_for_a_picture(smock: Release) -> None:
    size = sizes_records(smock)[0]
    place = rows(size, "places")[0]

    assert (place["run"], place["piece"], place["edge"]) == ("neck", "back", "4")
    assert (place["verdict"], place["side"]) == ("ease and steam", "inside")
    radius = number(place, "radius_mm")
    needed = (1 + 6 / radius) * 0.94 - 1  # lawn: ease limit 6 per cent
    assert place["stretch_needed_percent"] == pytest.approx(100 * needed)
    assert place["stretch_limit_percent"] == pytest.approx(20)
    assert place["ease_limit_percent"] == pytest.approx(6)
    # Seen through a narrower window the curve is a little tighter.
    at_its_radius = radius * (1.10 / 0.97 - 1)
    assert 0.99 * at_its_radius < number(place, "widest_flat_mm") < at_its_radius
    remedies = [advice["remedy"] for advice in rows(place, "advice")]
    assert remedies == [
        "stretch and shape the tape with steam first",
        "narrower tape",
        "another cloth",
    ]
    x, y = cast("list[float]", place["point_mm"])
    piece = rows(size, "pieces")
    (back,) = (p for p in piece if p["name"] == "back")
    (edge,) = (e for e in rows(back, "edges") if e["number"] == 4)
    start = cast("list[float]", edge["start_mm"])
    assert math.hypot(x - start[0], y - start[1]) <= number(place, "at_mm")


def test_the_tape_says_whose_limits_it_was_judged_with(smock: Release) -> None:
    tape = rows(sizes_records(smock)[0], "tapes")[0]

    assert tape["limits_are_working_defaults"] is True
    assert tape["stretch_ok_percent"] == pytest.approx(10)
    assert tape["ease_limit_percent"] == pytest.approx(6)
    widths = rows(tape, "widths")
    assert [row["width_mm"] for row in widths] == [6, 8, 9, 10, 12, 15, 20]
    places = rows(sizes_records(smock)[0], "places")
    narrow = [p for p in places if p["run"] in {"neck", "armholes"}]
    assert cast("int", widths[0]["steam"]) == len(narrow)


def test_the_curves_of_a_size_are_told_run_by_run(smock: Release) -> None:
    curves, sizes = curves_records(smock), sizes_records(smock)

    assert [size["size"] for size in curves] == ["2", "4", "6", "8"]
    for size, whole in zip(curves, sizes, strict=True):
        by_run = [place for run in rows(size, "runs") for place in rows(run, "places")]
        assert by_run == rows(whole, "places")
        assert size["tapes"] == whole["tapes"]


def test_ready_made_tape_is_told_in_packets(tmp_path: FilePath) -> None:
    release = release_of(
        tmp_path,
        '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>',
        '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\npacket_length = "3 m"\n'
        '[[runs]]\nname = "hem"\ntape = "main"\nedges = ["patch 1"]\n',
    )

    (fabric,) = rows(sizes_records(release)[0], "fabric")

    assert fabric["packets"] == {
        "count": 1,
        "packet_mm": 3000.0,
        "yield_mm": 3000.0,
        "spare_mm": pytest.approx(2780),
        "joins": 0,
    }


def test_cut_tape_has_no_packets(smock: Release) -> None:
    assert all(f["packets"] is None for f in rows(sizes_records(smock)[0], "fabric"))

"""Where along its tape a run wants no joins, by hand on plain shapes."""

from pathlib import Path as FilePath

import pytest
from tape_cases import release_of

from edgefinder.errors import SettingsError
from edgefinder.reports.release_text import schedule_text
from edgefinder.schedule.release import Release
from edgefinder.yardage.cutting import Cutting, Method
from edgefinder.yardage.tape_run import TapeRun

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
"""Numbered from the lower left: 1 below, 2 at the right, 3 above, 4 at the left."""
HALF = '<path id="half" d="M 0 0 h 100 v 200 h -100 z"/>'
"""Half of a piece: edge 4, at the left, lies on the fold."""
WITHIN = "5 mm"


def release(
    folder: FilePath,
    outline: str,
    edges: str,
    places: str,
    *,
    within: str = WITHIN,
    run: str = "",
    more: str = "",
) -> Release:
    return release_of(
        folder,
        outline,
        f"""{more}
[[tapes]]
name = "main"
finished_width = "9 mm"
[[runs]]
name = "edge"
tape = "main"
edges = [{edges}]
avoid_joins_at = [{places}]
avoid_joins_within = "{within}"
{run}
""",
    )


def run_of(found: Release) -> TapeRun:
    need = found.sizes[0].tapes[0].plan.need
    assert need.run is not None
    return need.run


def places_of(found: Release) -> list[float]:
    return [at for at, _ in run_of(found).avoid]


ON_RIGHT, ON_TOP = '"patch 200 mm, 50 mm"', '"patch 150 mm, 200 mm"'


def test_places_are_told_along_the_tape_with_its_turned_under_end(
    tmp_path: FilePath,
) -> None:
    found = release(
        tmp_path,
        SQUARE,
        '"patch 2", "patch 3"',
        f'"mitres", {ON_RIGHT}, {ON_TOP}, "30 mm"',
    )

    # 10 mm are turned under; then 30, 50 up the right side, the corner, 50 along the
    # top. An outside corner takes no extra tape.
    assert places_of(found) == pytest.approx([40, 60, 210, 260])
    assert {within for _, within in run_of(found).avoid} == {5.0}
    assert run_of(found).tape == pytest.approx(420)


def test_a_run_that_goes_the_other_way_meets_them_from_the_other_end(
    tmp_path: FilePath,
) -> None:
    found = release(
        tmp_path,
        SQUARE,
        '"patch 3", "patch 2"',
        f'"mitres", {ON_RIGHT}, {ON_TOP}',
    )

    assert places_of(found) == pytest.approx([10 + 150, 10 + 200, 10 + 350])


def test_a_mark_on_an_unfolded_edge_is_there_on_both_halves(
    tmp_path: FilePath,
) -> None:
    more = 'seam_allowance = "10 mm"\n[[pieces]]\nname = "half"\nfold_edge = 4\n'
    more += 'marks = { "side front" = "30 mm, 0 mm", "centre front" = "corner 1" }\n'

    found = release(
        tmp_path, HALF, '"half 1"', '"half side front", "half Centre Front"', more=more
    )

    # 90 mm on either side of the fold are left of 100 by the seams; 10 turned under.
    assert run_of(found).tape == pytest.approx(180 + 20)
    assert places_of(found) == pytest.approx([10 + 60, 10 + 90, 10 + 120])


def test_every_pass_has_its_places_along_one_tape(tmp_path: FilePath) -> None:
    found = release(tmp_path, SQUARE, '"patch 2"', '"50 mm"', run="times = 3")

    # 10 + 200 + 10 for each pass
    assert places_of(found) == pytest.approx([60, 280, 500])
    (row,) = found.sizes[0].tapes
    assert [one.at for one in row.passes] == pytest.approx([0, 220, 440])
    text = " ".join(schedule_text(found).split())
    assert "each from this place on: edge 0 mm, edge 220 mm, edge 440 mm" in text


def test_nothing_is_said_of_the_order_of_runs_where_it_does_not_matter(
    tmp_path: FilePath,
) -> None:
    settings = """
[[tapes]]
name = "main"
finished_width = "9 mm"
[[runs]]
name = "edge"
tape = "main"
edges = ["patch 2"]
"""
    found = release_of(tmp_path, SQUARE, settings)

    (row,) = found.sizes[0].tapes
    assert row.passes == row.begins == ()
    assert "joined tape" not in schedule_text(found)


def test_ties_and_seams_at_the_start_are_counted(tmp_path: FilePath) -> None:
    tied = 'start = "ties"\nend = "caught in a seam"\ntie_length = "300 mm"'
    caught = 'start = "caught in a seam"\nend = "ties"\ntie_length = "300 mm"'
    seam = 'seam_allowance = "15 mm"\n[[pieces]]\nname = "patch"\nraw = [1, 3, 4]\n'

    first = release(tmp_path, SQUARE, '"patch 2"', '"50 mm"', run=tied, more=seam)
    last = release(tmp_path, SQUARE, '"patch 2"', '"50 mm"', run=caught, more=seam)

    assert places_of(first) == pytest.approx([10 + 300 + 50])
    assert places_of(last) == pytest.approx([15 + 50])


def test_a_loop_begins_where_its_closing_join_may_lie(tmp_path: FilePath) -> None:
    found = release(
        tmp_path,
        SQUARE,
        '"patch all"',
        '"mitres"',
        within="30 mm",
        run="closed = true",
    )

    run = run_of(found)
    assert run.is_closed
    # The corner where the run begins is the one where it ends.
    assert [at for at, _ in run.avoid] == pytest.approx([200, 400, 600, 800])
    # Loose ends of 75 mm and a join of square ends, 36 mm, shared out.
    assert (run.lead, run.tail) == pytest.approx((93, 93))
    (begin,) = found.sizes[0].tapes[0].begins
    assert begin.run == "edge"
    assert min(abs(begin.at - at) for at in (0, 200, 400, 600, 800)) >= 30 - 1e-6
    (bias,) = found.sizes[0].tapes[0].plan.cuttings
    assert bias.method is Method.BIAS_STRIPS
    check_joins(bias, 30.0)


def test_loops_on_one_tape_begin_behind_what_they_avoid(tmp_path: FilePath) -> None:
    found = release(
        tmp_path,
        SQUARE,
        '"patch all"',
        '"mitres"',
        within="30 mm",
        run="closed = true\ntimes = 2",
    )

    (begin,) = found.sizes[0].tapes[0].begins
    assert begin.at == pytest.approx(30)
    one = 93 + 800 + 93
    corners = [93 + at for at in (170, 370, 570, 770)]
    assert sorted(places_of(found)) == pytest.approx(
        [*corners, *(one + at for at in corners)]
    )


def check_joins(cutting: Cutting, within: float) -> None:
    run, order = cutting.need.run, cutting.order
    assert run is not None
    assert order is not None
    for join in order.joins:
        along = (order.start + join - run.lead) % run.length
        for at, _ in run.avoid:
            apart = abs(along - at)
            assert min(apart, run.length - apart) >= within - 1e-6


@pytest.mark.parametrize(
    ("places", "within", "run", "words"),
    [
        ('"middle"', "5 mm", "", '"middle" is no place on the run'),
        ('"500 mm"', "5 mm", "", "lies beyond the run, which is 400 mm long"),
        ('"patch notch 4"', "5 mm", "", 'there is no notch "4"'),
        ('"patch corner 1"', "5 mm", "", "lies on no edge of the run"),
        ('"patch belly"', "5 mm", "", "names no mark"),
    ],
)
def test_what_is_no_place_on_the_run_is_told_with_its_key(
    places: str, within: str, run: str, words: str, tmp_path: FilePath
) -> None:
    with pytest.raises(SettingsError) as caught:
        release(
            tmp_path,
            SQUARE,
            '"patch 2", "patch 3"',
            places,
            within=within,
            run=run,
        )

    (line,) = caught.value.messages
    assert 'pattern.toml: runs "edge": avoid_joins_at: ' in line
    assert words in line


def test_all_words_that_are_no_places_are_told_together(tmp_path: FilePath) -> None:
    with pytest.raises(SettingsError) as caught:
        release(tmp_path, SQUARE, '"patch 2"', '"middle", "9 m"')

    assert len(caught.value.messages) == 2


def test_a_loop_without_a_place_for_its_closing_join_is_told(
    tmp_path: FilePath,
) -> None:
    with pytest.raises(SettingsError, match="no place is left for the join"):
        release(
            tmp_path,
            SQUARE,
            '"patch all"',
            '"mitres"',
            within="110 mm",
            run="closed = true\ntimes = 2",
        )


@pytest.mark.parametrize("key", ["avoid_joins_at", "avoid_joins_within"])
def test_one_of_the_two_keys_alone_is_a_mistake(key: str, tmp_path: FilePath) -> None:
    values = {"avoid_joins_at": '["1 cm"]', "avoid_joins_within": '"1 cm"'}
    settings = f"""
[[tapes]]
name = "main"
finished_width = "9 mm"
[[runs]]
name = "edge"
tape = "main"
edges = ["patch 2"]
{key} = {values[key]}
"""
    with pytest.raises(SettingsError, match=f"{key} says nothing without it"):
        release_of(tmp_path, SQUARE, settings)

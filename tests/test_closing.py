"""What the tests of `find_outlines` do not see: lines drawn twice, sizes, branches."""

from drawn import drawn
from shapes import polyline, rectangle

from edgefinder.geometry.path import reverse_path
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.closing import Closed, close_lines

CORNERS = (0, 200, 200 + 100j, 100j)
SIDES = tuple(zip(CORNERS, (*CORNERS[1:], 0), strict=True))


def sides(**marks: str) -> list[DrawnLine]:
    return [
        drawn(polyline(*ends), layer=marks.get("layer"), colour=marks.get("colour"))
        for ends in SIDES
    ]


def closed(
    lines: list[DrawnLine], *, by_colour: bool = False, across_layers: bool = True
) -> Closed:
    return close_lines(
        lines,
        lambda line: line.colour if by_colour else None,
        tolerance=0.05,
        across_layers=across_layers,
    )


def test_loose_lines_that_are_drawn_twice_are_taken_once() -> None:
    once, again = sides(), sides()
    again[1] = drawn(reverse_path(again[1].path))

    result = closed([*once, *again])

    (ring,) = result.rings
    assert set(map(id, ring.sources)) == set(map(id, once))
    (finding,) = result.findings
    assert finding.code == "drawn-twice"
    assert finding.message.startswith("4 open lines are drawn twice")


def test_a_line_that_another_layer_repeats_is_kept() -> None:
    result = closed([*sides(layer="Cut"), *sides(layer="Lining")])

    assert len(result.rings) == 2
    assert not result.findings


def test_lines_that_only_share_their_ends_are_not_the_same() -> None:
    bow = [drawn(polyline(0, 100 + y * 1j, 200)) for y in (40, -40)]

    (ring,) = closed(bow).rings

    assert len(ring.sources) == 2


def test_lines_of_two_sizes_are_never_chained() -> None:
    red, blue = sides(colour="#ff0000"), sides(colour="#0000ff")
    mixed = [*red[:2], *blue[2:]]

    assert closed(mixed, by_colour=True).rings == ()
    assert len(closed(mixed).rings) == 1
    assert len(closed([*red, *blue], by_colour=True).rings) == 2


def test_layers_are_joined_only_if_they_may_be() -> None:
    lines = [*sides(layer="Cut")[:3], *sides(layer="Bound")[3:]]

    assert len(closed(lines).rings) == 1
    assert closed(lines, across_layers=False).leftover == tuple(lines)


def test_a_branch_is_told_once_with_the_lines_as_they_were_drawn() -> None:
    lines = [*sides(layer="Cut"), drawn(polyline(200, 250 - 50j), layer="Cut")]

    result = closed(lines)

    (branch,) = result.branches
    assert branch.place == 200
    assert set(map(id, branch.lines)) == {id(lines[0]), id(lines[1]), id(lines[4])}
    assert [finding.code for finding in result.findings] == ["branching-lines"]


def test_a_branch_across_layers_is_told_too() -> None:
    lines = [*sides(layer="Cut"), drawn(polyline(200, 250 - 50j), layer="Marks")]
    lines[0] = drawn(lines[0].path, layer="Bound")

    result = closed(lines)

    assert [branch.place for branch in result.branches] == [200]
    assert {id(line) for line in result.branches[0].lines} <= set(map(id, lines))


def test_outlines_run_anticlockwise_and_flat_ones_are_left_out() -> None:
    flat = drawn(rectangle(100, 0))

    result = closed([drawn(reverse_path(rectangle(30, 20))), flat])

    (ring,) = result.rings
    assert ring.path.segments.control[0, :2].tolist() == [0, 30]
    assert [finding.code for finding in result.findings] == ["flat-line"]

from collections.abc import Sequence
from dataclasses import replace

import pytest
from drawn import bodice, compound, piece_of, pieces_of
from shapes import circle_outline, polygon, rectangle

from edgefinder.classifier.job import End, Finish, InsideCorner, Join, RunSettings
from edgefinder.classifier.rings import Copy
from edgefinder.classifier.run_order import Group, Use, group_uses
from edgefinder.pattern.pieces import Piece

HEXAGON = polygon(0, 100, 150 + 80j, 100 + 160j, 160j, -50 + 80j)


def run(*, closed: bool = False) -> RunSettings:
    return RunSettings(
        name="neck",
        tape="main",
        edges=(),
        is_closed=closed,
        start=End.TURNED_UNDER,
        end=End.TURNED_UNDER,
        turned_under=10.0,
        tie_length=0.0,
        handling_tail=75.0,
        join=Join.SQUARE,
        inside_corners=InsideCorner.MITRE,
        times=1,
    )


def uses(piece: Piece, *numbers: int) -> list[Use]:
    """Negative numbers are mirrored."""
    return [(piece, Copy(abs(n), mirrored=n < 0)) for n in numbers]


def grouped(
    every: Sequence[Use],
    *,
    closed: bool = False,
    folds: dict[str, int | None] | None = None,
    bound: dict[str, set[int]] | None = None,
) -> tuple[tuple[Group, ...], list[str]]:
    pieces = {piece.name: piece for piece, _ in every}
    finishes = {
        name: tuple(
            Finish.BOUND
            if edge.number in (bound or {}).get(name, set())
            or any(p is piece and c.number == edge.number for p, c in every)
            else Finish.SEAM
            for edge in piece.edges
        )
        for name, piece in pieces.items()
    }
    known = {name: (folds or {}).get(name) for name in pieces}
    return group_uses(run(closed=closed), every, finishes, known)


def numbers(group: Group) -> list[int]:
    return [-copy.number if copy.mirrored else copy.number for copy in group.copies]


def test_edges_that_follow_each_other_are_one_group() -> None:
    (group,), mistakes = grouped(uses(piece_of(HEXAGON), 2, 3, 4))

    assert numbers(group) == [2, 3, 4]
    assert not group.is_against
    assert not group.is_whole
    assert mistakes == []


def test_a_run_may_go_over_the_start_of_the_numbers() -> None:
    (group,), mistakes = grouped(uses(piece_of(HEXAGON), 5, 6, 1, 2))

    assert numbers(group) == [5, 6, 1, 2]
    assert mistakes == []


def test_a_run_against_the_numbers_is_put_in_their_order() -> None:
    (group,), mistakes = grouped(uses(piece_of(HEXAGON), 2, 1, 6))

    assert numbers(group) == [6, 1, 2]
    assert group.is_against
    assert mistakes == []


@pytest.mark.parametrize(
    ("taken", "between"), [((2, 3, 5), 4), ((5, 4, 2), 3), ((6, 2), 1), ((2, 6, 5), 1)]
)
def test_edges_that_do_not_meet_are_a_mistake_that_names_one_between(
    taken: tuple[int, ...], between: int
) -> None:
    _, mistakes = grouped(uses(piece_of(HEXAGON), *taken))

    assert len(mistakes) == 1
    assert "do not meet" in mistakes[0]
    assert mistakes[0].endswith(f"between them lies edge {between}")


def test_edges_are_told_by_a_persons_own_names() -> None:
    drawn = piece_of(HEXAGON)
    names = {2: "neck", 4: "hem"}
    edges = tuple(replace(e, name=names.get(e.number, "")) for e in drawn.edges)

    _, mistakes = grouped(uses(replace(drawn, edges=edges), 2, 3, 5))
    _, closed = grouped(uses(replace(drawn, edges=edges), 2, 3, 4), closed=True)

    assert mistakes[0].endswith("between them lies edge hem")
    assert 'hem" does not meet' in closed[0]


def test_every_place_where_edges_do_not_meet_is_reported() -> None:
    _, mistakes = grouped(uses(piece_of(HEXAGON), 1, 3, 5))

    assert len(mistakes) == 2


def test_a_whole_outline_is_known_as_one() -> None:
    (group,), mistakes = grouped(uses(piece_of(HEXAGON), 3, 4, 5, 6, 1, 2), closed=True)

    assert group.is_whole
    assert mistakes == []


@pytest.mark.parametrize("closed", [True, False])
def test_a_smooth_outline_is_a_whole_one(closed: bool) -> None:
    (group,), mistakes = grouped(uses(piece_of(circle_outline(60)), 1), closed=closed)

    assert group.is_whole
    assert mistakes == []


def test_a_closed_run_that_does_not_close_is_a_mistake_with_both_its_ends() -> None:
    _, mistakes = grouped(uses(piece_of(HEXAGON, "bib"), 2, 3, 4), closed=True)

    (message,) = mistakes
    assert message == (
        'closed: "bib 4" does not meet "bib 2"; name the edges between them or write '
        "closed = false"
    )


def test_three_edges_of_three_are_a_whole_outline_either_way() -> None:
    triangle = piece_of(polygon(0, 100, 50 + 60j))

    for order in ((1, 2, 3), (3, 2, 1), (2, 1, 3)):
        (group,), mistakes = grouped(uses(triangle, *order), closed=True)
        assert group.is_whole
        assert mistakes == []


def test_a_run_crosses_the_fold_to_the_mirrored_half() -> None:
    front = piece_of(bodice())

    (group,), mistakes = grouped(uses(front, 4, 5, -4), folds={"front": 6})

    assert numbers(group) == [4, 5, -4]
    assert mistakes == []


def test_an_edge_at_the_fold_is_the_same_with_and_without_mirrored() -> None:
    front = piece_of(bodice())

    (group,), mistakes = grouped(uses(front, 4, -5, -4), folds={"front": 6})

    assert numbers(group) == [4, 5, -4]
    assert mistakes == []


def test_all_edges_of_an_unfolded_piece_close() -> None:
    front = piece_of(bodice())
    every = uses(front, 1, 2, 3, 4, 5, -4, -3, -2)

    (group,), mistakes = grouped(every, closed=True, folds={"front": 6})

    assert group.is_whole
    assert mistakes == []


def test_a_run_goes_from_piece_to_piece_at_their_seams() -> None:
    front, back = piece_of(bodice(), "front"), piece_of(bodice(), "back")
    every = [*uses(back, 5), *uses(front, 5), *uses(back, -5)]

    groups, mistakes = grouped(every, folds={"front": 6})

    assert [group.piece.name for group in groups] == ["back", "front", "back"]
    assert [numbers(group) for group in groups] == [[5], [5], [-5]]
    assert mistakes == []


def test_a_closed_run_over_two_pieces_needs_a_seam_at_both_ends_of_each() -> None:
    front, back = piece_of(bodice(), "front"), piece_of(bodice(), "back")

    _, mistakes = grouped(
        [*uses(front, 3), *uses(back, 3)],
        closed=True,
        bound={"back": {4}},
    )

    (message,) = mistakes
    assert message == (
        'edges: "back 3" and "front 3" do not meet: a run goes from piece to piece at '
        "a seam, and there is none at the end of the first"
    )


def test_an_open_run_may_begin_and_end_off_a_seam() -> None:
    front, back = piece_of(bodice(), "front"), piece_of(bodice(), "back")

    _, mistakes = grouped(
        [*uses(front, 3), *uses(back, 3)], bound={"front": {2}, "back": {4}}
    )

    assert mistakes == []


def test_a_whole_outline_has_no_seam_to_leave_it_at() -> None:
    disc, front = piece_of(circle_outline(60), "disc"), piece_of(bodice())

    _, mistakes = grouped([*uses(disc, 1), *uses(front, 3)])

    assert len(mistakes) == 1
    assert '"disc 1"' in mistakes[0]


def test_the_same_edge_twice_is_two_passes() -> None:
    strap = piece_of(rectangle(300, 40), "strap")

    groups, _ = grouped(uses(strap, 1, 1))

    assert [numbers(group) for group in groups] == [[1], [1]]


def test_the_outline_and_its_cut_out_do_not_follow_each_other() -> None:
    (piece,) = pieces_of(*compound(rectangle(300, 200), circle_outline(40, 150 + 100j)))

    groups, mistakes = grouped(uses(piece, 1, 5))

    assert [numbers(group) for group in groups] == [[1], [5]]
    assert mistakes


def test_the_fold_itself_is_left_to_the_tags_of_its_piece() -> None:
    groups, mistakes = grouped(uses(piece_of(bodice()), 6), folds={"front": 6})

    assert groups == ()
    assert mistakes == []

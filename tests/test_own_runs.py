"""Bound edges that are in no run, allowances, and a person's own names and marks."""

from pathlib import Path as FilePath

import pytest
from drawn import bodice, compound, job_of, piece_of, pieces_of
from shapes import circle_outline, rectangle

from edgefinder.classifier.job import End, RunSettings
from edgefinder.classifier.sizes import sort_by_size
from edgefinder.classifier.tagging import tag_sizes
from edgefinder.classifier.tags import TaggedSize
from edgefinder.errors import EdgefinderError, TagError
from edgefinder.pattern.pieces import Piece

HEAD = """
drawings = ["a.svg"]
seam_allowance = "10 mm"
"""
TAPE = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
WIDE = '[[tapes]]\nname = "wide"\nfinished_width = "12 mm"\n'


def tagged(folder: FilePath, text: str, *pieces: Piece) -> TaggedSize:
    sizes, _ = sort_by_size([pieces])
    (size,) = tag_sizes(job_of(folder, HEAD + text), sizes)
    return size


def of_front(more: str, tapes: str = TAPE) -> str:
    return f'{tapes}[[pieces]]\nname = "front"\n{more}\n'


def only_run(size: TaggedSize) -> RunSettings:
    (run,) = size.runs
    return run.settings


def notes(size: TaggedSize) -> list[str]:
    return [f.message for f in size.findings if f.code == "own-run"]


def mistakes(folder: FilePath, text: str, *pieces: Piece) -> list[str]:
    with pytest.raises(TagError) as caught:
        tagged(folder, text, *pieces)
    front = f"{folder / 'job.toml'}: "
    return [message.removeprefix(front) for message in caught.value.messages]


# Runs of their own

# Bodice: 1 hem, 2 side, 3 armhole, 4 shoulder, 5 neck (meets the fold), 6 fold.


@pytest.mark.parametrize(
    ("said", "times"),
    [
        ("bound = [5]", 1),
        ("bound = [5]\ncut = 2", 2),
        ("bound = [5]\nfold_edge = 6", 1),  # one pass across the fold
        ("bound = [5]\nfold_edge = 6\ncut = 2", 2),
        ("bound = [3]\nfold_edge = 6", 2),  # left and right
        ("bound = [3]\nfold_edge = 6\ncut = 2", 4),
    ],
)
def test_a_run_of_its_own_is_sewn_as_often_as_the_edge_is_there(
    tmp_path: FilePath, said: str, times: int
) -> None:
    size = tagged(tmp_path, of_front(said), piece_of(bodice()))

    run = only_run(size)
    assert (run.times, run.tape, run.is_closed) == (times, "main", False)
    (note,) = notes(size)
    told = "once" if times == 1 else f"{times} times"
    assert f'it makes a run of its own, "{run.name}", sewn {told}, ' in note
    # Bound as often as it is cut: nothing to warn of.
    assert [f for f in size.findings if f.code == "bound-count"] == []


@pytest.mark.parametrize(
    ("said", "ends"),
    [
        ("bound = [3]", (End.IN_SEAM, End.IN_SEAM)),
        ("bound = [3]\nhem = [2]", (End.TURNED_UNDER, End.IN_SEAM)),
        ("bound = [3]\nraw = [4]", (End.IN_SEAM, End.TURNED_UNDER)),
        ("bound = [3]\nfacing = [2, 4]", (End.TURNED_UNDER, End.TURNED_UNDER)),
        ("bound = [5]\nfold_edge = 6", (End.IN_SEAM, End.IN_SEAM)),
        ("bound = [5]\nfold_edge = 6\nhem = [4]", (End.TURNED_UNDER,) * 2),
    ],
)
def test_its_ends_are_caught_in_the_seams_beside_it(
    tmp_path: FilePath, said: str, ends: tuple[End, End]
) -> None:
    size = tagged(tmp_path, of_front(said), piece_of(bodice()))

    run = only_run(size)
    assert (run.start, run.end) == ends


def test_a_loop_makes_a_closed_run(tmp_path: FilePath) -> None:
    (piece,) = pieces_of(
        *compound(rectangle(300, 200), circle_outline(40, 150 + 90j), label="front")
    )

    size = tagged(tmp_path, of_front('bound = ["cutout 1"]\ncut = 2'), piece)

    run = only_run(size)
    assert (run.is_closed, run.times) == (True, 2)
    assert notes(size)[0].endswith("sewn 2 times, a loop")


def test_each_bound_edge_in_no_run_makes_one_by_its_own_name(
    tmp_path: FilePath,
) -> None:
    said = (
        'bound = ["neck", 3, "from corner 2 to 2 at 50 %"]\nedge_names = { neck = 5 }'
    )
    run = '[[runs]]\nname = "x"\ntape = "main"\nedges = ["front 3"]\n'

    size = tagged(tmp_path, of_front(said) + run, piece_of(bodice()))

    assert [one.settings.name for one in size.runs] == ["x", "front 2a", "front neck"]


def test_a_run_of_its_own_does_not_take_the_name_of_another(tmp_path: FilePath) -> None:
    run = '[[runs]]\nname = "Front 5"\ntape = "main"\nedges = ["front 3"]\n'

    size = tagged(tmp_path, of_front("bound = [5]") + run, piece_of(bodice()))

    assert [one.settings.name for one in size.runs] == ["Front 5", "front 5 alone"]


def test_the_tape_of_a_piece_is_that_of_its_own_runs(tmp_path: FilePath) -> None:
    size = tagged(
        tmp_path,
        of_front('bound = [5]\ntape = "wide"', TAPE + WIDE),
        piece_of(bodice()),
    )

    assert only_run(size).tape == "wide"


def test_with_several_tapes_one_must_be_named(tmp_path: FilePath) -> None:
    assert mistakes(
        tmp_path, of_front("bound = [5]", TAPE + WIDE), piece_of(bodice())
    ) == [
        (
            'pieces "front": has bound edges in no run, and there are 2 tapes; write '
            'tape = "..." in the piece, or put the edges in a run'
        )
    ]


# Allowances: of the pattern, of a finish, of a piece, of an edge


@pytest.mark.parametrize(
    ("top", "said", "wanted"),
    [
        ("", "", (10, 10, 10, 10, 10, 10)),
        ("", "hem = [1]\nraw = [2]\nfacing = [3]", (0, 0, 10, 10, 10, 10)),
        (
            'allowances = { hem = "20 mm", raw = "3 mm" }',
            "hem = [1]\nraw = [2]",
            (20, 3, 10, 10, 10, 10),
        ),
        (
            'allowances = { seam = "12 mm", facing = "6 mm", bound = "4 mm" }',
            "facing = [3]\nbound = [5]",
            (12, 12, 6, 12, 4, 12),
        ),
        (
            'allowances = { seam = "12 mm", hem = "20 mm" }',
            'seam_allowance = "5 mm"\nhem = [1]\nfacing = [3]',
            (20, 5, 5, 5, 5, 5),
        ),
        (
            'allowances = { hem = "20 mm" }',
            (
                'seam_allowance = "5 mm"\nhem = [1]\nfold_edge = 6\n'
                'edge_names = { side = 2 }\nallowances = { side = "7 mm", 1 = "30 mm" }'
            ),
            (30, 7, 5, 5, 5, 0),
        ),
        (
            "",
            'allowances = { "all except 2, 3" = "1 mm", 3 = "2 mm" }',
            (1, 10, 2, 1, 1, 1),
        ),
        ("", 'allowances = { all = "1 mm", 3 = "0 mm" }', (1, 1, 0, 1, 1, 1)),
    ],
)
def test_the_nearer_rule_gives_the_allowance(
    tmp_path: FilePath, top: str, said: str, wanted: tuple[float, ...]
) -> None:
    size = tagged(tmp_path, f"{top}\n{of_front(said)}", piece_of(bodice()))

    assert size.pieces[0].allowances == wanted


def test_parts_of_an_edge_can_have_allowances_of_their_own(tmp_path: FilePath) -> None:
    said = (
        'marks = { mid = "2 at 50 %" }\nhem = ["from mid to corner 3"]\n'
        'allowances = { 2a = "3 mm", 2b = "4 mm" }'
    )

    size = tagged(tmp_path, of_front(said), piece_of(bodice()))

    edges = size.pieces[0].piece.edges
    found = dict(zip([e.label for e in edges], size.pieces[0].allowances, strict=True))
    assert (found["2a"], found["2b"], found["3"]) == (3, 4, 10)


# Own names and marks that mean nothing


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (
            "edge_names = { neck = 9 }",
            'edge_names: neck: "front" has no edge 9; it has edges 1 to 6',
        ),
        ("edge_names = { neck = '5a' }", 'edge 5 of "front" has no part a'),
        ("edge_names = { none = 'all except all' }", "none: means no edge"),
        ("edge_names = { red = 'colour:red' }", 'red: no edge of "front" is drawn as'),
        ("marks = { top = '9 at 5 %' }", 'marks: top: "front" has no edge 9'),
        ("marks = { top = 'notch 3' }", 'marks: top: there is no notch "3"'),
        ("marks = { top = '2 at 9 m' }", "mm long and has no place at 9000.0 mm"),
        ("raw = ['all except all']", 'raw: "all except all" means no edge'),
        ("fold_edge = 'all'", 'fold_edge: "all" means 6 edges'),
    ],
)
def test_what_means_nothing_on_a_piece_is_told_though_no_rule_uses_it(
    tmp_path: FilePath, said: str, message: str
) -> None:
    found = mistakes(tmp_path, of_front(said), piece_of(bodice()))

    assert len(found) == 1
    assert found[0].startswith('pieces "front": ')
    assert message in found[0]


@pytest.mark.parametrize("said", ["bound = ['all']", "bound = [6]", "bound = ['fold']"])
def test_a_fold_edge_can_never_be_bound(tmp_path: FilePath, said: str) -> None:
    more = "fold_edge = 6\nedge_names = { fold = 6 }\n"

    found = mistakes(tmp_path, of_front(more + said), piece_of(bodice()))

    assert any(
        "is fold by line " in one and "and bound by line " in one for one in found
    )


def test_a_run_over_the_fold_is_told_too(tmp_path: FilePath) -> None:
    run = '[[runs]]\nname = "x"\ntape = "main"\nedges = ["front all"]\n'

    with pytest.raises(EdgefinderError, match=r"is bound by line .* and fold by line "):
        tagged(tmp_path, of_front("fold_edge = 6") + run, piece_of(bodice()))

"""An edge cut again and again: all that was said goes on to mean the same stretch."""

from pathlib import Path

import pytest
from test_page_changes import SQUARES, change, desk_of, finish

from edgefinder.classifier.job import Finish
from edgefinder.classifier.job_file import read_job
from edgefinder.classifier.retagging import Tagging
from edgefinder.errors import EdgefinderError
from edgefinder.page.desk import Desk
from edgefinder.schedule.reading import tag_unfinished
from edgefinder.schedule.tag_edits import tag_edges, untag_edges, write_edited

LOOP = """<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm"
 viewBox="0 0 400 400"><circle id="front" cx="150" cy="150" r="100"/></svg>"""

NOTCHED = """<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm"
 viewBox="0 0 900 400">
<g id="Size-1"><path d="M10 10 h200 v200 h-200 z"><title>front</title></path>
<path class="n" d="M60 210 v-5"/></g>
<g id="Size-2"><path d="M450 10 h200 v200 h-200 z"><title>front</title></path>
<path class="n" d="M550 210 v-5"/></g>
</svg>"""


def split(desk: Desk, edge: int, place: str) -> None:
    change(desk, do="split", size="1", piece="front", edge=edge, place=place)


def lying(desk: Desk, size: int = 0) -> list[tuple[int, int, str]]:
    """Where each part of edge 1 begins and ends, in per cent, and its finish.

    Parts that follow each other and have one finish are one stretch.
    """
    sizes = tag_unfinished(read_job(desk.path)).sizes
    front = next(one for one in sizes[size].pieces if one.piece.name == "front")
    parts = [
        (edge.length, str(finish))
        for edge, finish in zip(front.piece.edges, front.finishes, strict=True)
        if edge.known_as == (1,)
    ]
    whole = sum(length for length, _ in parts)
    found: list[tuple[int, int, str]] = []
    at = 0.0
    for length, what in parts:
        begin, at = at, at + length
        if found and found[-1][2] == what:
            begin = found.pop()[0] * whole / 100
        found.append((round(100 * begin / whole), round(100 * at / whole), what))
    return found


def parts_of(desk: Desk) -> list[str]:
    seen = desk.look().draft.tagged
    assert seen is not None
    (front,) = [p for p in seen.sizes[0].pieces if p.piece.name == "front"]
    return [edge.label for edge in front.piece.edges]


@pytest.mark.parametrize(
    ("edge", "place"), [(1, "1 at 20 %"), (2, "1 at 80 %"), (2, "1 at 160 mm")]
)
@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ((), [(0, 100, "seam")]),
        ((2,), [(0, 40, "seam"), (40, 100, "hem")]),
        ((1,), [(0, 40, "hem"), (40, 100, "seam")]),
        ((1, 2), [(0, 100, "hem")]),
    ],
)
def test_a_part_that_is_cut_keeps_its_finish_and_so_do_the_others(
    tmp_path: Path,
    said: tuple[int, ...],
    expected: list[tuple[int, int, str]],
    edge: int,
    place: str,
) -> None:
    desk = desk_of(tmp_path, "")
    split(desk, 1, "1 at 40 %")
    for part in said:
        finish(desk, f"front {part}", "hem")
    assert lying(desk) == expected
    split(desk, edge, place)
    assert len(parts_of(desk)) == 6
    assert lying(desk) == lying(desk, size=1) == expected


def test_letters_are_kept_right_over_many_cuts(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "")
    split(desk, 1, "1 at 50 %")
    finish(desk, "front 2", "hem")
    for edge, place in ((2, "75"), (1, "25"), (3, "60"), (1, "10"), (6, "90")):
        split(desk, edge, f"1 at {place} %")
        assert lying(desk) == [(0, 50, "seam"), (50, 100, "hem")]
    assert len(parts_of(desk)) == 10


@pytest.mark.parametrize(
    ("edges", "expected"),
    [
        (["front 1b", "front 2"], ["front 1b", "front 1c", "front 2"]),
        (["front 2", "front 1b"], ["front 2", "front 1c", "front 1b"]),
        (["front 1b", "front 1a"], ["front 1c", "front 1b", "front 1a"]),
        (["front 1a", "front 1b"], ["front 1a", "front 1b", "front 1c"]),
    ],
)
def test_a_run_goes_over_both_halves_the_way_it_went_over_the_part(
    tmp_path: Path, edges: list[str], expected: list[str]
) -> None:
    listed = ", ".join(f'"{edge}"' for edge in edges)
    run = f'[[runs]]\nname = "r"\ntape = "main"\nedges = [{listed}]\n'
    cut = '[[pieces]]\nname = "front"\nedge_names.x = "from corner 1 to 1 at 40 %"\n'
    desk = desk_of(tmp_path, cut + run)
    before = desk.look().draft.release
    split(desk, 2, "1 at 80 %")
    (after,) = read_job(desk.path).runs
    assert [word.text for word in after.edges] == expected
    release = desk.look().draft.release
    assert before is not None
    assert release is not None
    for one, other in zip(before.sizes, release.sizes, strict=True):
        assert one.runs[0].judged.fed == pytest.approx(other.runs[0].judged.fed)


def test_a_name_of_a_part_goes_on_to_mean_all_of_it(tmp_path: Path) -> None:
    names = '{ x = "from corner 1 to 1 at 40 %", nape = "1b" }'
    said = f'[[pieces]]\nname = "front"\nedge_names = {names}\nhem = ["nape"]\n'
    desk = desk_of(tmp_path, said)
    assert lying(desk) == [(0, 40, "seam"), (40, 100, "hem")]
    split(desk, 2, "nape at 50 %")
    assert lying(desk) == [(0, 40, "seam"), (40, 100, "hem")]
    assert parts_of(desk)[:3] == ["x", "first of nape", "nape 1c"]
    split(desk, 1, "1 at 10 %")  # all letters change once more
    assert lying(desk) == [(0, 40, "seam"), (40, 100, "hem")]


def test_a_place_along_a_part_is_measured_from_its_start(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "")
    split(desk, 1, "1 at 40 %")
    split(desk, 2, "1b at 25 %")
    finish(desk, "front 2", "hem")
    expected = [(0, 40, "seam"), (40, 55, "hem"), (55, 100, "seam")]
    assert lying(desk) == lying(desk, size=1) == expected
    split(desk, 3, "1c at 45 mm")  # half of what is left, in the size that is seen
    finish(desk, "front 4", "raw")
    assert lying(desk)[2:] == [(55, 78, "seam"), (78, 100, "raw")]


@pytest.mark.parametrize(
    ("edge", "place"),
    [
        (2, "1 at 20 %"),  # on the part before it
        (1, "2 at 20 %"),
        (2, "1 at 40 %"),  # cut there already
        (3, "corner 2"),
        (2, "1b at 200 mm"),
    ],
)
def test_a_place_that_is_not_within_the_edge_is_a_mistake(
    tmp_path: Path, edge: int, place: str
) -> None:
    desk = desk_of(tmp_path, "")
    split(desk, 1, "1 at 40 %")
    before = desk.path.read_bytes()
    with pytest.raises(EdgefinderError):
        split(desk, edge, place)
    assert desk.path.read_bytes() == before


def test_marks_in_another_order_in_another_size_are_refused_where_letters_count(
    tmp_path: Path,
) -> None:
    """The notch lies at 25 % in the first size, at 50 % in the second."""
    rules = 'notches = ["class:n"]\n'
    desk = desk_of(tmp_path, "", NOTCHED)
    text = desk.path.read_text("utf-8")
    desk.path.write_text(text.replace("\n\n", f"\n{rules}\n", 1), "utf-8")
    split(desk, 1, "notch 1")
    free = desk.path.read_bytes()
    finish(desk, "front 2", "hem")
    with pytest.raises(EdgefinderError, match="in every size"):
        split(desk, 2, "1 at 40 %")
    desk.path.write_bytes(free)
    split(desk, 2, "1 at 40 %")
    assert len(parts_of(desk)) == 6


def test_a_loop_is_cut_again_and_again(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "", LOOP)
    size = desk.look().draft.sizes[0]
    for edge, place in ((1, "40"), (2, "80"), (1, "20")):
        asked = {"size": size, "piece": "front", "edge": edge}
        change(desk, do="split", **asked, place=f"1 at {place} %")
        if edge == 1 and place == "40":
            finish(desk, "front 2", "hem")
    assert len(parts_of(desk)) == 4
    assert lying(desk) == [(0, 40, "seam"), (40, 100, "hem")]


MARKED = SQUARES.replace(
    "</svg>",
    """<g id="m"><path d="M60 212 h100"/><path d="M502.5 222 h105"/></g>
</svg>""",
)
"""Beside edge 1 of the front a line from a quarter to three quarters of it."""


@pytest.mark.parametrize(
    ("edge", "place", "label", "expected"),
    [
        (1, "10", "first of 1a", [(0, 25, "seam"), (25, 75, "hem"), (75, 100, "raw")]),
        (3, "80", "rest of 1c", [(0, 25, "seam"), (25, 75, "hem"), (75, 100, "raw")]),
    ],
)
def test_parts_beside_a_marker_line_are_cut(
    tmp_path: Path,
    edge: int,
    place: str,
    label: str,
    expected: list[tuple[int, int, str]],
) -> None:
    said = '[[pieces]]\nname = "front"\nhem = ["marker"]\nraw = ["1c"]\n'
    desk = desk_of(tmp_path, said, MARKED)
    text = desk.path.read_text("utf-8")
    text = text.replace("\n\n", '\nmarker_lines = ["layer:m"]\n\n', 1)
    desk.path.write_text(text, "utf-8")
    assert lying(desk) == expected
    split(desk, edge, f"1 at {place} %")
    assert lying(desk) == lying(desk, size=1) == expected
    assert label in parts_of(desk)
    with pytest.raises(EdgefinderError, match="marker lines end"):
        split(desk, 2 if edge == 3 else 3, "1 at 50 %")


CUT = """
[[pieces]]
name = "front"
edge_names = {{ x = "from corner 1 to 1 at 20 %", y = "from corner 1 to 1 at 60 %" }}
{}

[[runs]]
name = "r"
tape = "main"
edges = ["front from corner 1 to 1 at 10 %"]
"""
"""Edge 1 of the front has the parts 1a to 1d, cut at 10, 20 and 60 per cent."""


@pytest.mark.parametrize(
    ("asked", "letter"),
    [
        ({"do": "remove", "kind": "runs", "name": "r"}, "c"),
        (
            {"do": "set", "kind": "runs", "name": "r", "key": "edges"}
            | {"value": ["front 4"]},
            "c",
        ),
        (
            {"do": "finish", "size": "1", "finish": "bound", "run": "r"}
            | {"edges": [{"piece": "front", "edge": 1}]},
            "d",
        ),
    ],
)
def test_a_cut_that_is_not_needed_any_more_changes_letters_and_no_finish(
    tmp_path: Path, asked: dict[str, object], letter: str
) -> None:
    desk = desk_of(tmp_path, CUT.format('hem = ["1d"]'))
    assert lying(desk)[-1] == (60, 100, "hem")
    change(desk, **asked)
    assert lying(desk)[-1] == lying(desk, size=1)[-1] == (60, 100, "hem")
    assert f'hem = ["1{letter}"]' in desk.path.read_text("utf-8")


def test_a_cut_at_which_a_part_ends_that_is_named_stays(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, CUT.format('raw = ["1b"]'))
    expected = [(0, 10, "bound"), (10, 20, "raw"), (20, 100, "seam")]
    assert lying(desk) == expected
    with pytest.raises(EdgefinderError, match='"front 1b" is named, and a mark'):
        change(desk, do="remove", kind="runs", name="r")
    assert lying(desk) == expected


def test_the_commands_keep_letters_too(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, CUT.format('hem = ["1d"]'))
    stretch = "from corner 1 to 1 at 10 %"
    write_edited(untag_edges(desk.path, "front", [stretch]))
    assert lying(desk)[-1] == (60, 100, "hem")
    assert 'hem = ["1c"]' in desk.path.read_text("utf-8")
    shorter = "from corner 1 to 1 at 5 %"
    write_edited(tag_edges(desk.path, "front", [shorter], Tagging(Finish.RAW)))
    assert lying(desk) == [(0, 5, "raw"), (5, 60, "seam"), (60, 100, "hem")]
    assert 'hem = ["1d"]' in desk.path.read_text("utf-8")

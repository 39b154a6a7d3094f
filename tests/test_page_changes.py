"""Pointing at edges: what becomes of the job file."""

import shutil
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from conformance.apron import ALLOWANCE, CUTS, FOLD, RAW, RUNS, two_words
from hypothesis import given, settings
from hypothesis import strategies as st
from page_server import demo_copy

from edgefinder.classifier.job_file import read_job
from edgefinder.classifier.own_list import NOTHING
from edgefinder.errors import EdgefinderError, SettingsError, TagError
from edgefinder.page.changes import read_change
from edgefinder.page.desk import Desk, Seen, StaleError
from edgefinder.page.state import state_data
from edgefinder.reports.release_text import schedule_text
from edgefinder.schedule.reading import tag_unfinished
from edgefinder.schedule.release import release_from_file

SQUARES = """<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm"
 viewBox="0 0 900 400">
<g id="Size-1"><path id="a" d="M10 10 h200 v200 h-200 z"><title>front</title></path>
<path id="b" d="M230 10 h200 v220 h-200 z"><title>back</title></path></g>
<g id="Size-2"><path id="c" d="M450 10 h210 v210 h-210 z"><title>front</title></path>
<path id="d" d="M670 10 h210 v230 h-210 z"><title>back</title></path></g>
</svg>"""

HEAD = """# mine
drawings = ["p.svg"]   # the drawing

[[tapes]]
name = "main"        # the only one
finished_width = "9 mm"
"""


def desk_of(folder: Path, text: str, drawing: str = SQUARES) -> Desk:
    (folder / "p.svg").write_text(drawing, "utf-8")
    (folder / "p.toml").write_text(HEAD + text, "utf-8")
    return Desk(folder / "p.toml", lambda: NOTHING)


def change(desk: Desk, **asked: Any) -> Seen:
    wanted = read_change(asked, desk.memory)
    return desk.change(desk.look().revision, wanted.label, wanted.make)


def finish(desk: Desk, edges: str, finish: str, **more: str) -> Seen:
    """Give edges a finish: ``"front 1, back 3"``."""
    pointed = [one.split() for one in edges.split(", ")]
    listed = [{"piece": piece, "edge": int(edge)} for piece, edge in pointed]
    size = desk.look().draft.sizes[0]
    return change(desk, do="finish", size=size, edges=listed, finish=finish, **more)


def mirror(desk: Desk, edge: str, run: str = "r") -> Seen:
    """Add the other half of an edge to a run."""
    piece, number = edge.split()
    listed = [{"piece": piece, "edge": int(number)}]
    return change(desk, do="mirror", size="1", run=run, edges=listed)


def tapes_alone(desk: Desk) -> dict[str, str]:
    """The tapes of the runs that are written nowhere."""
    release = desk.look().draft.release
    assert release is not None
    written = {run.name for run in read_job(desk.path).runs}
    return {
        row.run.name: row.run.tape.name
        for row in release.sizes[0].runs
        if row.run.name not in written
    }


def finishes(path: Path) -> dict[str, str]:
    """What every edge of every size is, read from the file."""
    return {
        f"{size.size} {one.piece.name} {edge.label}": str(what)
        for size in tag_unfinished(read_job(path)).sizes
        for one in size.pieces
        for edge, what in zip(one.piece.edges, one.finishes, strict=True)
    }


@pytest.mark.parametrize(
    ("rules", "edges", "wanted", "expected"),
    [
        # nothing is said yet
        ("", "front 2", "hem", "hem = [2]"),
        ("", "front 2, front 4", "raw", "raw = [2, 4]"),
        # from one list to another
        ('[[pieces]]\nname = "front"\nhem = [2, 3]\n', "front 2", "raw", "hem = [3]"),
        # a word that means more is spelled out
        (
            '[[pieces]]\nname = "front"\nhem = ["all"]\n',
            "front 2",
            "raw",
            'hem = ["all except 2"]',
        ),
        (
            '[[pieces]]\nname = "front"\nhem = ["all except 1"]\n',
            "front 2",
            "raw",
            'hem = ["all except 1, 2"]',
        ),
        (
            '[[pieces]]\nname = "front"\nhem = ["from corner 1 to corner 4"]\n',
            "front 2",
            "raw",
            'hem = ["from corner 1 to corner 2", "from corner 3 to corner 4"]',
        ),
        # back to a seam: nothing is said
        ('[[pieces]]\nname = "front"\nhem = [2, 3]\n', "front 2", "seam", "hem = [3]"),
        # a name of one's own is used
        (
            '[[pieces]]\nname = "front"\nedge_names = { top = 2 }\n',
            "front 2",
            "hem",
            'hem = ["top"]',
        ),
        (
            '[[pieces]]\nname = "front"\nedge_names = { top = 2 }\nraw = ["top", 3]\n',
            "front 2",
            "hem",
            "raw = [3]",
        ),
        # the fold
        ('[[pieces]]\nname = "front"\nhem = [4]\n', "front 4", "fold", "fold_edge = 4"),
    ],
)
def test_an_edge_gets_a_finish_and_no_rule_says_otherwise(
    tmp_path: Path, rules: str, edges: str, wanted: str, expected: str
) -> None:
    desk = desk_of(tmp_path, rules)
    before = finishes(desk.path)
    finish(desk, edges, wanted)
    text = desk.path.read_text("utf-8")
    assert expected in text
    assert text.startswith(HEAD)
    chosen = {f"{size} {edge}" for size in ("1", "2") for edge in edges.split(", ")}
    chosen |= {one.replace("front 2", "front top") for one in chosen}
    for edge, what in finishes(desk.path).items():
        assert what == (wanted if edge in chosen else before[edge]), edge


def test_bound_edges_go_into_a_run_where_they_fit(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "")
    finish(desk, "front 2", "bound", run="round")
    assert 'edges = ["front 2"]' in desk.path.read_text("utf-8")
    finish(desk, "front 3", "bound", run="round")
    assert 'edges = ["front 2", "front 3"]' in desk.path.read_text("utf-8")
    finish(desk, "front 1", "bound", run="round")  # only before the others it meets
    text = desk.path.read_text("utf-8")
    assert 'edges = ["front 1", "front 2", "front 3"]' in text
    assert desk.look().draft.release is not None


@pytest.mark.parametrize(
    ("edges", "expected"),
    [
        ("front 1, front 3, front 4", ["front 3", "front 4", "front 1"]),
        ("front 1, front 4", ["front 4", "front 1"]),
        ("front 2, front 3", ["front 2", "front 3"]),
    ],
)
def test_edges_of_a_run_begin_behind_the_gap_between_them(
    tmp_path: Path, edges: str, expected: list[str]
) -> None:
    """The last edge of an outline is followed by its first."""
    desk = desk_of(tmp_path, "")
    finish(desk, edges, "bound", run="round")
    (run,) = read_job(desk.path).runs
    assert [word.text for word in run.edges] == expected


def test_a_mistake_about_a_name_with_quotation_marks_is_told(tmp_path: Path) -> None:
    runs = '[[runs]]\nname = "a"\ntape = "main"\nedges = ["\\"x\\" 1"]\n'
    draft = desk_of(tmp_path, runs).look().draft
    assert draft.release is None
    assert any('""x""' in line for line in draft.mistakes)


def test_a_run_keeps_its_settings_when_its_only_edge_is_bound_again(
    tmp_path: Path,
) -> None:
    run = '[[runs]]\nname = "top"\ntape = "main"\nedges = ["front 2"]\ntimes = 2\n'
    desk = desk_of(tmp_path, run)
    before = desk.path.read_text("utf-8")
    finish(desk, "front 2", "bound", run="top")
    assert desk.path.read_text("utf-8") == before


def test_a_run_without_edges_is_gone(tmp_path: Path) -> None:
    run = '[[runs]]\nname = "top"\ntape = "main"\nedges = ["front 2", "front 3"]\n'
    desk = desk_of(tmp_path, run)
    finish(desk, "front 2", "hem")
    assert 'edges = ["front 3"]' in desk.path.read_text("utf-8")
    finish(desk, "front 3", "hem")
    assert "[[runs]]" not in desk.path.read_text("utf-8")


def test_bound_edges_on_their_own_make_runs(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "")
    seen = finish(desk, "front 1, back 1", "bound")
    assert desk.path.read_text("utf-8").count("bound = [1]") == 2
    release = seen.draft.release
    assert release is not None
    assert [row.run.name for row in release.sizes[0].runs] == ["front 1", "back 1"]


def test_an_edge_is_split_at_a_place_and_both_parts_are_tagged(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, '[[pieces]]\nname = "front"\nhem = [2]\n')
    change(desk, do="split", size="1", piece="front", edge=2, place="2 at 25 %")
    found = finishes(desk.path)
    assert found["1 front first of 2"] == found["1 front 2b"] == "hem"
    (first, second) = (
        edge
        for one in tag_unfinished(read_job(desk.path)).sizes[0].pieces
        for edge in one.piece.edges
        if edge.part
    )
    assert first.length == pytest.approx(50)
    assert second.length == pytest.approx(150)
    finish(desk, "front 3", "raw")  # edge 3 in the list is now part 2b
    found = finishes(desk.path)
    assert found["1 front first of 2"] == "hem"
    assert found["1 front 2b"] == found["2 front 2b"] == "raw"


def test_names_come_and_go(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "")
    change(desk, do="call", size="1", piece="front", edge=2, name="top")
    assert "1 front top" in finishes(desk.path)
    change(desk, do="call", size="1", piece="front", edge=2, name="upper edge")
    assert "1 front upper edge" in finishes(desk.path)
    assert "top =" not in desk.path.read_text("utf-8")
    change(desk, do="call", size="1", piece="front", edge=2, name="")
    assert "1 front 2" in finishes(desk.path)
    with pytest.raises(EdgefinderError):
        change(desk, do="call", size="1", piece="front", edge=2, name="all")


def test_a_part_keeps_what_it_means_when_it_is_called_otherwise(
    tmp_path: Path,
) -> None:
    """Also where the job file writes the name of the piece with capitals."""
    desk = desk_of(tmp_path, '[[pieces]]\nname = "FRONT"\n')
    change(desk, do="split", size="1", piece="front", edge=2, place="2 at 25 %")
    split = desk.path.read_text("utf-8")
    change(desk, do="call", size="1", piece="front", edge=2, name="short")
    assert desk.path.read_text("utf-8") == split.replace('"first of 2"', "short")


def test_an_edge_has_an_allowance_until_it_is_taken_out(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, '[[pieces]]\nname = "front"\nedge_names = { top = 3 }\n')
    before = desk.path.read_text("utf-8")
    asked = {"do": "allow", "size": "1", "piece": "front", "edge": 3}

    def allowance() -> float:
        pieces = tag_unfinished(read_job(desk.path)).sizes[1].pieces
        return next(p for p in pieces if p.piece.name == "front").allowances[2]

    change(desk, **asked, amount="6 mm")
    assert allowance() == pytest.approx(6)
    change(desk, **asked, amount="1/2 in")
    assert allowance() == pytest.approx(12.7)
    with pytest.raises(EdgefinderError, match="no unit"):
        change(desk, **asked, amount="6")
    change(desk, **asked, amount="")
    assert allowance() == 0
    assert "allowances" not in desk.path.read_text("utf-8")
    by_name = before.replace("top = 3 }", 'top = 3 }\nallowances = { top = "9 mm" }')
    desk.path.write_text(by_name, "utf-8")
    change(desk, **asked, amount="")
    assert desk.path.read_text("utf-8") == before


RUN = """
[[runs]]
name = "top"
tape = "main"
edges = ["front 1", "front 2"]   # once round
"""


@pytest.mark.parametrize(
    ("asked", "old", "new"),
    [
        (
            {"kind": "tapes", "name": "main", "key": "finished_width", "value": "1 cm"},
            'finished_width = "9 mm"',
            'finished_width = "1 cm"',
        ),
        (
            {"kind": "runs", "name": "top", "key": "times", "value": 2},
            "   # once round\n",
            "   # once round\ntimes = 2\n",
        ),
        (
            {
                "kind": "runs",
                "name": "top",
                "key": "edges",
                "value": ["front 2", "front 3"],
            },
            '["front 1", "front 2"]',
            '["front 2", "front 3"]',
        ),
        (
            {"kind": "", "name": "", "key": "unit", "value": "cm"},
            'drawings = ["p.svg"]   # the drawing\n',
            'drawings = ["p.svg"]   # the drawing\nunit = "cm"\n',
        ),
        (
            {"kind": "tapes", "name": "main", "key": "name", "value": "blue"},
            '"main"',
            '"blue"',
        ),
    ],
)
def test_a_key_is_set_and_all_else_stays(
    tmp_path: Path, asked: Mapping[str, Any], old: str, new: str
) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.path.read_text("utf-8")
    change(desk, do="set", **asked)
    assert old in before
    assert desk.path.read_text("utf-8") == before.replace(old, new)
    desk.undo(desk.look().revision)
    assert desk.path.read_text("utf-8") == before


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            {"kind": "tapes", "name": "main", "key": "finished_width", "value": "9"},
            '"9" has no unit',
        ),
        (
            {"kind": "tapes", "name": "main", "key": "finished_with", "value": "9 mm"},
            "finished_width",
        ),
        ({"kind": "tapes", "name": "x", "key": "fold", "value": "flat"}, '"x"'),
        ({"kind": "tapes", "name": "main", "key": "name", "value": ["a"]}, "a text"),
        ({"kind": "tapes", "name": "main", "key": "name", "value": 3}, "a text"),
        ({"kind": "tapes", "name": "main", "key": "name", "value": None}, "a name"),
        ({"kind": "runs", "name": "top", "key": "tape", "value": "red"}, '"red"'),
        ({"kind": "runs", "name": "top", "key": "closed", "value": True}, "not meet"),
        (
            {"kind": "runs", "name": "top", "key": "edges", "value": ["front 9"]},
            "no edge 9",
        ),
        ({"kind": "wheels", "name": "a", "key": "b", "value": 1}, "wheels"),
        ({"kind": "", "name": "", "key": "unit", "value": {"a": 1}}, "cannot stand"),
    ],
)
def test_a_mistake_is_told_and_nothing_is_written(
    tmp_path: Path, asked: Mapping[str, Any], said: str
) -> None:
    desk = desk_of(tmp_path, RUN)
    before, seen = desk.path.read_bytes(), desk.look()
    with pytest.raises(EdgefinderError) as caught:
        change(desk, do="set", **asked)
    assert said in " ".join(caught.value.messages)
    assert desk.path.read_bytes() == before
    assert desk.look().revision == seen.revision
    assert desk.look().undo is None


def test_tapes_and_cloths_come_and_go(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.path.read_text("utf-8")
    change(desk, do="add", kind="tapes", name="narrow")
    change(desk, do="set", kind="runs", name="top", key="tape", value="narrow")
    change(desk, do="remove", kind="tapes", name="main")
    assert [tape.name for tape in read_job(desk.path).tapes] == ["narrow"]
    with pytest.raises(SettingsError, match="already"):
        change(desk, do="add", kind="tapes", name="narrow")
    with pytest.raises(EdgefinderError, match="no tape"):
        change(desk, do="remove", kind="tapes", name="narrow")
    change(desk, do="add", kind="cloths", name="curtain", stretch=12)
    change(desk, do="set", kind="tapes", name="narrow", key="cloth", value="curtain")
    change(desk, do="set", kind="cloths", name="curtain", key="name", value="blind")
    (tape,) = read_job(desk.path).tapes
    assert tape.cloth == "blind"
    for _ in range(6):
        desk.undo(desk.look().revision)
    assert desk.path.read_text("utf-8") == before


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"do": "fly"},
        {"do": 3},
        {"do": "finish", "size": "1", "edges": [], "finish": "hem"},
        {"do": "finish", "size": "1", "edges": [3], "finish": "hem"},
        {"do": "finish", "size": "1", "edges": [{"piece": "front"}], "finish": "hem"},
        {
            "do": "finish",
            "size": "1",
            "edges": [{"piece": "front", "edge": True}],
            "finish": "hem",
        },
        {
            "do": "finish",
            "size": "1",
            "edges": [{"piece": "front", "edge": 99}],
            "finish": "hem",
        },
        {
            "do": "finish",
            "size": "1",
            "edges": [{"piece": "sleeve", "edge": 1}],
            "finish": "hem",
        },
        {
            "do": "finish",
            "size": "1",
            "edges": [{"piece": "front", "edge": 1}],
            "finish": "frayed",
        },
        {"do": "set", "kind": "tapes", "name": "main", "key": "x" * 9999, "value": 1},
        {"do": "add", "kind": "runs", "name": "x"},
        {"do": "add", "kind": "tapes", "name": " "},
        {"do": "remove", "kind": "fabric", "name": ""},
        {"do": "split", "size": "1", "piece": "front", "edge": 1, "place": "nowhere"},
    ],
)
def test_what_cannot_be_is_refused_in_one_line(
    tmp_path: Path, asked: Mapping[str, Any]
) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.path.read_bytes()
    with pytest.raises(EdgefinderError) as caught:
        change(desk, **asked)
    assert all(message for message in caught.value.messages)
    assert desk.path.read_bytes() == before


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("clicks")


EDGES = st.sampled_from([f"{p} {n}" for p in ("front", "back") for n in range(1, 5)])
CLICKS = st.lists(
    st.tuples(EDGES, st.sampled_from(["hem", "raw", "facing", "seam", "bound"])),
    min_size=1,
    max_size=6,
)


@settings(max_examples=25)
@given(clicks=CLICKS)
def test_edges_are_what_was_clicked_last(
    shared: Path, clicks: list[tuple[str, str]]
) -> None:
    """However it is written, the file says the finish that each edge got last."""
    rules = '[[pieces]]\nname = "front"\nhem = ["all except 1"]\n'
    desk = desk_of(shared, rules)
    wanted = {f"front {n}": "hem" if n > 1 else "seam" for n in range(1, 5)}
    wanted |= {f"back {n}": "seam" for n in range(1, 5)}
    for edge, what in clicks:
        finish(desk, edge, what)
        wanted[edge] = what
    expected = {f"{s} {edge}": what for s in "12" for edge, what in wanted.items()}
    assert finishes(desk.path) == expected
    for _ in clicks:
        desk.undo(desk.look().revision)
    assert desk.path.read_text("utf-8") == HEAD + rules


def test_a_job_file_from_clicks_gives_the_schedule_of_one_by_hand(
    tmp_path: Path,
) -> None:
    """The demo, all its tags taken out and clicked again."""
    for folder in "ab":
        (tmp_path / folder).mkdir()
    by_hand = demo_copy(tmp_path / "a")
    shutil.copy(by_hand.with_suffix(".svg"), tmp_path / "b")
    text = by_hand.read_text("utf-8")
    bare = tmp_path / "b" / by_hand.name
    bare.write_text(text[: text.index("# --- pieces")], "utf-8")
    desk = Desk(bare, lambda: NOTHING)
    finish(desk, FOLD, "fold")
    finish(desk, ", ".join(RAW), "raw")
    for _, piece, cut in CUTS:
        change(desk, do="set", kind="pieces", name=piece, key="cut", value=int(cut))
    edge, amount = ALLOWANCE
    piece, number = two_words(edge)
    change(desk, do="allow", size="S", piece=piece, edge=int(number), amount=amount)
    for run in RUNS:
        finish(desk, ", ".join(run.edges), "bound", run=run.name, tape="main")
        ends: dict[str, object] = {"start": run.start, "end": run.end}
        for key, value in (ends | {"times": run.times and int(run.times)}).items():
            if value:
                change(desk, do="set", kind="runs", name=run.name, key=key, value=value)
    first, second = (schedule_text(release_from_file(p)) for p in (by_hand, bare))
    assert second == first


def test_a_change_asked_for_on_an_old_job_is_refused(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    old = desk.look().revision
    finish(desk, "back 1", "hem")
    wanted = read_change(
        {
            "do": "finish",
            "size": "1",
            "edges": [{"piece": "back", "edge": 2}],
            "finish": "raw",
        },
        desk.memory,
    )
    with pytest.raises(StaleError):
        desk.change(old, wanted.label, wanted.make)
    assert "raw =" not in desk.path.read_text("utf-8")


def test_the_fold_is_one_edge(tmp_path: Path) -> None:
    with pytest.raises(TagError, match="one edge"):
        finish(desk_of(tmp_path, ""), "front 1, front 2", "fold")


@pytest.mark.parametrize(
    ("edges", "is_closed"),
    [
        ("front 1, front 2, front 3, front 4", True),
        ("front 3, front 4, front 1", None),
    ],
)
def test_a_new_run_once_round_an_outline_is_closed(
    tmp_path: Path, edges: str, is_closed: bool | None
) -> None:
    desk = desk_of(tmp_path, "")
    finish(desk, edges, "bound", run="round")
    (run,) = tomllib.loads(desk.path.read_text("utf-8"))["runs"]
    assert run.get("closed") is is_closed


@pytest.mark.parametrize(
    ("rules", "edges", "mirrored", "expected"),
    [
        # of a pair
        ("cut = 2", ["front 2"], "front 2", ["front 2", "front 2 mirrored"]),
        # edge 1 goes on behind the fold: edge 2 comes before it, mirrored
        (
            "fold_edge = 4",
            ["front 1", "front 2"],
            "front 2",
            ["front 2 mirrored", "front 1", "front 2"],
        ),
    ],
)
def test_the_other_half_of_an_edge_is_added_to_a_run_where_it_fits(
    tmp_path: Path, rules: str, edges: list[str], mirrored: str, expected: list[str]
) -> None:
    listed = ", ".join(f'"{edge}"' for edge in edges)
    run = f'[[runs]]\nname = "r"\ntape = "main"\nedges = [{listed}]\n'
    desk = desk_of(tmp_path, f'[[pieces]]\nname = "front"\n{rules}\n{run}')
    mirror(desk, mirrored)
    (after,) = read_job(desk.path).runs
    assert [word.text for word in after.edges] == expected
    assert not desk.look().draft.mistakes


@pytest.mark.parametrize(
    ("rules", "edge", "said"),
    [
        ("", "front 1", "cut once, and not on a fold"),
        ("fold_edge = 4", "front 1", "goes on behind it"),
        ("fold_edge = 4", "front 3", "goes on behind it"),
        ("fold_edge = 4", "front 4", "lies on the fold"),
        ("cut = 2", "front 9", "no edge 9"),
        ("cut = 2", "sleeve 1", "no piece"),
    ],
)
def test_an_edge_without_another_half_is_not_added_mirrored(
    tmp_path: Path, rules: str, edge: str, said: str
) -> None:
    run = '[[runs]]\nname = "r"\ntape = "main"\nedges = ["front 1"]\n'
    desk = desk_of(tmp_path, f'[[pieces]]\nname = "front"\n{rules}\n{run}')
    before = desk.path.read_bytes()
    with pytest.raises(TagError, match=said):
        mirror(desk, edge)
    assert desk.path.read_bytes() == before
    with pytest.raises(SettingsError, match="no"):
        mirror(desk, "front 1", run="q")


ALONE = '[[pieces]]\nname = "back"\nbound = [1]\n'


def test_a_second_tape_leaves_edges_on_their_own_with_the_first(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, ALONE)
    assert tapes_alone(desk) == {"back 1": "main"}
    change(desk, do="add", kind="tapes", name="narrow")
    assert tapes_alone(desk) == {"back 1": "main"}
    assert 'tape = "main"' in desk.path.read_text("utf-8").partition("[[pieces]]")[2]
    assert not desk.look().draft.mistakes
    change(desk, do="add", kind="tapes", name="third")
    assert tapes_alone(desk) == {"back 1": "main"}


def test_edges_on_their_own_take_the_tape_that_is_chosen(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, '[[tapes]]\nname = "narrow"\nfinished_width = "6 mm"\n')
    finish(desk, "front 1, back 1", "bound", tape="narrow")
    assert tapes_alone(desk) == {"front 1": "narrow", "back 1": "narrow"}
    finish(desk, "front 1", "bound", tape="main")  # the only one of its piece
    assert tapes_alone(desk) == {"front 1": "main", "back 1": "narrow"}
    finish(desk, "back 3", "bound", tape="narrow")
    before = desk.path.read_bytes()
    with pytest.raises(TagError, match=r'on their own with tape "narrow".* new run'):
        finish(desk, "back 4", "bound", tape="main")
    assert desk.path.read_bytes() == before


def test_a_new_cloth_says_all_that_is_missing(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "")
    with pytest.raises(SettingsError) as caught:
        change(desk, do="add", kind="cloths", name="", stretch="a lot")
    unnamed, unsaid = caught.value.messages
    assert unnamed == "give the cloth a name"
    assert "as a number of per cent, like 12" in unsaid


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("hem, back", "no comma"),
        ("2", "a number alone is no name"),
        ("all", "means something already; write"),
    ],
)
def test_why_a_name_cannot_be_one_is_said(tmp_path: Path, name: str, said: str) -> None:
    desk = desk_of(tmp_path, "")
    with pytest.raises(EdgefinderError, match=said):
        change(desk, do="call", size="1", piece="front", edge=3, name=name)


NOTCHED = SQUARES.replace(
    '<g id="Size-1">',
    '<g id="Size-1"><path class="n" d="M60 10 v6"/><path class="n" d="M10 12 h6"/>',
).replace(
    '<g id="Size-2">',
    '<g id="Size-2"><path class="n" d="M502.5 10 v6"/><path class="n" d="M450 12 h6"/>',
)


def test_a_notch_at_an_end_of_an_edge_splits_nothing(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "", NOTCHED)
    rules = desk.path.read_text("utf-8").replace(
        "\n\n", '\nnotches = ["class:n"]\n\n', 1
    )
    desk.path.write_text(rules, "utf-8")

    def notches() -> list[dict[str, Any]]:
        data = state_data(desk.look(), "1", desk.memory)
        front = next(one for one in data["pieces"] if one["name"] == "front")
        found: list[dict[str, Any]] = front["notches"]
        return found

    inner = next(one for one in notches() if one["splits"])
    change(
        desk,
        do="split",
        size="1",
        piece="front",
        edge=inner["edge"],
        place=inner["place"],
    )
    now = next(one for one in notches() if one["place"] == inner["place"])
    assert not now["splits"]

"""Names of edges: given, changed and taken out; no rule means another edge after it."""

import tomllib
from pathlib import Path

import pytest
from page_server import demo_copy
from test_page_changes import change, desk_of, finishes

from edgefinder.classifier.editing.edge_naming import (
    name_edge,
    rename_edge,
    without_edge_name,
)
from edgefinder.classifier.retagging import Tagging
from edgefinder.errors import EdgefinderError, SettingsError
from edgefinder.page.desk import Desk
from edgefinder.schedule.tag_edits import tag_edges, write_edited

JOB = """\
[[pieces]]
name = "front"
hem = ["Neck", "all except neck, 2"]   # both
fold_edge = "neck"
allowances = { neck = "5 mm", 2 = "6 mm" }
marks = { low = "neck at 40 %" }
raw = "from neck at 10 mm to corner 3"

[pieces.edge_names]
nape = 3
neck = "1"   # the upper one

[[pieces]]
name = "front neck"
edge_names = { neck = 2 }

[[runs]]
name = "neck"
edges = ["Front  neck", "front neck mirrored", "front neck 2", "front neck neck"]
"""

USED = """
[[pieces]]
name = "front"
edge_names = { neck = 1 }   # mine

[[runs]]
name = "r"
tape = "main"
edges = ["front neck"]
"""


def replaced(*pairs: tuple[str, str]) -> str:
    text = JOB
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_a_name_is_changed_wherever_it_is_used() -> None:
    after = rename_edge(JOB, "Front", "NECK", "throat", pieces=["front", "front neck"])

    assert after == replaced(
        ('["Neck", "all except neck, 2"]', '["throat", "all except throat, 2"]'),
        ('fold_edge = "neck"', 'fold_edge = "throat"'),
        ('{ neck = "5 mm"', '{ throat = "5 mm"'),
        ('"neck at 40 %"', '"throat at 40 %"'),
        ('"from neck at 10 mm', '"from throat at 10 mm'),
        ('neck = "1"   # the', 'throat = "1"   # the'),
        ('"Front  neck"', '"Front throat"'),
        ('"front neck mirrored"', '"front throat mirrored"'),
    )


def test_there_and_back_leaves_what_was_there() -> None:
    text = JOB.replace("Front  neck", "Front neck").replace("Neck", "neck")
    there = rename_edge(text, "front", "neck", "throat", pieces=["front neck"])
    assert rename_edge(there, "front", "throat", "neck", pieces=["front neck"]) == text


def test_a_name_that_goes_is_spelled_out_where_it_was_used() -> None:
    after = without_edge_name(JOB, "front", "neck", pieces=["front neck"])

    assert after == replaced(
        ('["Neck", "all except neck, 2"]', '[1, "all except 1, 2"]'),
        ('fold_edge = "neck"', "fold_edge = 1"),
        ('{ neck = "5 mm"', '{ 1 = "5 mm"'),
        ('"neck at 40 %"', '"1 at 40 %"'),
        ('"from neck at 10 mm', '"from 1 at 10 mm'),
        ('neck = "1"   # the upper one\n', ""),
        ('"Front  neck"', '"Front 1"'),
        ('"front neck mirrored"', '"front 1 mirrored"'),
    )
    assert without_edge_name(JOB, "front", "hem", pieces=[]) == JOB


def test_capitals_of_a_name_can_be_changed() -> None:
    data = tomllib.loads(rename_edge(JOB, "front", "neck", "NECK", pieces=[]))
    assert data["pieces"][0]["edge_names"] == {"nape": 3, "NECK": "1"}
    assert data["pieces"][0]["fold_edge"] == "NECK"


@pytest.mark.parametrize("name", ["nape", "NAPE", " Nape "])
def test_a_name_that_another_edge_has_is_refused(name: str) -> None:
    said = '"(?i:nape)" is the name of 3 already'
    with pytest.raises(SettingsError, match=said):
        rename_edge(JOB, "front", "neck", name, pieces=[])
    with pytest.raises(SettingsError, match=said):
        name_edge(JOB, "front", name, "2")
    assert name_edge(JOB, "front", "nape", "3") == JOB
    other = name_edge(JOB, "front neck", "nape", "2")  # of another piece
    assert other == JOB.replace("{ neck = 2 }", "{ neck = 2, nape = 2 }")


def test_a_name_that_a_run_takes_for_another_piece_is_refused() -> None:
    pieces = ["front", "Front Neck"]
    with pytest.raises(SettingsError, match='is edge 2 of "front neck"'):
        rename_edge(JOB, "front", "neck", "neck  2", pieces=pieces)
    with pytest.raises(SettingsError, match='is edge all of "front neck"'):
        name_edge(JOB, "front", "neck all", "2", pieces=pieces)
    assert "neckline = 2" in name_edge(JOB, "front", "neckline", "2", pieces=pieces)


def test_the_command_refuses_a_name_in_use(tmp_path: Path) -> None:
    job = demo_copy(tmp_path)
    write_edited(tag_edges(job, "front", ["6"], Tagging(None, name="nape")))
    before = job.read_bytes()
    with pytest.raises(EdgefinderError, match=r'apron.toml: .*"nape" is the name of 6'):
        tag_edges(job, "front", ["5"], Tagging(None, name="nape"))
    again = tag_edges(job, "front", ["6"], Tagging(None, name="Nape"))
    assert again.after == again.before
    assert job.read_bytes() == before


def test_the_page_refuses_a_name_in_use_and_leaves_its_run_where_it_lies(
    tmp_path: Path,
) -> None:
    desk = desk_of(tmp_path, USED)
    before = desk.path.read_bytes()
    with pytest.raises(EdgefinderError, match='"Neck" is the name of 1 already'):
        change(desk, do="call", size="1", piece="front", edge=3, name="Neck")
    assert desk.path.read_bytes() == before


def bound(desk: Desk) -> list[list[int]]:
    release = desk.look().draft.release
    assert release is not None
    return [
        [edge.finished.edge.number for edge in row.run.edges]
        for row in release.sizes[0].runs
    ]


@pytest.mark.parametrize("name", ["throat", ""])
def test_the_page_changes_a_name_in_use_with_its_runs(
    tmp_path: Path, name: str
) -> None:
    desk = desk_of(tmp_path, USED)
    before = desk.path.read_text("utf-8")
    assert bound(desk) == [[1]]
    change(desk, do="call", size="1", piece="front", edge=1, name=name)
    assert bound(desk) == [[1]]
    assert f'edges = ["front {name or 1}"]' in desk.path.read_text("utf-8")
    desk.undo(desk.look().revision)
    assert desk.path.read_text("utf-8") == before


def test_an_edge_among_several_of_one_name_gets_a_name_of_its_own(
    tmp_path: Path,
) -> None:
    said = '[[pieces]]\nname = "front"\nedge_names = { "sides 2" = 4, sides = "all" }\n'
    desk = desk_of(tmp_path, said)
    assert "1 front sides 2" in finishes(desk.path)
    change(desk, do="call", size="1", piece="front", edge=2, name="left")
    assert '{ "sides 2" = 4, sides = "all", left = 2 }' in desk.path.read_text("utf-8")

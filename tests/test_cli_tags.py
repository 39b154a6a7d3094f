"""tag, untag and tags, as they are typed, on copies of the demo pattern."""

import difflib
import json
import shutil
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from command_line import (
    DEMO,
    TAPE,
    TOP_KEYS,
    assert_fits,
    assert_printable,
    job,
    rectangle,
    run,
    sheet,
    unchanged,
    usage_error,
)
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from edgefinder.classifier.job import Finish
from edgefinder.classifier.retagging import Tagging
from edgefinder.errors import OutputError
from edgefinder.schedule.tag_edits import tag_edges, untag_edges, write_edited


@pytest.fixture
def apron(tmp_path: Path) -> Path:
    """A job file of the demo beside its drawing."""
    for path in DEMO.glob("orchard-apron.*"):
        shutil.copy(path, tmp_path)
    return tmp_path / "orchard-apron.toml"


@pytest.fixture
def kept(apron: Path) -> Path:
    """The same, with the edges of the front as they are drawn written in it."""
    assert run("tag", apron, "front", "6", "--call", "neck").exit_code == 0
    return apron


def loaded(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text("utf-8-sig"))


def piece(path: Path, name: str) -> dict[str, Any]:
    (found,) = [p for p in loaded(path)["pieces"] if p["name"] == name]
    return dict(found)


def runs(path: Path) -> dict[str, list[str]]:
    return {one["name"]: one["edges"] for one in loaded(path)["runs"]}


def finishes(path: Path, name: str) -> dict[str, str]:
    """What ``tags`` says of every edge of a piece in the first size."""
    said = run("tags", path, "--json")
    assert said.exit_code == 0, said.err
    pieces = said.json["sizes"][0]["pieces"]
    (found,) = [p for p in pieces if p["name"] == name]
    return {edge["edge"]: edge["finish"] for edge in found["edges"]}


def changed_lines(before: str, after: str) -> list[str]:
    return [
        line
        for line in difflib.ndiff(before.splitlines(True), after.splitlines(True))
        if line[0] in "+-"
    ]


# tag


@pytest.mark.parametrize("finish", ["hem", "seam", "facing", "raw", "bound"])
def test_an_edge_is_tagged_and_the_rest_of_the_file_stays_to_the_byte(
    kept: Path, finish: str
) -> None:
    before = kept.read_bytes().decode()

    said = run("tag", kept, "front", "3", "--as", finish)

    assert (said.exit_code, said.out) == (0, "")
    assert f"wrote {kept}" in said.err
    if finish == "raw":  # there is such a list
        new = ["- raw = [2]     ", "+ raw = [2, 3]  "]
    else:
        new = [f"+ {finish} = [3]\n"]
    lines = changed_lines(before, kept.read_bytes().decode())
    assert [line[:16] for line in lines] == [line[:16] for line in new]
    assert finishes(kept, "front")["3"] == finish


def test_an_edge_may_be_typed_as_a_job_file_writes_it(apron: Path) -> None:
    apart, together = apron.with_name("a.toml"), apron.with_name("b.toml")
    for path in (apart, together):
        shutil.copy(apron, path)

    assert run("tag", apart, "front", "6", "--as", "hem").exit_code == 0
    assert run("tag", together, "front 6", "--as", "hem").exit_code == 0

    assert together.read_bytes() == apart.read_bytes()
    assert "its edges" in run("tag", apron, "front", "--as", "hem").err


def test_the_first_tag_of_a_piece_keeps_how_its_edges_are_drawn(apron: Path) -> None:
    before = apron.read_text("utf-8")

    assert run("tag", apron, "front", "3", "--as", "hem").exit_code == 0

    drawn = piece(apron, "front")["as_drawn"]
    assert drawn["size"] == "S"
    edges = run("edges", apron, "--json").json["pieces"][0]["edges"]
    assert len(drawn["edges"]) == len(edges) == 7
    for row, edge in zip(drawn["edges"], edges, strict=True):
        assert row[1] == pytest.approx(edge["length_mm"], abs=0.01)
    lines = changed_lines(before, apron.read_text("utf-8"))
    assert all(line.startswith("+ ") for line in lines)
    assert lines[0] == "+ hem = [3]\n"
    again = apron.read_text("utf-8")
    assert run("tag", apron, "front", "3", "--as", "facing").exit_code == 0
    assert len(changed_lines(again, apron.read_text("utf-8"))) == 2


def test_a_piece_without_a_table_is_given_one(tmp_path: Path) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(tmp_path, f"# mine\n{TAPE}# the end\n")

    assert run("tag", path, "POCKET", "1", "--as", "hem").exit_code == 0

    assert piece(path, "pocket")["hem"] == [1]
    text = path.read_text("utf-8")
    assert "# mine\n" in text
    assert "# the end\n" in text


def test_edges_go_into_a_run_and_a_new_run_takes_the_only_tape(kept: Path) -> None:
    said = run("tag", kept, "front", "3", "--as", "bound", "--run", "sides")

    assert said.exit_code == 0
    assert runs(kept)["sides"] == ["front 3"]
    assert loaded(kept)["runs"][-1]["tape"] == "main"
    assert "cut 2 times and bound once" in said.err


@pytest.mark.parametrize(
    ("edges", "is_closed"),
    [
        (["all"], True),
        (["1", "2", "3", "4"], True),
        (["1", "2", "3"], None),
        (["1", "1 mirrored"], None),  # of two pieces, sewn together at both ends
    ],
)
def test_a_new_run_once_round_an_outline_is_closed(
    tmp_path: Path, edges: list[str], is_closed: bool | None
) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(tmp_path, TAPE)

    said = run("tag", path, "pocket", *edges, "--as", "bound", "--run", "round")

    assert said.exit_code == 0, said.err
    assert loaded(path)["runs"][0].get("closed") is is_closed
    assert "ends where it starts" not in said.err


def test_several_edges_are_added_in_the_order_in_which_they_are_typed(
    tmp_path: Path,
) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(tmp_path, TAPE)

    said = run("tag", path, "pocket", "2", "1", "--as", "bound", "--run", "Top")

    assert said.exit_code == 0, said.err
    assert runs(path) == {"Top": ["pocket 2", "pocket 1"]}
    said = run("tag", path, "pocket", "3", "--as", "bound", "--run", "top")
    assert said.exit_code == 2  # 1 and 3 do not meet
    assert '"pocket 1" and "pocket 3" do not meet' in said.err
    assert runs(path) == {"Top": ["pocket 2", "pocket 1"]}


def test_an_edge_moves_from_a_run_to_a_list_and_to_another_run(kept: Path) -> None:
    said = run("tag", kept, "front", "1", "--as", "hem")

    assert said.exit_code == 0
    assert 'note: runs "front hem": has no edge left and is taken out' in said.err
    assert "front hem" not in runs(kept)
    assert piece(kept, "front")["hem"] == [1]
    assert finishes(kept, "front")["1"] == "hem"

    assert (
        run(
            *("tag", kept, "front", "1", "--as", "bound", "--run", "lower edge")
        ).exit_code
        == 0
    )

    assert "hem" not in piece(kept, "front")
    assert runs(kept)["lower edge"] == ["front 1"]
    assert finishes(kept, "front")["1"] == "bound"


def test_a_run_whose_one_edge_is_tagged_so_again_keeps_its_settings(
    kept: Path,
) -> None:
    before = kept.read_bytes()

    said = run("tag", kept, "front", "6", "--as", "bound", "--run", "front neck")

    assert said.exit_code == 0
    assert said.err == f"{kept}: nothing to change\n"
    assert kept.read_bytes() == before


@pytest.mark.parametrize("word", ["neck", "NECK", "6"])
def test_a_run_that_has_the_edge_by_another_word_does_not_get_it_twice(
    kept: Path, word: str
) -> None:
    before = kept.read_bytes()

    said = run("tag", kept, "front", word, "--as", "bound", "--run", "Front  Neck")

    assert said.exit_code == 0
    assert kept.read_bytes() == before


def test_a_list_that_has_the_edge_stays_as_it_is_written(kept: Path) -> None:
    before = kept.read_bytes()

    assert run("tag", kept, "front", "2", "--as", "raw").exit_code == 0
    assert run("tag", kept, "front", "7", "--as", "fold").exit_code == 0

    assert kept.read_bytes() == before


def test_an_edge_that_is_called_by_name_in_a_rule_moves_by_its_number(
    kept: Path,
) -> None:
    text = kept.read_text("utf-8").replace('"front 6"', '"front neck"')
    kept.write_text(text, "utf-8")

    assert run("tag", kept, "front", "6", "--as", "facing").exit_code == 0

    assert "front neck" not in runs(kept)
    assert piece(kept, "front")["facing"] == [6]


def test_a_name_is_given_used_and_shown_everywhere(kept: Path, tmp_path: Path) -> None:
    assert piece(kept, "front")["edge_names"] == {"neck": 6}
    assert (
        run(*("tag", kept, "front", "neck", "--as", "bound", "--run", "top")).exit_code
        == 0
    )
    assert runs(kept)["top"] == ["front neck"]

    text = run("schedule", kept).out
    record = run("schedule", kept, "--json").json
    assert run("schedule", kept, "--csv", tmp_path / "csv").exit_code == 0

    assert "front neck" in text
    front = record["sizes"][0]["pieces"][0]
    assert [e["edge"] for e in front["edges"]] == ["1", "2", "3", "4", "5", "neck", "7"]
    (top,) = [r for r in record["sizes"][0]["runs"] if r["name"] == "top"]
    assert [edge["edge"] for edge in top["edges"]] == ["neck"]
    table = (tmp_path / "csv" / "edges.csv").read_text("utf-8")
    head, *rows = [line.split(",") for line in table.splitlines()]
    column = head.index("edge")
    assert "neck" in {row[column] for row in rows}
    assert "neck" in run("tags", kept).out


def test_a_name_that_a_spreadsheet_would_run_is_made_harmless(kept: Path) -> None:
    assert run("tag", kept, "front", "6", "--call", "=1+1").exit_code == 0

    folder = kept.parent / "csv"
    assert run("schedule", kept, "--csv", folder).exit_code == 0

    table = (folder / "edges.csv").read_text("utf-8")
    assert ",'=1+1," in table
    assert ",=1+1," not in table


def test_a_bound_edge_in_no_run_makes_one_and_it_is_said(kept: Path) -> None:
    said = run("tag", kept, "front", "3", "--as", "bound")

    assert said.exit_code == 0
    assert (
        'note: "front" edge 3: is bound and in no run: it makes a run of its own, '
        '"front 3", sewn 2 times, turned under at both ends'
    ) in said.err
    names = [
        one["name"] for one in run("schedule", kept, "--json").json["sizes"][0]["runs"]
    ]
    assert "front 3" in names


# --dry-run


def test_a_dry_run_prints_a_unified_diff_and_writes_nothing(kept: Path) -> None:
    before = kept.read_bytes()

    said = run("tag", kept, "front", "3", "--as", "hem", "--dry-run")

    assert said.exit_code == 0
    assert kept.read_bytes() == before
    assert "wrote" not in said.err
    lines = said.out.splitlines()
    assert lines[:2] == [f"--- {kept}", f"+++ {kept}"]
    assert lines[2].startswith("@@ ")
    assert [x for x in lines[3:] if x[0] in "+-"] == ["+hem = [3]"]
    assert run("tag", kept, "front", "3", "--as", "hem").exit_code == 0
    expected = difflib.unified_diff(
        before.decode().splitlines(),
        kept.read_text("utf-8").splitlines(),
        str(kept),
        str(kept),
        lineterm="",
    )
    assert lines == list(expected)


def test_a_dry_run_of_untag_writes_nothing_either(kept: Path) -> None:
    before = kept.read_bytes()

    said = run("untag", kept, "front", "2", "--dry-run")

    assert said.exit_code == 0
    assert "-raw = [2] " in said.out
    assert kept.read_bytes() == before


# untag


def test_an_untagged_edge_is_a_seam(kept: Path) -> None:
    assert run("untag", kept, "front", "2").exit_code == 0

    assert "raw" not in piece(kept, "front")
    assert finishes(kept, "front")["2"] == "seam"


def test_untagging_takes_an_edge_out_by_all_its_names_and_mirrored(
    tmp_path: Path,
) -> None:
    sheet(tmp_path, rectangle("pocket"))
    text = f"""{TAPE}
[[pieces]]
name = "pocket"
cut = 2
edge_names = {{ top = 3 }}
[[runs]]
name = "a"
tape = "main"
edges = ["pocket top"]
[[runs]]
name = "b"
tape = "main"
edges = ["pocket 3 mirrored"]
[[runs]]
name = "c"
tape = "main"
edges = ["pocket 1"]
"""
    path = job(tmp_path, text)

    mirrored = run("untag", path, "pocket", "3 mirrored", "--dry-run")
    assert run("untag", path, "pocket", "3").exit_code == 0

    assert runs(path) == {"c": ["pocket 1"]}
    assert '-name = "b"' in mirrored.out
    assert '-name = "a"' not in mirrored.out


@pytest.mark.parametrize("edge", ["3", "all"])
def test_an_edge_that_no_rule_names_is_a_mistake(kept: Path, edge: str) -> None:
    (error,) = unchanged(kept.parent, "untag", kept, "front", edge)

    assert error == (
        f'{kept}: no rule names "front {edge}"; "edgefinder tags orchard-apron.toml" '
        "says why each edge has its finish"
    )


# Mistakes: exit 2, one line each, nothing written


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ("frnt", "1", "--as", "hem"),
            'there is no piece "frnt"; did you mean "front"',
        ),
        (("front", "9", "--as", "hem"), '"front" has no edge 9; it has edges 1 to 7'),
        (("front", "0", "--as", "hem"), "edges are numbered from 1"),
        (("front", "nek", "--as", "hem"), '"nek" names no edge; write "2", "all"'),
        (
            ("front", "4", "--as", "fold"),
            "fold_edge: edge 4 is not straight; a fold is",
        ),
        (("front", "7", "--as", "bound"), "lies on the fold and cannot be bound"),
        (("front", "all", "--as", "bound"), "is fold by line "),
        (("front", "3", "--as", "bound", "--run", "front neck"), "do not meet"),
        (("front", "3 mirrored", "--as", "hem"), "only an edge in a run can be mirror"),
        (("front", "3", "--as", "bound", "--run", "y", "--tape", "z"), 'no tape "z"'),
        (
            ("front", "6", "--as", "bound", "--run", "front neck", "--tape", "z"),
            'is sewn with tape "main", not "z"',
        ),
        (("front", "3", "--call", "3a"), "3a: means something already"),
        (("front", "3", "--call", "a, b"), "means something already"),
        (("front", "from notch 1 to notch 99", "--as", "hem"), 'no notch "99"'),
        (("front", "layer:Nowhere", "--as", "hem"), 'drawn as "layer:Nowhere"'),
    ],
)
def test_a_mistake_is_told_and_nothing_is_written(
    kept: Path, arguments: tuple[str, ...], said: str
) -> None:
    errors = unchanged(kept.parent, "tag", kept, *arguments)

    assert all(error.startswith(f"{kept}: ") for error in errors)
    assert any(said in error for error in errors)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("front",), "name a piece and its edges"),
        ((), "name a piece and its edges"),
        (("front", "3"), "say what happens to them, --as bound, or --call NAME"),
        (("front", "3", "--as", "hem", "--run", "x"), "are for edges that are bound"),
        (("front", "3", "--as", "hem", "--tape", "x"), "are for edges that are bound"),
        (("front", "3", "4", "--call", "x"), "--call gives a name to one edge"),
        (("front", "3", "--as", "bund"), "bound"),
        (("front", "3", "--refresh"), "--refresh stands alone"),
    ],
)
def test_what_is_typed_wrongly_is_told(
    kept: Path, arguments: tuple[str, ...], said: str
) -> None:
    before = kept.read_bytes()

    assert said in usage_error("tag", kept, *arguments)
    assert kept.read_bytes() == before


@pytest.mark.parametrize("command", ["tag", "untag", "tags"])
def test_a_job_file_with_mistakes_is_told_first(tmp_path: Path, command: str) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(tmp_path, f'colour = "red"\n{TAPE}')
    more = {"tag": ("pocket", "1", "--as", "hem"), "untag": ("pocket", "1"), "tags": ()}

    (error,) = unchanged(tmp_path, command, path, *more[command])

    assert error.startswith(f"{path}: colour: unknown key")


@pytest.mark.parametrize("command", ["tag", "untag", "tags"])
def test_a_job_file_that_is_not_there_is_one_line(tmp_path: Path, command: str) -> None:
    path = tmp_path / "no.toml"
    more = {"tag": ("pocket", "1", "--as", "hem"), "untag": ("pocket", "1"), "tags": ()}

    (error,) = unchanged(tmp_path, command, path, *more[command])

    assert error == f"{path}: there is no such file"


# The file as an editor left it


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("line_end", [b"\n", b"\r\n"])
def test_line_ends_and_byte_order_mark_stay(
    apron: Path, mark: bytes, line_end: bytes
) -> None:
    data = mark + apron.read_bytes().replace(b"\n", line_end)
    apron.write_bytes(data)

    assert run("tag", apron, "front", "3", "--as", "hem").exit_code == 0
    assert run("tag", apron, "front", "3", "--as", "bound", "--run", "x").exit_code == 0

    after = apron.read_bytes()
    assert after.startswith(mark)
    assert after.count(b"\xef\xbb\xbf") == data.count(b"\xef\xbb\xbf")
    assert after.count(b"\n") == after.count(line_end)
    assert runs(apron)["x"] == ["front 3"]


def test_a_file_that_changed_meanwhile_is_not_written_over(kept: Path) -> None:
    edited = tag_edges(kept, "front", ["3"], Tagging(Finish.HEM))
    theirs = kept.read_text("utf-8") + "# saved in an editor\n"
    kept.write_text(theirs, "utf-8")

    with pytest.raises(OutputError, match="has changed since it was read"):
        write_edited(edited)

    assert kept.read_text("utf-8") == theirs


def test_a_file_that_is_gone_meanwhile_is_not_made_anew(kept: Path) -> None:
    edited = tag_edges(kept, "front", ["3"], Tagging(Finish.HEM))
    kept.unlink()

    with pytest.raises(OutputError, match="has changed since it was read"):
        write_edited(edited)

    assert not kept.exists()


def test_a_link_to_a_job_file_is_followed(kept: Path) -> None:
    link = kept.parent / "link.toml"
    link.symlink_to(kept.name)

    assert run("tag", link, "front", "3", "--as", "hem").exit_code == 0

    assert link.is_symlink()
    assert piece(kept, "front")["hem"] == [3]


@given(
    st.sampled_from(["1", "3", "5", "from corner 3 to corner 4", "3 mirrored"]),
    st.sampled_from([*Finish]),
    st.booleans(),
)
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_untagging_what_was_tagged_gives_the_same_text(
    bare: Callable[[], Path], word: str, finish: Finish, in_run: bool
) -> None:
    path = bare()
    before = path.read_bytes()
    if finish is Finish.FOLD and word != "1":
        word = "1"
    if word.endswith("mirrored") or (in_run and finish is Finish.BOUND):
        tagging = Tagging(Finish.BOUND, run="new")
    else:
        tagging = Tagging(finish)

    write_edited(tag_edges(path, "pocket", [word], tagging))
    tagged = path.read_bytes()
    write_edited(untag_edges(path, "pocket", [word]))

    assert tagged != before
    assert path.read_bytes() == before


@pytest.fixture
def bare(tmp_path: Path) -> Callable[[], Path]:
    """A job file with comments in odd places that says of one edge that it is raw."""
    sheet(tmp_path, '<path id="pocket" d="M 10 10 H 210 V 110 L 110 160 L 10 110 Z"/>')
    text = f"""
# first{TAPE}  # after the tape

[[pieces]]   # of one piece
name = 'pocket'
cut = 2
raw = [ 4, ]   # left as it is

# between

[[runs]]
name = "old"
tape = "main"
edges = [
    "pocket 2",  # one
]
times = 2

# last
"""

    def make() -> Path:
        path = job(tmp_path, text)
        write_edited(tag_edges(path, "pocket", ["4"], Tagging(Finish.RAW)))
        return path

    return make


# tags


def test_tags_say_what_happens_to_every_edge_and_why(apron: Path) -> None:
    said = run("tags", apron)

    assert said.exit_code == 0
    assert_printable(said.out)
    assert_fits(said.out)
    lines = apron.read_text("utf-8").splitlines()
    fold = 1 + next(i for i, x in enumerate(lines) if x.startswith("fold_edge"))
    neck = 1 + next(i for i, x in enumerate(lines) if '"front 6"' in x)
    rows = {
        line.split()[0]: line for line in said.out.split("\n\n")[0].splitlines()[3:]
    }
    assert rows["7"].endswith(f'line {fold}, pieces "front": fold_edge = 7')
    assert rows["6"].endswith(f'line {neck}, runs "front neck": "front 6"')
    assert rows["3"].endswith("nothing is said of it")
    assert "tags hold for: S, M, L, XL" in said.out


def test_tags_as_json_have_the_rule_and_its_line(apron: Path) -> None:
    said = run("tags", apron, "--json")

    result = said.json
    assert tuple(result) == (*TOP_KEYS, "sizes")
    assert result["schema"] == {"name": "edgefinder.tags", "version": 1}
    assert [size["size"] for size in result["sizes"]] == ["S", "M", "L", "XL"]
    (front, *_) = result["sizes"][0]["pieces"]
    by_label = {edge["edge"]: edge for edge in front["edges"]}
    assert tuple(by_label["6"]) == (
        *("number", "edge", "known_as", "length_mm", "finish", "allowance_mm", "why"),
    )
    (why,) = by_label["6"]["why"]
    assert why["rule"] == 'runs "front neck": "front 6"'
    line = apron.read_text("utf-8").splitlines()[why["line"] - 1]
    assert line.startswith('edges = ["front 6"]')
    assert by_label["3"]["why"] == []
    assert by_label["3"]["allowance_mm"] == 10.0


def test_the_line_of_an_item_in_a_list_of_several_lines_is_its_own(
    tmp_path: Path,
) -> None:
    sheet(tmp_path, rectangle("pocket"))
    text = f"""{TAPE}
[[pieces]]
name = "pocket"
hem = [
    # above
    1,

    3,  # beside
]
"""
    path = job(tmp_path, text)

    record = run("tags", path, "--json").json

    lines = path.read_text("utf-8").splitlines()
    edges = record["sizes"][0]["pieces"][0]["edges"]
    told = {
        e["edge"]: lines[e["why"][0]["line"] - 1].strip() for e in edges if e["why"]
    }
    assert told == {"1": "1,", "3": "3,  # beside"}


def test_tags_of_a_job_without_tapes_and_runs_can_be_shown(tmp_path: Path) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(tmp_path, '[[pieces]]\nname = "pocket"\nbound = [2]\n')

    said = run("tags", path, "--unit", "cm")

    assert said.exit_code == 0
    assert "2     bound   10.0 cm" in said.out
    (error,) = unchanged(tmp_path, "schedule", path)
    assert error == f"{path}: no tape is there: write one, [[tapes]]"


def test_names_of_a_job_file_cannot_forge_a_line(tmp_path: Path) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(
        tmp_path,
        f'{TAPE}[[pieces]]\nname = "pocket"\nhem = ["a\\u001b[2J\\u0085b"]\n'
        '[pieces.edge_names]\n"a\\u001b[2J\\u0085b" = 2\n',
    )

    said = run("tags", path)

    assert said.exit_code == 0
    assert_printable(said.out)
    assert_printable(said.err)
    assert json.loads(run("tags", path, "--json").out)

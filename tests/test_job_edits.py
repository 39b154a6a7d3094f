"""What is written into a job file stands there, and all else is as it was."""

import difflib
import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from odd_jobs import PIECES, RUNS, comments_of, loaded, odd_jobs

from edgefinder.classifier.editing.job_edits import (
    add_piece_edge,
    add_run_edges,
    remove_edge,
    set_allowance,
    set_edge_name,
    set_fold_edge,
    write_cloth,
)
from edgefinder.classifier.job import Finish
from edgefinder.classifier.piece_settings import LISTED
from edgefinder.errors import SettingsError

DEMO = Path(__file__).parents[1] / "fixtures" / "demo"

JOB = """\
drawings = ["apron.svg"]   # beside this file

[[tapes]]
name = "main"

[[pieces]]
name = "front"             # the bib
raw = 2                    # the vent

# --- runs ---

[[runs]]
name = "neck"
tape = "main"
edges = [
\t"front 6",      # across
\t"back 6"        # and round
]

[[runs]]
name = "hem"
tape = "main"
edges = ["front 1"]        # vent to vent
"""


def demo_texts() -> st.SearchStrategy[str]:
    names = ["orchard-apron.toml", "puddle-smock.toml"]
    return st.sampled_from([(DEMO / n).read_bytes().decode() for n in names])


def jobs() -> st.SearchStrategy[str]:
    return odd_jobs() | odd_jobs() | demo_texts()


def plain(words: object) -> str:
    return " ".join(str(words).casefold().split())


def named(data: dict[str, Any], kind: str, name: str) -> dict[str, Any] | None:
    return next(
        (t for t in data.get(kind, ()) if plain(t["name"]) == plain(name)), None
    )


def piece_in(data: dict[str, Any], name: str) -> dict[str, Any]:
    """The piece of the data, and a new one at the end if there is none."""
    found = named(data, "pieces", name)
    if found is None:
        found = {"name": " ".join(name.split())}
        data.setdefault("pieces", []).append(found)
    return found


def as_list(value: object) -> list[Any]:
    return value if isinstance(value, list) else [] if value is None else [value]


def number_or_text(word: str) -> str | int:
    return int(word) if word.isdecimal() else word


def only_added(before: str, after: str) -> bool:
    """Whether nothing was taken out of a text: it is what is left of the other."""
    rest = iter(after)
    return all(character in rest for character in before)


def changed_lines(before: str, after: str) -> list[str]:
    """The lines of the first text that are not in the second one, in their order."""
    old, new = before.splitlines(), after.splitlines()
    blocks = difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    return [line for tag, a, b, _, _ in blocks if tag != "equal" for line in old[a:b]]


words = st.sampled_from(["1", "3", "4b", "side seam", "all except 3, 5", "Neck"])
pieces = st.sampled_from([*PIECES, "FRONT  LINING", "pocket"])


@given(jobs(), pieces, st.sampled_from(LISTED), words)
def test_an_edge_is_added_to_a_list_and_nothing_else_changes(
    text: str, piece: str, finish: Finish, word: str
) -> None:
    after = add_piece_edge(text, piece, finish, word)

    expected = loaded(text)
    table = piece_in(expected, piece)
    there = as_list(table.get(str(finish)))
    if plain(word) not in map(plain, there):
        table[str(finish)] = [*there, number_or_text(word)]
    assert loaded(after) == expected
    assert only_added(text, after)
    assert comments_of(after) == comments_of(text)
    assert len(changed_lines(text, after)) <= 2  # the comma and the bracket


@given(jobs(), st.sampled_from([*RUNS, "Arm  Holes", "pocket top"]), st.data())
def test_edges_are_added_to_a_run_and_nothing_else_changes(
    text: str, run: str, data: st.DataObject
) -> None:
    some = st.sampled_from(["front 3", "back yoke 4", "pocket all", "front 9 mirrored"])
    new = data.draw(st.lists(some, min_size=1, max_size=3, unique=True))
    tape = loaded(text)["tapes"][0]["name"]
    found = named(loaded(text), "runs", run)

    after = add_run_edges(text, run, new, tape=None if found else tape)

    expected = loaded(text)
    found = named(expected, "runs", run)
    if found is None:
        found = {"name": " ".join(run.split()), "tape": tape, "edges": []}
        expected.setdefault("runs", []).append(found)
    there = as_list(found["edges"])
    added = [w for w in new if plain(w) not in map(plain, there)]
    if added:
        found["edges"] = there + added
    assert loaded(after) == expected
    assert only_added(text, after)
    assert comments_of(after) == comments_of(text)
    assert len(changed_lines(text, after)) <= 2


@given(jobs(), pieces, words)
def test_the_fold_edge_is_set_and_nothing_else_changes(
    text: str, piece: str, word: str
) -> None:
    after = set_fold_edge(text, piece, word)

    expected = loaded(text)
    piece_in(expected, piece)["fold_edge"] = number_or_text(word)
    assert loaded(after) == expected
    assert comments_of(after) == comments_of(text)
    assert all("fold_edge" in line for line in changed_lines(text, after) if line)


@given(jobs(), pieces, words)
def test_a_name_and_an_allowance_are_set_and_nothing_else_changes(
    text: str, piece: str, word: str
) -> None:
    after = set_edge_name(text, piece, word, "7")
    after = set_allowance(after, piece, word, "1 1/2 in")

    expected = loaded(text)
    table = piece_in(expected, piece)
    for key, value in (("edge_names", 7), ("allowances", "1 1/2 in")):
        inner = table.setdefault(key, {})
        inner[next((k for k in inner if plain(k) == plain(word)), word)] = value
    assert loaded(after) == expected
    assert comments_of(after) == comments_of(text)
    assert len(changed_lines(text, after)) <= 2


@given(jobs(), pieces, words | st.just("3 mirrored"), st.booleans())
def test_an_edge_is_removed_wherever_it_is_named_and_nothing_else_changes(
    text: str, piece: str, word: str, drop: bool
) -> None:
    after = remove_edge(text, piece, word, drop_emptied_runs=drop)

    expected = loaded(text)
    table = named(expected, "pieces", piece) or {}
    for key in (*map(str, LISTED), "fold_edge"):
        there = as_list(table.get(key))
        left = [w for w in there if plain(w) != plain(word)]
        if left != there:
            table[key] = left
            if not left:
                del table[key]
    gone = []
    for run in expected.get("runs", ()):
        there = as_list(run["edges"])
        left = [w for w in there if plain(w) != plain(f"{piece} {word}")]
        if left != there:
            run["edges"] = left
            gone += [run] * (drop and not left)
    if gone:
        expected["runs"] = [run for run in expected["runs"] if run not in gone]
    if expected.get("runs") == []:
        del expected["runs"]
    assert loaded(after) == expected
    assert only_added(after.replace("= []", "= "), text)  # of a run of one text


@given(jobs(), pieces, st.sampled_from(LISTED))
def test_what_is_added_can_be_removed_and_leaves_no_trace(
    text: str, piece: str, finish: Finish
) -> None:
    """Except of spacing beside it, and that a word alone became a list."""
    word = "17"
    if named(loaded(text), "pieces", piece) is None:
        text = set_fold_edge(text, piece, "1")

    after = remove_edge(add_piece_edge(text, piece, finish, word), piece, word)

    def bare(written: str) -> str:
        return re.sub(r"[\s\[\],]", "", written)

    key = str(finish)
    before = named(loaded(text), "pieces", piece) or {}
    if before.get(key) != []:
        assert bare(after) == bare(text)
    if key not in before and text.endswith("\n"):
        assert after == text


@given(jobs(), st.sampled_from(["barn lawn", "Old  Sheet"]))
def test_a_swatch_test_is_written_and_then_changed(text: str, name: str) -> None:
    first = {"stretch_ok_percent": 14.0, "stretch_limit_percent": 20.5}
    once = write_cloth(text, name, first)
    again = write_cloth(
        once, name.upper(), {"stretch_ok_percent": 12, "ease_ok_percent": 2.25}
    )

    cloth = {"name": " ".join(name.split()), **first}
    assert loaded(once) == {**loaded(text), "cloths": [cloth]}
    cloth |= {"stretch_ok_percent": 12, "ease_ok_percent": 2.25}
    assert loaded(again) == {**loaded(text), "cloths": [cloth]}
    assert once.startswith(text)
    assert type(loaded(again)["cloths"][0]["stretch_ok_percent"]) is int


def test_edges_of_a_run_stand_below_each_other_if_the_others_do() -> None:
    after = add_run_edges(JOB, "neck", ["front 6 mirrored", "back 6"])

    assert after == JOB.replace(
        '\t"back 6"        # and round\n',
        '\t"back 6",        # and round\n\t"front 6 mirrored"\n',
    )


def test_edges_of_a_run_stand_on_one_line_if_the_others_do() -> None:
    after = add_run_edges(JOB, "Hem", ["back 1", "back 2"])

    assert after == JOB.replace('["front 1"]', '["front 1", "back 1", "back 2"]')


def test_a_comma_at_the_end_stays_at_the_end() -> None:
    text = 'runs = 1\n[[pieces]]\nname = "a"\nraw = [\n  1,\n  2, # two\n  # more?\n]'
    text = text.removeprefix("runs = 1\n")

    assert add_piece_edge(text, "a", Finish.RAW, "3") == text.replace(
        "# two\n", "# two\n  3,\n"
    )


def test_one_number_becomes_a_list_of_numbers_with_its_comment() -> None:
    after = add_piece_edge(JOB, "front", Finish.RAW, "4")

    assert after == JOB.replace("raw = 2  ", "raw = [2, 4]  ")


def test_a_new_list_and_a_fold_edge_stand_below_the_last_entry() -> None:
    after = add_piece_edge(JOB, "front", Finish.HEM, "side seam")
    after = set_fold_edge(after, "front", "7")

    vent = "raw = 2                    # the vent\n"
    assert after == JOB.replace(vent, f'{vent}hem = ["side seam"]\nfold_edge = 7\n')


def test_a_new_piece_stands_below_the_last_one() -> None:
    after = set_allowance(JOB, "back", "3", "6 mm")

    assert after == JOB.replace(
        "# the vent\n",
        '# the vent\n\n[[pieces]]\nname = "back"\nallowances = { 3 = "6 mm" }\n',
    )


def test_the_first_piece_stands_below_the_tapes() -> None:
    text = '[[tapes]]\nname = "main"\n# wide\n\n# runs\n[[runs]]\nname = "x"\n'

    assert set_edge_name(text, "back", "nape", "3") == text.replace(
        "# wide\n",
        '# wide\n\n[[pieces]]\nname = "back"\nedge_names = { nape = 3 }\n',
    )


def test_a_new_run_stands_at_the_end_after_a_blank_line() -> None:
    new = '\n[[runs]]\nname = "pocket"\ntape = "main"\nedges = ["pocket 3"]\n'

    assert add_run_edges(JOB, "pocket", ["pocket  3"]) == JOB + new
    assert add_run_edges(JOB[:-1], "pocket", ["pocket 3"]) == JOB + new
    assert add_run_edges(JOB + "\n", "pocket", ["pocket 3"]) == JOB + new


def test_a_new_run_needs_a_tape_where_there_are_several() -> None:
    text = JOB.replace("[[pieces]]", '[[tapes]]\nname = "wide"\n\n[[pieces]]')

    with pytest.raises(SettingsError) as caught:
        add_run_edges(text, "pocket", ["pocket 3"])

    (message,) = caught.value.messages
    assert message == (
        'runs "pocket": is not there yet; say which tape it is sewn with; known: '
        '"main" and "wide"'
    )


def test_a_run_keeps_its_tape() -> None:
    assert add_run_edges(JOB, "hem", ["back 1"], tape="main") != JOB
    with pytest.raises(SettingsError, match='sewn with tape "main", not "wide"'):
        add_run_edges(JOB, "hem", ["back 1"], tape="wide")


def test_the_mirrored_edge_is_another_one() -> None:
    text = add_run_edges(JOB, "neck", ["Front  6  mirrored"])

    assert '"front 6"' not in remove_edge(text, "FRONT", "6").casefold()
    assert "front 6 mirrored" in remove_edge(text, "FRONT", "6").casefold()
    assert remove_edge(text, "front", "6 Mirrored") == JOB.replace(
        '"back 6"  ', '"back 6",  '
    ).replace(",        # and", "        # and")


def test_a_line_goes_with_the_comment_beside_it() -> None:
    assert remove_edge(JOB, "front", "6") == JOB.replace(
        '\t"front 6",      # across\n', ""
    )
    assert remove_edge(JOB, "back", "6") == JOB.replace(
        '\t"back 6"        # and round\n', ""
    ).replace('"front 6",', '"front 6"')


def test_an_emptied_run_goes_only_if_that_is_asked() -> None:
    kept = remove_edge(JOB, "front", "1")
    gone = remove_edge(JOB, "front", "1", drop_emptied_runs=True)

    assert kept == JOB.replace('["front 1"]', "[]")
    assert gone == JOB[: JOB.index('\n[[runs]]\nname = "hem"')]


def test_a_run_in_the_middle_goes_with_the_blank_line_below_it() -> None:
    text = JOB + '\n# last\n[[runs]]\nname = "x"\ntape = "main"\nedges = ["front 2"]\n'

    gone = remove_edge(text, "front", "1", drop_emptied_runs=True)

    assert gone == text.replace(
        '[[runs]]\nname = "hem"\ntape = "main"\n'
        'edges = ["front 1"]        # vent to vent\n\n',
        "",
    )


def test_an_emptied_list_and_the_fold_edge_go_with_their_lines() -> None:
    text = JOB.replace("# the vent\n", "# the vent\nfold_edge = 2\nhem = [2, 3]\n")

    assert remove_edge(text, "front", "2") == JOB.replace(
        "raw = 2                    # the vent\n", "hem = [3]\n"
    )


NOT_TABLES = [
    'pieces = [{ name = "front" }]\nruns = [{ name = "neck" }]\n',
    '[pieces]\nname = "front"\n[runs]\nname = "neck"\n',
    'pieces.front.raw = [1]\nruns.neck.tape = "main"\n',
    'pieces = []\nruns = [\n  { name = "neck", edges = ["front 1"] },\n]\n',
]


@pytest.mark.parametrize("text", NOT_TABLES)
def test_lists_of_tables_in_another_form_are_left_to_the_person(text: str) -> None:
    tomllib.loads(text)
    edits: list[tuple[str, Callable[[], str]]] = [
        ("pieces", lambda: add_piece_edge(text, "front", Finish.RAW, "1")),
        ("pieces", lambda: remove_edge(text, "front", "1")),
        ("runs", lambda: add_run_edges(text, "neck", ["front 1"], tape="main")),
    ]

    for kind, edit in edits:
        with pytest.raises(SettingsError) as caught:
            edit()
        (message,) = caught.value.messages
        assert re.fullmatch(
            rf"{kind}: line \d is not written in a way that can be added to; write "
            rf"each of the {kind} as a table that begins with the line \[\[{kind}\]\]",
            message,
        )


@pytest.mark.parametrize(
    "written", ["[pieces.raw]\n", "raw.x = 1\n", "raw = { x = 1 }\n", "raw = true\n"]
)
def test_a_list_that_is_none_is_left_to_the_person(written: str) -> None:
    entry = "raw = 2                    # the vent\n"
    text = JOB.replace(entry, written)
    tomllib.loads(text)

    with pytest.raises(SettingsError) as caught:
        add_piece_edge(text, "front", Finish.RAW, "1")

    assert caught.value.messages == (
        'pieces "front": raw: line 8 is not a list; correct it by hand',
    )


@pytest.mark.parametrize(
    "written", ['allowances = "6 mm"', "[pieces.allowances.x]\ny = 1"]
)
def test_allowances_that_are_no_table_are_left_to_the_person(written: str) -> None:
    text = JOB.replace("raw = 2", written)
    tomllib.loads(text)

    with pytest.raises(SettingsError, match=r"allowances: line 8 is not a .*table; "):
        set_allowance(text, "front", "1", "6 mm")


def test_nothing_is_added_twice() -> None:
    assert add_piece_edge(JOB, "front", Finish.RAW, " 2") == JOB
    assert add_run_edges(JOB, "neck", ["Front 6", "back  6"]) == JOB


def test_a_list_that_holds_a_comment_only_is_filled_below_it() -> None:
    text = JOB.replace("raw = 2", "raw = [\n  # none yet\n  ]")

    assert add_piece_edge(text, "front", Finish.RAW, "3") == text.replace(
        "# none yet\n", "# none yet\n      3,\n"
    )


def test_a_run_without_a_name_does_not_stand_in_the_way() -> None:
    text = JOB.replace('name = "hem"\n', "")

    assert '"front 1", ' not in add_run_edges(text, "neck", ["front 2"])
    assert "front 1" not in remove_edge(text, "front", "1")


def test_a_share_that_is_no_number_is_not_written() -> None:
    with pytest.raises(ValueError, match="nan"):
        write_cloth(JOB, "lawn", {"stretch_ok_percent": float("nan")})


def test_odd_names_are_written_so_that_they_read_back() -> None:
    name = 'a "b" \\ \x1b[2J é \u202e ü'
    after = set_edge_name(JOB, name, name, name)

    written = " ".join(name.split())
    assert loaded(after)["pieces"][1] == {
        "name": written,
        "edge_names": {written: written},
    }
    assert all(c.isprintable() or c in "\n\t" for c in after)


def test_a_name_that_is_not_unicode_is_a_mistake() -> None:
    with pytest.raises(SettingsError, match="is not text in UTF-8"):
        set_fold_edge(JOB, "fr\udcff", "1")


def test_there_is_no_list_of_folds() -> None:
    with pytest.raises(ValueError, match="fold"):
        add_piece_edge(JOB, "front", Finish.FOLD, "1")

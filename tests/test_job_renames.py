"""New numbers reach every place that an edge is named in, and no other."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from odd_jobs import PIECES, comments_of, loaded, odd_jobs

from edgefinder.classifier.editing.edge_renames import EdgeRenames, walked_backwards
from edgefinder.classifier.editing.job_renames import (
    rename_edges,
    rename_piece,
)
from edgefinder.classifier.run_words import RunWord, split_run_word
from edgefinder.errors import SettingsError

DEMO = Path(__file__).parents[1] / "fixtures" / "demo"

JOB = """\
[[pieces]]
name = "front"
fold_edge = 7                          # centre
raw = [2]
hem = ["1", "all except 3, 7", "side"] # below
bound = [
    3,   # neck
    5,
]
edge_names = { side = 4, nape = "3a" }
marks = { low = "3 at 50 %", "side point" = "notch 3", high = "corner 3" }
allowances = { 3 = "5 mm", side = "6 mm" }

[[pieces]]
name = "front lining"
raw = 3

[[runs]]
name = "neck"
tape = "main"
edges = [
    "back 3",
    "front 3",            # middle
    "front 3 mirrored",
    "front lining 3",
]

[[runs]]
name = "whole"
edges = "Front  from corner 3 to 5 at 2 mm"
"""


def replaced(*pairs: tuple[str, str]) -> str:
    text = JOB
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_one_number_is_changed_in_every_place_that_means_the_edge() -> None:
    after = rename_edges(JOB, "Front", {"3": ["9"]})

    assert after == replaced(
        ('"all except 3, 7"', '"all except 9, 7"'),
        ("    3,   # neck", "    9,   # neck"),
        ('nape = "3a"', 'nape = "9a"'),
        ('low = "3 at 50 %"', 'low = "9 at 50 %"'),
        ('high = "corner 3"', 'high = "corner 9"'),
        ('{ 3 = "5 mm"', '{ 9 = "5 mm"'),
        ('"front 3",            # middle', '"front 9",            # middle'),
        ('"front 3 mirrored"', '"front 9 mirrored"'),
        ('"Front  from corner 3 to 5 at 2 mm"', '"Front from corner 9 to 5 at 2 mm"'),
    )


def test_an_edge_that_became_two_is_named_by_both_backwards_where_mirrored() -> None:
    text = JOB.replace(', nape = "3a"', "").replace('low = "3 at 50 %", ', "")

    after = rename_edges(text, "front", {"3": ["4", "5"], "4": ["6"], "5": ["7"]})

    data = loaded(after)
    front, lining = data["pieces"]
    assert front["hem"] == ["1", "all except 4, 5, 7", "side"]
    assert front["bound"] == [4, 5, 7]
    assert "    4,\n    5,   # neck\n    7,\n" in after
    assert front["edge_names"] == {"side": 6}
    assert front["marks"] == {"side point": "notch 3", "high": "corner 4"}
    assert front["allowances"] == {"4": "5 mm", "5": "5 mm", "side": "6 mm"}
    assert lining["raw"] == 3
    assert data["runs"][0]["edges"] == [
        "back 3",
        "front 4",
        "front 5",
        "front 5 mirrored",
        "front 4 mirrored",
        "front lining 3",
    ]
    assert data["runs"][1]["edges"] == "Front from corner 4 to 7 at 2 mm"
    assert comments_of(after) == comments_of(text)


def test_places_where_one_edge_must_be_named_are_told_together() -> None:
    with pytest.raises(SettingsError) as caught:
        rename_edges(JOB, "front", {"3": ["4", "5"], "7": ["8", "9"], "5": []})

    piece = 'pieces "front": '
    assert caught.value.messages == (
        f"{piece}fold_edge: edge 7 became 8 and 9; name one of them",
        f'{piece}edge_names: nape: "3a": edge 3 became 4 and 5; write it anew',
        f'{piece}marks: low: "3 at 50 %": edge 3 became 4 and 5; write it anew',
        'runs "whole": edges: "5 at 2 mm": edge 5 is gone; write it anew',
    )


def test_an_edge_that_is_gone_is_named_nowhere() -> None:
    after = rename_edges(JOB, "front", {"2": [], "4": [], "7": [], "5": ["5"]})

    assert after == replaced(
        ("fold_edge = 7                          # centre\n", ""),
        ("raw = [2]\n", ""),
        ('"all except 3, 7"', '"all except 3"'),
        ("{ side = 4, nape", "{ nape"),
    )


def test_a_run_of_which_nothing_is_left_keeps_an_empty_list() -> None:
    text = '[[runs]]\nname = "x"\nedges = ["a 1", "a 1 mirrored"]\n'

    assert rename_edges(text, "a", {"1": []}) == text.replace(
        '["a 1", "a 1 mirrored"]', "[]"
    )
    text = text.replace('["a 1", "a 1 mirrored"]', "'a 1'")
    assert rename_edges(text, "a", {"1": []}) == text.replace("'a 1'", "[]")


def test_two_edges_that_became_one_are_named_once() -> None:
    text = """\
[[pieces]]
name = "a"
raw = [1, 2, 5]
hem = ["all except 1, 2"]
allowances = { 1 = "5 mm", 2 = "5 mm" }
[[runs]]
name = "x"
edges = ["a 1", "a 2", "a 2 mirrored", "b 1"]
"""
    data = loaded(rename_edges(text, "a", {"2": ["1"], "5": ["4"]}))

    assert data["pieces"] == [
        {
            "name": "a",
            "raw": [1, 4],
            "hem": ["all except 1"],
            "allowances": {"1": "5 mm"},
        }
    ]
    assert data["runs"][0]["edges"] == ["a 1", "a 1 mirrored", "b 1"]


def test_two_allowances_of_what_is_one_edge_now_are_a_mistake() -> None:
    text = """\
[[pieces]]
name = "a"
allowances = { 1 = "5 mm", 2 = "6 mm" }
"""
    with pytest.raises(SettingsError) as caught:
        rename_edges(text, "a", {"2": ["1"]})

    (message,) = caught.value.messages
    assert message == (
        'pieces "a": allowances: edge 1 was edges with 5 mm and 6 mm; write one of them'
    )


@pytest.mark.parametrize(
    ("edges", "expected"),
    [
        (["a 2", "a 3"], ["a 2", "a 10", "a 11"]),
        (["a 4", "a 3"], ["a 4", "a 11", "a 10"]),
        (["a 3", "a 2"], ["a 11", "a 10", "a 2"]),
        (["a 3 mirrored", "a 4 mirrored"], ["a 10 m", "a 11 m", "a 4 m"]),
        (["a 2 mirrored", "a 3 mirrored"], ["a 2 m", "a 10 m", "a 11 m"]),
        (["a 4", "a 3 mirrored"], ["a 4", "a 11 m", "a 10 m"]),
        (["b 4", "a 3"], ["b 4", "a 10", "a 11"]),
        (["a 2", "a 3", "a 2"], ["a 2", "a 10", "a 11", "a 2"]),
    ],
)
def test_several_edges_stand_in_the_order_of_the_run(
    edges: list[str], expected: list[str]
) -> None:
    text = f'[[runs]]\nname = "x"\nedges = {edges}\n'

    after = rename_edges(text, "a", {"3": ["10", "11"]})

    written = [
        word.replace("mirrored", "m") for word in loaded(after)["runs"][0]["edges"]
    ]
    assert written == expected


def test_numbers_are_exchanged_at_once() -> None:
    text = """\
[[pieces]]
name = "a"
raw = [3, 4]
hem = "3"
[pieces.allowances]
3 = "5 mm" # x
4 = "6 mm"
"""
    after = rename_edges(text, "a", {"3": ["4"], "4": ["3"]})

    assert (
        after
        == """\
[[pieces]]
name = "a"
raw = [4, 3]
hem = 4
[pieces.allowances]
4 = "5 mm" # x
3 = "6 mm"
"""
    )


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("allowances . 3 = '5 mm' # x\n", ""),
        ("allowances . 3 = '5 mm' # x\nallowances.4='6 mm'\n", "allowances.4='6 mm'\n"),
        ("allowances = { 3 = '5 mm' } # x\n", ""),
        (
            "allowances = { 3='5 mm', 4='6 mm' } # x\n",
            "allowances = { 4='6 mm' } # x\n",
        ),
        ("[pieces.allowances]\n3 = '5 mm'\n", "[pieces.allowances]\n"),
        ("edge_names = { a = 3 }\nmarks.b = 'notch 3'\n", "marks.b = 'notch 3'\n"),
    ],
)
def test_allowances_and_names_of_an_edge_that_is_gone_go_too(
    before: str, after: str
) -> None:
    text = f'[[pieces]]\nname = "a"\n{before}'

    assert rename_edges(text, "a", {"3": []}) == f'[[pieces]]\nname = "a"\n{after}'


def test_allowances_below_each_other_stay_so() -> None:
    text = '[[pieces]]\nname = "a"\n[pieces.allowances]\r\n  3 = "5 mm" # x\r\n'
    text = text.replace("\r\n", "\n").replace("\n", "\r\n")

    after = rename_edges(text, "a", {"3": ["4", "5"]})

    assert after == text.replace(
        '  3 = "5 mm" # x\r\n', '  4 = "5 mm"\r\n  5 = "5 mm" # x\r\n'
    )


def plain_words(data: Any) -> Any:
    """The data with single blanks in its texts, and numbers as texts."""
    if isinstance(data, dict):
        return {" ".join(k.split()): plain_words(v) for k, v in data.items()}
    if isinstance(data, list):
        return [plain_words(one) for one in data]
    return " ".join(str(data).split())


@given(odd_jobs(), st.sampled_from(PIECES), st.permutations(["3", "4", "5", "12"]))
def test_renaming_there_and_back_leaves_what_was_there(
    text: str, piece: str, order: list[str]
) -> None:
    numbers = ["3", "4", "5", "12"]
    there = {old: [new] for old, new in zip(numbers, order, strict=True)}
    back = {new: [old] for old, new in zip(numbers, order, strict=True)}

    after = rename_edges(text, piece, there)
    again = rename_edges(after, piece, back)

    assert plain_words(loaded(again)) == plain_words(loaded(text))
    assert comments_of(after) == comments_of(text)
    assert len(after.split("\n")) == len(text.split("\n"))
    other = [p for p in loaded(text).get("pieces", []) if p["name"] != piece]
    assert other == [p for p in loaded(after).get("pieces", []) if p["name"] != piece]


@given(odd_jobs(), st.sampled_from(PIECES))
def test_new_words_for_edges_that_are_not_named_change_nothing(
    text: str, piece: str
) -> None:
    assert rename_edges(text, piece, {"31": ["3"], "99": []}) == text
    assert rename_edges(text, "pocket", {"3": ["7", "8"]}) == text


def test_mirrored_is_no_edge_of_a_piece_with_a_longer_name() -> None:
    text = '[[runs]]\nname = "x"\nedges = ["front neck mirrored"]\n'
    known = ["front", "front neck"]
    assert rename_edges(text, "front", {"neck": ["7"]}, pieces=known) == text.replace(
        "neck", "7"
    )


def table_in(text: str, piece: str) -> dict[str, Any]:
    tables: list[dict[str, Any]] = loaded(text).get("pieces", [])
    return next((table for table in tables if table["name"] == piece), {})


@given(odd_jobs(), st.sampled_from(PIECES))
def test_an_edge_made_two_in_an_odd_job_is_two_in_every_list(
    text: str, piece: str
) -> None:
    table = table_in(text, piece)
    one_edge = [table.get("fold_edge"), *table.get("edge_names", {}).values()]
    if "3a" in str(table) or 3 in one_edge or "3" in one_edge:
        with pytest.raises(SettingsError, match="edge 3 became 20 and 21"):
            rename_edges(text, piece, {"3": ["20", "21"]})
        return
    after = rename_edges(text, piece, {"3": ["20", "21"]})

    new = table_in(after, piece)
    for key in ("bound", "seam", "hem", "facing", "raw"):
        old = table.get(key, [])
        expected: list[Any] = []
        for word in old if isinstance(old, list) else [old]:
            if word == 3:
                expected += [20, 21]
            else:
                expected.append(str(word).replace("except 3,", "except 20, 21,"))
        got = new.get(key, [])
        written = list(map(str, got if isinstance(got, list) else [got]))
        assert written == list(map(str, expected))
    assert comments_of(after) == comments_of(text)


def test_a_piece_is_renamed_in_its_table_and_in_runs() -> None:
    after = rename_piece(JOB, "FRONT", "bib top")

    assert after == replaced(
        ('"front"', '"bib top"'),
        ('"front 3",  ', '"bib top 3",  '),
        ('"front 3 mirrored"', '"bib top 3 mirrored"'),
        (
            '"Front  from corner 3 to 5 at 2 mm"',
            '"bib top from corner 3 to 5 at 2 mm"',
        ),
    )


def test_a_longer_name_that_begins_alike_is_another_piece() -> None:
    text = '[[runs]]\nname = "x"\nedges = ["front lining 3", "front neck"]\n'

    assert rename_piece(text, "front", "bib", pieces=["front lining"]) == text.replace(
        "front neck", "bib neck"
    )
    after = rename_edges(text, "front", {"3": ["4"]}, pieces=["front lining"])
    assert after == text


def test_a_piece_cannot_take_the_name_of_another_table() -> None:
    with pytest.raises(SettingsError, match='"Front Lining": has a table already'):
        rename_piece(JOB, "front", "Front Lining")


def test_capitals_of_a_name_can_be_changed() -> None:
    assert loaded(rename_piece(JOB, "front", "Front"))["pieces"][0]["name"] == "Front"


@given(odd_jobs(), st.sampled_from(PIECES))
def test_a_piece_renamed_there_and_back_is_as_it_was(text: str, piece: str) -> None:
    after = rename_piece(text, piece, "sleeve cap", pieces=PIECES)
    again = rename_piece(after, "Sleeve Cap", piece, pieces=["sleeve cap", *PIECES])

    assert plain_words(loaded(again)) == plain_words(loaded(text))
    assert comments_of(again) == comments_of(text)
    assert f"{piece} 3" not in after or piece == "front"


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("Front  Lining 3", ("Front Lining", "3")),
        ("front neck", ("front", "neck")),
        ("front", ("", "front")),
        ("back 3", ("", "back 3")),
    ],
)
def test_the_longer_name_is_the_piece(word: str, expected: tuple[str, str]) -> None:
    known = ["front", "front lining"]
    assert split_run_word(word, known) == RunWord(*expected, mirrored=False)
    assert split_run_word(f"{word} Mirrored", known) == RunWord(
        *expected, mirrored=True
    )


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("3", ("4", "5")),
        ("ALL except  3,side", ("ALL except 4, 5, side",)),
        ("all except 7", ("all",)),
        ("all", ("all",)),
        ("layer:3", ("layer:3",)),
        ("cutout 3", ("cutout 3",)),
        ("Neck", ("collar",)),
        ("8B", ("9b",)),
        ("from notch 3 to corner 3", ("from notch 3 to corner 4",)),
        ("from 8 at 40 % to 8b at 2 mm", ("from 9 at 40 % to 9b at 2 mm",)),
    ],
)
def test_words_are_renamed_by_what_they_mean(
    word: str, expected: tuple[str, ...]
) -> None:
    renames = EdgeRenames({"3": ["4", "5"], "7": [], "8": ["9"], "NECK": ["collar"]})

    assert renames.words(word) == expected


@pytest.mark.parametrize("word", ["3a", "from 3 at 2 mm to 8", "from corner 7 to x"])
def test_a_place_on_an_edge_that_is_not_one_any_more_is_a_mistake(word: str) -> None:
    with pytest.raises(SettingsError, match=r"edge \d (became 4 and 5|is gone); write"):
        EdgeRenames({"3": ["4", "5"], "7": []}).words(word)


def test_neighbours_on_both_sides_that_disagree_tell_nothing() -> None:
    assert walked_backwards("3", "2", "2") is None
    assert walked_backwards("3", "2", "4") is False
    assert walked_backwards("3", "4", None) is True
    assert walked_backwards("neck", "4", None) is None
    assert walked_backwards("3b", "3c", None) is True
    assert walked_backwards("3b", "3a", "4") is False
    assert walked_backwards("3ba", "3z", None) is False
    assert walked_backwards("3b", "3b", None) is None

"""Keys, lists and names that are set: they stand where they mean it, all else stays."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from odd_jobs import comments_of, loaded, odd_jobs
from test_page_changes import RUN, change, desk_of

from edgefinder.classifier.editing.settings_edits import (
    FABRIC,
    TOP,
    add_to_list,
    rename_table,
    set_key,
)
from edgefinder.errors import SettingsError


@pytest.mark.parametrize(
    ("before", "items", "after"),
    [
        # numbers of sizes are texts, like those that are there
        ('sizes = ["8", "10"]', ["8", "10", "12"], 'sizes = ["8", "10", "12"]'),
        # every blank and every capital counts
        ('sizes = ["a"]', ["a", "A", "a  b"], 'sizes = ["a", "A", "a  b"]'),
        ('sizes = ["a  b"] # x', ["a b"], 'sizes = ["a b"] # x'),
        ('sizes = ["a", "b"]', ["b", "a"], 'sizes = ["b", "a"]'),
        ('sizes = ["a"]', ["b", "b"], 'sizes = ["b"]'),
    ],
)
def test_a_list_holds_the_very_texts_that_it_is_set_to(
    before: str, items: list[str], after: str
) -> None:
    assert set_key(before + "\n", TOP, "", "sizes", items) == after + "\n"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('d = ["sub/p.svg"]  # x\n', 'd = ["sub/p.svg", "P.svg"]  # x\n'),
        ('d = "p.svg"\n', 'd = ["p.svg", "P.svg"]\n'),
        ('d = ["P.svg"]\n', 'd = ["P.svg"]\n'),
        ("d = []\n", 'd = ["P.svg"]\n'),
        ("x = 1\n", 'x = 1\nd = ["P.svg"]\n'),
    ],
)
def test_a_text_is_added_to_a_list_that_stays_as_it_is_written(
    before: str, after: str
) -> None:
    assert add_to_list(before, TOP, "", "d", ["P.svg"]) == after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('[[tapes]]\nname = "t"\n', 'd = "x"\n\n[[tapes]]\nname = "t"\n'),
        ('\ufeff[[tapes]]\nname = "t"\n', '\ufeffd = "x"\n\n[[tapes]]\nname = "t"\n'),
        ("# my tape\n  [[tapes]]\r\n", 'd = "x"\n\n# my tape\n  [[tapes]]\r\n'),
        ("# a job\n\n# my tape\n[fabric]", '# a job\n\nd = "x"\n\n# my tape\n[fabric]'),
        ("", 'd = "x"\n'),
        ("# a job", '# a job\n\nd = "x"\n'),
        ("a = 1\n[fabric]\n", 'a = 1\nd = "x"\n[fabric]\n'),
    ],
)
def test_the_first_key_at_the_top_stands_above_every_table(
    before: str, after: str
) -> None:
    found = set_key(before, TOP, "", "d", "x")
    assert found == after
    assert loaded(found)["d"] == "x"


TAPE = '# bought in May\n[[tapes]]\nname = "t"\n'


FABRIC_TABLE = "[fabric]\none_way = true\n"


@pytest.mark.parametrize(
    ("above", "below"),
    [
        (TAPE + "\n", ""),
        (TAPE + "\n", "\n# the neck\n[[runs]]\n"),
        ('  [[cloths]]\n  name = "c"\n\n', "\n  [[tapes]]\n"),
        ('[[cloths]]\nname = "c"\n# soft\n\n', "\n# narrow\n[[tapes]]\n"),
        ("", ""),
        ("tapes = []\n\n", ""),
    ],
)
def test_the_table_of_the_fabric_goes_between_two_tables(
    above: str, below: str
) -> None:
    before = above.removesuffix("\n") + below
    after = set_key(before, FABRIC, "", "one_way", value=True)
    assert after == above + FABRIC_TABLE + below
    assert loaded(after) == loaded(before) | {"fabric": {"one_way": True}}


@pytest.mark.parametrize(
    "written",
    ['fabric = { cloth = "c" }', 'fabric.cloth = "c"', '[[fabric]]\ncloth = "c"'],
)
def test_a_fabric_in_another_form_is_left_as_it_is(written: str) -> None:
    text = f'# x\n{written}\n\n[[cloths]]\nname = "c"\n'
    with pytest.raises(SettingsError, match=r"fabric: line 2 .* the line \[fabric\]"):
        set_key(text, FABRIC, "", "one_way", value=True)
    with pytest.raises(SettingsError, match=r"fabric: line 2 .* the line \[fabric\]"):
        rename_table(text, "cloths", "c", "d")


def test_a_table_inside_the_fabric_stays_where_it_is() -> None:
    """No key of a job file is one, but what cannot be read is not made worse."""
    text = "[fabric.x]\ny = 1\n\n[[runs]]\n"
    after = set_key(text, FABRIC, "", "one_way", value=True)
    assert after == text.replace("\n[[", f"\n{FABRIC_TABLE}\n[[")
    with pytest.raises(SettingsError, match="x: line 1 is not one value"):
        set_key(after, FABRIC, "", "x", "z")


@given(odd_jobs())
def test_the_fabric_of_an_odd_job_is_set_and_nothing_else_changes(text: str) -> None:
    after = set_key(text, FABRIC, "", "cloth_width", "110 cm")
    expected = loaded(text)
    expected["fabric"]["cloth_width"] = "110 cm"
    assert loaded(after) == expected
    assert comments_of(after) == comments_of(text)


OWN = '\n[[cloths]]\nname = "Quilting Cotton"\nstretch_limit_percent = 5\n'


@pytest.mark.parametrize("fabric", ["", "\n[fabric]\none_way = true\n"])
def test_tapes_keep_a_cloth_that_needs_no_word_when_its_name_is_changed(
    tmp_path: Path, fabric: str
) -> None:
    desk = desk_of(tmp_path, RUN + OWN + fabric)

    def limit() -> float:
        release = desk.look().draft.release
        assert release is not None
        cloth = release.sizes[0].tapes[0].tape.cloth
        return cloth.bias.limit.stretch

    assert limit() == pytest.approx(0.05)
    asked = {"do": "set", "kind": "cloths", "key": "name"}
    change(desk, **asked, name="quilting cotton", value="mine")
    assert limit() == pytest.approx(0.05)
    data = tomllib.loads(desk.path.read_text("utf-8"))
    assert data["fabric"]["cloth"] == data["cloths"][0]["name"] == "mine"


def test_capitals_of_the_cloth_that_needs_no_word_are_its_own_matter() -> None:
    after = rename_table(OWN, "cloths", "quilting cotton", "quilting cotton")
    assert after == OWN.replace("Quilting Cotton", "quilting cotton")

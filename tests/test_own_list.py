"""A person's own list of cloths and fold tools, and what it counts for."""

from dataclasses import replace
from pathlib import Path

import pytest
from tape_cases import demo_job

from edgefinder.binding.cloth import find_cloth
from edgefinder.classifier.job import ClothSettings, FoldTool, Origin
from edgefinder.classifier.own_list import (
    NOTHING,
    OwnList,
    read_own_list,
    with_own_list,
)
from edgefinder.errors import DrawingError, SettingsError

TEXT = """\
fold_tools = ["18 mm", "1/2 in"]

[[cloths]]
name = "barn lawn"
stretch_ok_percent = 12
stretch_limit_percent = 18
ease_ok_percent = 3
ease_limit_percent = 5
"""
BARN = ClothSettings("barn lawn", 0.12, 0.18, 0.03, 0.05, Origin.OWN_LIST)


def written(folder: Path, text: str) -> Path:
    path = folder / "cloths.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_list_is_read_whole(tmp_path: Path) -> None:
    own = read_own_list(written(tmp_path, TEXT))

    assert own.cloths == (BARN,)
    assert own.fold_tools == (
        FoldTool("18 mm", 18.0, Origin.OWN_LIST),
        FoldTool("1/2 in", 12.7, Origin.OWN_LIST),
    )


def test_a_list_that_is_not_there_or_empty_says_nothing(tmp_path: Path) -> None:
    assert read_own_list(tmp_path / "cloths.toml") == NOTHING
    assert read_own_list(tmp_path / "no" / "folder" / "cloths.toml") == NOTHING
    file = written(tmp_path, "")
    assert read_own_list(file) == NOTHING
    assert read_own_list(file / "cloths.toml") == NOTHING
    assert read_own_list(written(tmp_path, "# nothing yet\n")) == NOTHING


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("fold_tool = '18 mm'", 'fold_tool: unknown key; did you mean "fold_tools"?'),
        ("fold_tools = [18]", 'fold_tools: 18 has no unit; write "18 mm" or "18 in"'),
        ("fold_tools = '0 mm'", 'fold_tools: "0 mm" must be more than nothing'),
        ("fold_tools = 18", "fold_tools: must be a list of lengths, like"),
        ("[[cloths]]\nname = 'a'", 'cloths "a": stretch_limit_percent: is missing'),
        ("[[tapes]]\nname = 'a'", "tapes: unknown key"),
        ("fold_tools = [", "is not a list of cloths in TOML: "),
    ],
)
def test_a_mistake_is_one_line_with_the_path(
    tmp_path: Path, text: str, said: str
) -> None:
    path = written(tmp_path, text)

    with pytest.raises(SettingsError) as told:
        read_own_list(path)

    (message,) = told.value.messages
    assert message.startswith(f"{path}: {said}")


def test_all_mistakes_are_told_together(tmp_path: Path) -> None:
    path = written(tmp_path, 'fold_tools = ["18", "x"]\n[[cloths]]\nname = "a"\n')

    with pytest.raises(SettingsError) as told:
        read_own_list(path)

    assert len(told.value.messages) == 3


def test_a_folder_in_the_place_of_the_list_is_told(tmp_path: Path) -> None:
    with pytest.raises(DrawingError) as told:
        read_own_list(tmp_path)

    assert told.value.messages == (f"{tmp_path}: is a folder; name a file in it",)


def test_text_that_is_not_utf_8_is_told(tmp_path: Path) -> None:
    path = tmp_path / "cloths.toml"
    path.write_bytes(b"# \xff\n")

    with pytest.raises(SettingsError, match="is not text in UTF-8"):
        read_own_list(path)


# What comes first


def test_the_job_file_comes_before_the_list_and_the_list_before_the_classes() -> None:
    named = [replace(BARN, name=name) for name in ("barn", "lawn")]
    own = OwnList(tuple(named), ())
    in_job = ClothSettings("Barn", 0.05, 0.1, 0.0, 0.0)
    job = with_own_list(replace(demo_job("orchard-apron"), cloths=(in_job,)), own)

    origins = {
        name: find_cloth(name, job.cloths).origin
        for name in ("barn", "lawn", "poplin", "voile")
    }

    assert origins == {
        "barn": Origin.JOB_FILE,
        "lawn": Origin.OWN_LIST,
        "poplin": Origin.CLOTH_CLASS,
        "voile": Origin.CLOTH_CLASS,
    }
    assert find_cloth("barn", job.cloths).bias.limit.stretch == 0.1


def test_the_tools_of_the_job_file_take_the_place_of_all_in_the_list() -> None:
    mine = (FoldTool("12 mm", 12.0, Origin.JOB_FILE),)
    listed = OwnList((), (FoldTool("18 mm", 18.0, Origin.OWN_LIST),))
    job = demo_job("orchard-apron")

    assert with_own_list(job, listed).fold_tools == listed.fold_tools
    assert with_own_list(replace(job, fold_tools=mine), listed).fold_tools == mine
    assert with_own_list(job, NOTHING) == job

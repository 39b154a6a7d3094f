"""What is said of edges in single sizes, when edges of the job file became one."""

import tomllib
from pathlib import Path as FilePath

import pytest
from drawn import job_of, piece_of
from shapes import rectangle

from edgefinder.classifier.carrying import Carried, Changed
from edgefinder.classifier.sizes import sort_by_size
from edgefinder.errors import SettingsError
from edgefinder.schedule.drawn_shapes import refreshed_text

NEW = {1: (1,), 2: (2,), 3: (3,), 4: (3,), 5: (4,)}
"""Edges 3 and 4 are one edge now."""


def refreshed(folder: FilePath, same_edges: str) -> str:
    text = 'drawings = ["a.svg"]\n[[pieces]]\nname = "front"\n' + same_edges
    job = job_of(folder, text)
    sizes, _ = sort_by_size([[piece_of(rectangle(220, 200), size="M")]])
    carried = Carried(sizes, (Changed("front", NEW),), {}, ())
    return refreshed_text(job.text, job, sizes, carried)


@pytest.mark.parametrize(
    "written",
    [
        'same_edges = { "3 in L" = 2, "4 in L" = 2, "5 in L" = 3 }\n',
        '[pieces.same_edges]\n"3  in L" = 2\n"4 in L" = 2 # x\n"5 in L" = 3\n',
        'same_edges."4 in L" = 2\nsame_edges."3 in L" = 2\nsame_edges."5 in L" = 3\n',
    ],
)
def test_what_is_said_of_both_is_said_once(tmp_path: FilePath, written: str) -> None:
    data = tomllib.loads(refreshed(tmp_path, written))
    assert data["pieces"][0]["same_edges"] == {"3 in L": 2, "4 in L": 3}


def test_two_edges_said_of_what_is_one_now_are_a_mistake(tmp_path: FilePath) -> None:
    with pytest.raises(SettingsError) as caught:
        refreshed(tmp_path, 'same_edges = { "3 in L" = 2, "4 in L" = 5 }\n')
    (message,) = caught.value.messages
    assert message == (
        'pieces "front": same_edges: "3 in L" is said of edges that are one now, once '
        "with 2 and once with 5; write one of them"
    )

"""What is kept from one round of work to the next."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tape_cases import demo_job

from edgefinder.binding.tape import make_tapes
from edgefinder.classifier.job_file import draft_text
from edgefinder.errors import EdgefinderError
from edgefinder.memory import Memory
from edgefinder.reports.release_text import schedule_text
from edgefinder.schedule.reading import PatternRead, read_pattern, tag_read
from edgefinder.schedule.release import Release, release_of


def test_a_result_is_made_once_in_two_rounds_that_use_it() -> None:
    made = []
    memory = Memory()

    def make() -> int:
        made.append(1)
        return len(made)

    assert [memory.recall("a", make) for _ in range(2)] == [1, 1]
    memory.end_round()
    assert memory.recall("a", make) == 1
    memory.end_round()
    memory.end_round()
    assert memory.recall("a", make) == 2


def test_only_what_is_missing_is_made_and_stands_in_its_place() -> None:
    memory = Memory()
    memory.recall(2, lambda: "two")
    asked = []

    def make(missing: list[int]) -> list[str]:
        asked.append(missing)
        return [f"made {i}" for i in missing]

    assert memory.recall_all([1, 2, 3], make) == ["made 0", "two", "made 2"]
    assert asked == [[0, 2]]


def test_an_error_is_not_kept() -> None:
    memory = Memory()
    with pytest.raises(ZeroDivisionError):
        memory.recall("a", lambda: 1 // 0)
    assert memory.recall("a", lambda: 5) == 5


def test_what_is_tried_aside_is_not_kept() -> None:
    memory = Memory()
    memory.recall("a", lambda: 1)
    aside = memory.aside()
    assert aside.recall("a", lambda: 2) == 1
    assert aside.recall("b", lambda: 3) == 3
    assert memory.recall("b", lambda: 4) == 4


def test_equal_values_have_one_token() -> None:
    memory = Memory()
    assert memory.token((1, "a")) is memory.token((1, "a"))
    assert memory.token((1, "a")) is not memory.token((1, "b"))


CHANGES = (
    ('finished_width = "3/8 in"', 'finished_width = "1/2 in"'),
    ('finished_width = "1/2 in"', 'finished_width = "1/4 in"'),
    ('finished_width = "6 mm"', 'finished_width = "8 mm"'),
    ('seam_allowance = "10 mm"', 'seam_allowance = "6 mm"'),
    ('cloth = "quilting cotton"', 'cloth = "taffeta"'),
    ('cloth = "lawn"', 'cloth = "taffeta"'),
    ('unit = "in"', 'unit = "cm"'),
    ("times = 2", "times = 1"),
    ("raw = [2]", "hem = [2]"),
    ("cut = 2", "cut = 4"),
    ('start = "caught in a seam"', 'start = "turned under"'),
    ('"front 4", "back 4"', '"front 4"'),
    ('"front 3", "back 2"', '"back 2"'),
    ('"front 1"', '"front from corner 1 to 1 at 40 %"'),
    ('strip_seam = "6 mm"', 'strip_seam = "10 mm"'),
)


@settings(max_examples=8)
@given(
    name=st.sampled_from(["orchard-apron", "puddle-smock"]),
    changes=st.lists(st.sampled_from(CHANGES), min_size=1, max_size=4),
)
def test_what_is_remembered_never_shows(
    name: str, changes: list[tuple[str, str]]
) -> None:
    """A release with memory says the same as one worked out from nothing."""
    job = demo_job(name)
    read = _read(name)
    memory, text = Memory(), job.text
    for old, new in [("", ""), *changes]:
        text = text.replace(old, new, 1)
        kept = _said(job.path, text, read, memory)
        assert kept == _said(job.path, text, read, Memory())
        memory.end_round()


_READ: dict[str, PatternRead] = {}


def _read(name: str) -> PatternRead:
    if name not in _READ:
        _READ[name] = read_pattern(demo_job(name))
    return _READ[name]


def _said(path: Path, text: str, read: PatternRead, memory: Memory) -> str:
    try:
        return schedule_text(_release(path, text, read, memory))
    except EdgefinderError as error:
        return "\n".join(error.messages)


def _release(path: Path, text: str, read: PatternRead, memory: Memory) -> Release:
    job, mistakes = draft_text(path, text)
    assert not mistakes
    now = PatternRead(job, read.sizes, read.pieces, read.findings)
    return release_of(tag_read(now, make_tapes(job)[0], memory), memory=memory)

import pytest

from edgefinder.findings import Severity
from edgefinder.importers.svg.findings import MESSAGES, Tally


def test_equal_things_are_told_once_with_their_number_and_first_line() -> None:
    tally = Tally("a.svg")
    for line in (7, 8, 9):
        tally.add("skipped-element", line, "image element")

    (finding,) = tally.findings()

    assert finding.where == "a.svg: line 7"
    assert finding.severity is Severity.NOTE
    assert finding.message.startswith("3 image elements skipped")


def test_different_nouns_are_told_apart_in_the_order_first_met() -> None:
    tally = Tally("a.svg")
    tally.add("skipped-element", 2, "image element")
    tally.add("skipped-element", 3, "video element")
    tally.add("skipped-element", 4, "image element")

    told = [finding.message.split(" skipped")[0] for finding in tally.findings()]

    assert told == ["2 image elements", "1 video element"]


def test_none_of_a_thing_is_not_told() -> None:
    tally = Tally("a.svg")
    tally.add("hidden", 1, "outline", count=0)

    assert tally.findings() == ()


@pytest.mark.parametrize(
    ("noun", "plural"),
    [("outline", "2 outlines"), ("outline in defs", "2 outlines in defs")],
)
def test_nouns_are_put_in_the_plural(noun: str, plural: str) -> None:
    tally = Tally("a.svg")
    tally.add("hidden", 1, noun, count=2)

    assert tally.findings()[0].message.startswith(f"{plural} hidden")


@pytest.mark.parametrize("code", MESSAGES)
def test_no_gap_is_left_in_a_sentence(code: str) -> None:
    tally = Tally("a.svg")
    tally.add(code, 1, "outline", '"x"')

    message = tally.findings()[0].message

    assert not set("{}") & set(message)

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.binding.fold_tools import tool_needed, widths_of_tools
from edgefinder.classifier.job import FoldTool, Origin, TapeFold


def tools(*sizes: float) -> list[FoldTool]:
    return [FoldTool(f"{size:g} mm", size, Origin.JOB_FILE) for size in sizes]


def test_a_double_fold_is_half_of_the_tool_and_a_single_fold_all_of_it() -> None:
    mine = tools(18, 12, 25)

    assert widths_of_tools(TapeFold.SINGLE, mine) == [12, 18, 25]
    assert widths_of_tools(TapeFold.DOUBLE, mine) == [6, 9, 12.5]


@pytest.mark.parametrize(
    "fold", [TapeFold.DOUBLE_LAYER, TapeFold.FLAT, TapeFold.FACING]
)
def test_no_tool_makes_what_is_folded_by_hand_or_not_at_all(fold: TapeFold) -> None:
    assert widths_of_tools(fold, tools(18)) == []
    assert tool_needed(9, fold, tools(18)) is None


def test_a_tool_that_is_listed_twice_makes_one_width() -> None:
    assert widths_of_tools(TapeFold.DOUBLE, tools(18, 18)) == [9]


@pytest.mark.parametrize(
    ("finished", "size"),
    # Sold under one name (common practice): 6, 12, 18 and 25 mm for 1/4, 1/2, 3/4 and
    # 1 in, each folded once more to half of it.
    [(3.175, 6), (6.35, 12), (9.525, 18), (12.7, 25)],
)
def test_a_metric_tool_goes_with_its_width_in_inches(
    finished: float, size: float
) -> None:
    needed = tool_needed(finished, TapeFold.DOUBLE, tools(6, 12, 18, 25))

    assert needed is not None
    assert needed.size == 2 * finished
    assert needed.own is not None
    assert needed.own.size == size


def test_tools_of_other_widths_are_not_taken_for_it() -> None:
    needed = tool_needed(10, TapeFold.SINGLE, tools(9, 12))

    assert needed is not None
    assert (needed.size, needed.own) == (10, None)


@given(st.lists(st.floats(4, 60), min_size=1, max_size=6), st.sampled_from(TapeFold))
def test_every_width_that_a_tool_makes_goes_with_that_tool(
    sizes: list[float], fold: TapeFold
) -> None:
    mine = tools(*sizes)

    for width in widths_of_tools(fold, mine):
        needed = tool_needed(width, fold, mine)
        assert needed is not None
        assert needed.own is not None
        assert needed.own.size == pytest.approx(needed.size)

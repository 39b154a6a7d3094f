"""Tables of widths, cloths and angles as text."""

import math
import re
from dataclasses import replace

import pytest
from shapes import circle_outline
from tape_cases import leg_along

from edgefinder.binding.cloth import Cloth, find_cloth
from edgefinder.binding.fold_tools import ToolNeeded, tool_needed
from edgefinder.binding.runs import Run
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import (
    End,
    FoldTool,
    Grain,
    InsideCorner,
    Join,
    Origin,
    RunSettings,
    TapeFold,
)
from edgefinder.curvature.choosing import Choice, Lie, Trial
from edgefinder.reports.choices_text import choices_text
from edgefinder.reports.layout import WIDTH
from edgefinder.schedule.choices import By, TapeChoices, WidthSource
from edgefinder.units import Unit

COTTON = find_cloth("quilting cotton", ())
LEG = leg_along(circle_outline(100))
FLAT = Lie(0, 0, 600.0, 0.0, 0.0)
SOME = Lie(2, 1, 300.0, 200.0, 100.0)


def run_named(name: str) -> Run:
    settings = RunSettings(
        name=name,
        tape="main",
        edges=(),
        is_closed=True,
        start=End.TURNED_UNDER,
        end=End.TURNED_UNDER,
        turned_under=0.0,
        tie_length=0.0,
        handling_tail=0.0,
        join=Join.SQUARE,
        inside_corners=InsideCorner.MITRE,
        times=1,
    )
    tape = Tape("main", 9.0, 36.0, TapeFold.DOUBLE, Grain.BIAS, COTTON, None)
    return Run(settings, tape, (), (LEG,), ())


def choice(
    lies: tuple[Lie, ...],
    *,
    width: float = 9.0,
    cloth: Cloth = COTTON,
    angle: float | None = None,
    is_best: bool = False,
) -> Choice:
    whole = Lie(
        sum(lie.steam for lie in lies),
        sum(lie.too_tight for lie in lies),
        sum(lie.easy_length for lie in lies),
        sum(lie.steam_length for lie in lies),
        sum(lie.tight_length for lie in lies),
    )
    return Choice(Trial(width, cloth.bias, cloth, angle), lies, whole, is_best)


def table(
    choices: tuple[Choice, ...],
    names: tuple[str, ...] = ("neck", "hem"),
    *,
    tools: tuple[ToolNeeded | None, ...] | None = None,
    has_own_tools: bool = False,
    widest: tuple[float | None, ...] | None = None,
) -> TapeChoices:
    runs = tuple(run_named(name) for name in names)
    return TapeChoices(
        size="M",
        tape=runs[0].tape,
        runs=runs,
        choices=choices,
        tools=tools
        or tuple(tool_needed(c.trial.width, TapeFold.DOUBLE, ()) for c in choices),
        has_own_tools=has_own_tools,
        source=WidthSource.USUAL,
        widest=widest or tuple(None for _ in names),
    )


def rows(text: str, start: str) -> list[list[str]]:
    """The cells of the lines that begin with a word."""
    return [
        re.split(r" {2,}", line)
        for line in text.splitlines()
        if line.startswith(f"{start} ")
    ]


def test_a_table_shows_places_share_mark_and_tool_for_each_width() -> None:
    wide = choice((SOME, SOME), width=12.0, is_best=True)
    narrow = choice((FLAT, SOME), width=9.0, is_best=True)

    text = choices_text([table((wide, narrow))], By.WIDTH, Unit.MILLIMETRE)

    assert text.startswith('Size M, tape "main" (9 mm, quilting cotton)\n-------')
    # Easy: 600 mm of 1200, and 900 of 1200.
    assert rows(text, "12 mm")[0] == ["12 mm", "4", "2", "50 %", "24 mm"]
    assert rows(text, "9 mm")[0] == ["9 mm", "2", "1", "75 %", "18 mm"]
    assert rows(text, "12 mm")[1] == ["12 mm", "2 + 1", "2 + 1"]
    assert rows(text, "9 mm")[1] == ["9 mm", "flat", "2 + 1"]


def test_only_what_is_not_worth_choosing_has_a_mark() -> None:
    wide = choice((FLAT, FLAT), width=12.0, is_best=True)
    narrow = choice((FLAT, FLAT), width=9.0)

    text = choices_text([table((wide, narrow))], By.WIDTH, Unit.MILLIMETRE)
    all_best = choices_text([table((wide,))], By.WIDTH, Unit.MILLIMETRE)

    assert rows(text, "12 mm")[0] == ["12 mm", "0", "0", "100 %", "24 mm"]
    assert rows(text, "9 mm")[0] == ["9 mm", "=", "0", "0", "100 %", "18 mm"]
    assert "= lies no better than one above it: not worth choosing." in text
    assert "=" not in all_best


def test_the_widest_that_is_easy_is_rounded_down_and_any_where_nothing_limits() -> None:
    one = table((choice((FLAT, FLAT)),), widest=(6.97, None))

    assert rows(choices_text([one], By.WIDTH, Unit.MILLIMETRE), "easy up to") == [
        ["easy up to", "6.5 mm", "any"]
    ]
    assert rows(choices_text([one], By.CLOTH, Unit.MILLIMETRE), "easy up to") == []


def test_a_tool_of_ones_own_is_named_as_it_was_written() -> None:
    tool = FoldTool("3/4 in blue", 19.05, Origin.JOB_FILE)
    tools = (ToolNeeded(18.0, tool), ToolNeeded(12.0, None), None)
    widths = (9.0, 6.0, 5.0)
    choices = tuple(choice((FLAT, FLAT), width=w) for w in widths)

    mine = table(choices, tools=tools, has_own_tools=True)
    nobodys = table(choices, tools=(*tools[1:], None))

    ends = [
        rows(choices_text([one], By.WIDTH, Unit.MILLIMETRE), f"{w:g} mm")[0][-1]
        for one in (mine, nobodys)
        for w in widths
    ]
    assert ends == ["3/4 in blue", "-", "-", "12 mm", "-", "-"]


def test_widths_that_a_ruler_cannot_part_are_shown_with_their_millimetres() -> None:
    widths = (9.525, 9.0, 6.35)
    choices = tuple(choice((FLAT, FLAT), width=w) for w in widths)

    text = choices_text([table(choices)], By.WIDTH, Unit.INCH)

    names = [line.split("  ")[0] for line in text.splitlines() if " in" in line[:8]]
    assert names[:3] == ["3/8 in (9.525 mm)", "3/8 in (9 mm)", "1/4 in"]


def test_cloths_of_ones_own_say_where_they_come_from() -> None:
    sail = replace(COTTON, name="sail", origin=Origin.OWN_LIST)
    tarp = replace(COTTON, name="tarp", origin=Origin.JOB_FILE)
    choices = tuple(choice((FLAT,), cloth=c) for c in (COTTON, sail, tarp))

    one = replace(table(choices, ("neck",)), source=None)

    text = choices_text([one], By.CLOTH, Unit.MILLIMETRE)

    firsts = [line.split("  ")[0] for line in text.splitlines()[3:6]]
    assert firsts == ["quilting cotton", "sail (own list)", "tarp (job file)"]
    assert "fold tool" not in text


def test_angles_are_shown_with_the_stretch_that_is_left() -> None:
    one = table((choice((FLAT,), angle=math.radians(30), is_best=True),), ("neck",))

    text = choices_text([one], By.ANGLE, Unit.MILLIMETRE)

    assert rows(text, "30 degrees, 18 % stretch") == [
        ["30 degrees, 18 % stretch", "0", "0", "100 %"],
        ["30 degrees, 18 % stretch", "flat"],
    ]


@pytest.mark.parametrize("count", [1, 4, 9, 30])
@pytest.mark.parametrize("letters", [1, 12, 40])
def test_every_run_is_shown_once_within_the_page(count: int, letters: int) -> None:
    names = tuple(f"{n:02d}".rjust(letters, "x") for n in range(count))
    lies = tuple(Lie(n, 0, 500.0, 100.0, 0.0) for n in range(1, count + 1))

    text = choices_text([table((choice(lies),), names)], By.WIDTH, Unit.MILLIMETRE)

    assert all(len(line) <= WIDTH for line in text.splitlines())
    cells = [cell for row in rows(text, "9 mm")[1:] for cell in row[1:]]
    assert cells == [f"{n} + 0" for n in range(1, count + 1)]
    heads = [cell for row in rows(text, "steam + tight") for cell in row[1:]]
    assert [head[-2:] for head in heads] == [f"{n:02d}" for n in range(count)]


def test_a_run_without_length_is_easy_all_along() -> None:
    nothing = Lie(0, 0, 0.0, 0.0, 0.0)

    text = choices_text([table((choice((nothing,)),), ("a",))], By.WIDTH, Unit.INCH)

    assert "100 %" in text


def test_names_cannot_forge_a_line() -> None:
    text = choices_text(
        [table((choice((FLAT,)),), ("a\x1b[2J\nb",))], By.WIDTH, Unit.MILLIMETRE
    )

    assert all(c.isprintable() for c in text.replace("\n", ""))

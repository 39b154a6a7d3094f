"""What lies where on the page: nothing jumps, covers the focus or crowds out a list."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

import pytest
from conformance.live_scripts import TABS
from conformance.pressed import DOWN, END, SPACE, TAB, UP
from page_server import Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

TOPS: Final = """
return [...document.querySelectorAll("[role=tab]")].map(one => {
  const box = one.getBoundingClientRect();
  return [box.left, box.top, box.right];
});
"""
COVERED: Final = """
const one = document.activeElement.getBoundingClientRect();
const panel = document.getElementById("actions").getBoundingClientRect();
if (document.getElementById("actions").contains(document.activeElement)) return false;
const bars = document.getElementById("bars").getBoundingClientRect();
const isUnder = box => box.height > 0
  && one.bottom > box.top + 0.5 && one.top < box.bottom - 0.5;
return one.height > 0 && one.height < panel.top - bars.height
  && (isUnder(panel) || isUnder(bars));
"""
"""Whether some of what has the focus lies under the actions or under a message; a
whole list may."""

ROOM: Final = """
const list = document.querySelector("[role=tabpanel]:not([hidden])");
const box = list.getBoundingClientRect();
const around = document.getElementById("panels").getBoundingClientRect();
return Math.min(box.bottom, around.bottom, innerHeight)
  - Math.max(box.top, around.top, 0);
"""
"""How much of a list is seen, in px."""

BROKEN: Final = """
const node = document.getElementById("pattern-name").firstChild;
return node.data.split(" ").filter(word => {
  const range = document.createRange();
  const start = node.data.indexOf(word);
  range.setStart(node, start);
  range.setEnd(node, start + word.length);
  return range.getClientRects().length !== 1;
});
"""
"""Words of the name of the pattern that are broken inside."""

CUT_TEXTS: Final = """
const pen = document.createElement("canvas").getContext("2d");
return [...document.querySelectorAll("select")].filter(one => one.checkVisibility())
  .filter(one => {
    const style = getComputedStyle(one);
    pen.font = style.font;
    const text = one.selectedOptions[0]?.textContent.trim() ?? "";
    const arrow = 18;
    const room = one.clientWidth - parseFloat(style.paddingLeft)
      - parseFloat(style.paddingRight) - arrow;
    return pen.measureText(text).width > room;
  }).map(one => [one.id, one.selectedOptions[0].textContent]);
"""
"""Lists that cut off what is picked."""

PLACE: Final = """
const box = document.querySelector("#drawing .cloth").getBoundingClientRect();
return [box.left, box.top, box.width];
"""
LONG_NAME: Final = "Sommerkleid mit Übergrößenzuschlag"


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("room"))) as found:
        yield found


@pytest.mark.parametrize("width", [320, 360, 800, 1280])
def test_no_tab_moves_when_one_is_picked(
    live: "LivePage", page: Page, width: int
) -> None:
    live.open(page, width)
    before = None
    for tab in TABS:
        live.bring(f"tab-{tab}")
        live.run("scrollTo(0, 0)")
        live.run(f"document.getElementById('tab-{tab}').click()")
        tops = live.run(TOPS)
        assert before in (None, tops), tab
        before = tops


@pytest.mark.parametrize("width", [320, 360])
def test_the_focus_is_never_under_the_actions(
    live: "LivePage", page: Page, width: int
) -> None:
    live.open(page, width)
    live.tab_to_list()
    live.keys(SPACE)  # the actions grow
    live.press("for-one-title")
    live.run("document.querySelector('.edge-row input').focus()")
    for _ in range(12):
        live.keys(DOWN)
        assert not live.run(COVERED), live.focus
    for _ in range(12):
        live.keys(TAB)
        assert not live.run(COVERED), live.focus


def test_the_focus_stays_in_sight_when_the_actions_open(
    live: "LivePage", page: Page
) -> None:
    live.open(page, 320)
    live.tab_to_list()
    for _ in range(6):
        live.keys(DOWN)
        live.keys(SPACE)
        live.until(
            "return parseFloat(document.documentElement.style.scrollPaddingBottom)"
            " >= document.getElementById('actions').offsetHeight"
        )
        assert not live.run(COVERED), live.focus


@pytest.mark.parametrize("size", [(800, 600), (1280, 520), (1024, 700), (1280, 800)])
def test_the_lists_keep_their_room(
    live: "LivePage", page: Page, size: tuple[int, int]
) -> None:
    live.open(page)
    live.click("strap", "1")
    live.press("for-one-title")
    live.shape(*size)
    assert live.run("return document.getElementById('for-one').open")
    for tab in TABS:
        live.press(f"tab-{tab}")
        assert live.run(ROOM) >= 128, tab
    live.press("tab-edges")
    live.press("for-one-title")
    live.press("choose-none")


def test_the_lists_keep_some_room_with_letters_of_twice_the_size(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    live.click("strap", "1")
    live.run("document.documentElement.style.fontSize = '200%'")
    for tab in TABS:
        live.run(f"document.getElementById('tab-{tab}').click()")
        assert live.run(ROOM) >= 64, tab


def test_actions_fold_beside_other_lists_and_come_back(
    live: "LivePage", page: Page
) -> None:
    seen = "return document.getElementById('finish-hem')?.checkVisibility() ?? false"
    live.open(page)
    live.press("tab-figures")
    live.click("strap", "1")  # whoever picks an edge wants to do something with it
    assert live.run(seen)
    live.press("tab-findings")
    assert not live.run(seen)
    assert live.text("#actions-unfold") == "Finish strap 1"
    live.press("actions-unfold")
    assert live.run(seen)
    assert live.focus == "actions"
    live.press("tab-cloth")
    assert not live.run(seen)
    live.press("tab-runs")  # edges are added to runs
    assert live.run(seen)
    live.press("tab-figures")
    live.run("document.getElementById('picture').focus()")
    with live.saying("strap 1", "hem"):
        live.keys("h")
    assert not live.run(seen)
    with live.saying("Taken back"):
        live.press("undo")


def test_the_name_of_the_pattern_breaks_between_words(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    live.run(
        "document.getElementById('pattern-name').textContent = arguments[0]", LONG_NAME
    )
    for width in (360, 640, 800, 1280):
        live.shape(width)
        assert live.run(BROKEN) == [], width
        wide = live.run("return document.documentElement.scrollWidth")
        assert wide <= width


def test_no_list_of_choices_cuts_off_what_is_picked(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    for tab in ("runs", "cloth"):
        live.press(f"tab-{tab}")
        live.run(
            "for (const one of document.querySelectorAll('details')) one.open = true"
        )
        assert len(live.texts("select")) > 3
        assert live.run(CUT_TEXTS) == []


def test_a_message_does_not_move_the_picture(live: "LivePage", page: Page) -> None:
    live.open(page)
    live.click("strap", "1")
    live.press("for-one-title")
    before = live.run(PLACE)
    live.press("split-edge")  # without a place
    assert "Write where the edge is split" in live.bar("mistakes")
    top = live.run(
        "return document.getElementById('drawing').getBoundingClientRect().top"
    )
    assert live.run(PLACE) == pytest.approx(before, abs=0.1)
    # Not even when an edge is finished meanwhile: the picture is drawn anew then.
    with live.saying("strap 1", "raw"):
        live.press("finish-raw")
    live.until(
        "return document.getElementById('drawing').getBoundingClientRect().top"
        " < arguments[0]",
        top,
    )
    assert live.run(PLACE) == pytest.approx(before, abs=0.1)
    with live.saying("Taken back"):
        live.press("undo")


def test_a_message_is_seen_far_down_in_a_narrow_window(
    live: "LivePage", page: Page
) -> None:
    live.open(page, 360)
    live.tab_to_list()
    live.keys(END, SPACE)
    live.press("for-one-title")
    assert live.run("return scrollY") > 400
    live.press("split-edge")  # without a place
    assert "Write where the edge is split" in live.bar("mistakes")
    top, bottom, high = live.run(
        "const box = document.getElementById('bar-mistakes').getBoundingClientRect();"
        "return [box.top, box.bottom, innerHeight]"
    )
    assert top >= 0
    assert bottom < high / 3
    live.tab_to_list()
    for _ in range(30):
        live.keys(UP)
        assert not live.run(COVERED), live.focus


def test_the_picture_is_fitted_when_the_window_changes(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    before = live.run(PLACE)
    live.shape(1280, 500)
    live.until(f"return (() => {{ {PLACE} }})()[2] < {before[2] - 1}")
    live.shape(1280, 800)
    live.until(f"return (() => {{ {PLACE} }})()[2] > {before[2] - 0.1}")
    assert live.run(PLACE) == pytest.approx(before, abs=0.1)


def test_done_is_no_alarm_and_the_page_is_dimmed(
    live: "LivePage", tmp_path_factory: pytest.TempPathFactory
) -> None:
    with running(demo_copy(tmp_path_factory.mktemp("done"))) as page:
        live.open(page)
        live.press("done")
        assert live.bar("lost").startswith("Done.")
        page.thread.join(30)
    assert live.run("return document.getElementById('bar-lost').role") == "status"
    look = "return getComputedStyle(document.getElementById(arguments[0])).opacity"
    assert float(live.run(look, "work")) < 0.6
    assert float(live.run(look, "head")) < 0.6
    assert float(live.run(look, "bars")) == 1
    assert live.run(
        "const probe = document.body.appendChild(document.createElement('p'));"
        "probe.style.color = 'var(--bad)';"
        "const bad = getComputedStyle(probe).color; probe.remove();"
        "return getComputedStyle(document.getElementById('bar-lost')).borderLeftColor"
        " !== bad"
    )

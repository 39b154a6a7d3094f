"""How the page is laid out and read: axe-core, widths, text zoom."""

from collections.abc import Iterator
from importlib.resources import files
from typing import TYPE_CHECKING, Final

import pytest
from conformance.apron import begun
from conformance.live_scripts import TABS
from page_server import Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

WIDTHS: Final = (320, 360, 800, 1280)
"""At 1280 px, text of 400 % has the room of 320 px (WCAG 2.2, 1.4.10)."""

BEYOND: Final = """
return [...document.querySelectorAll("body *")].filter(one =>
  !one.closest(".wide, .skip, svg, .unseen") && one.checkVisibility()
  && one.getBoundingClientRect().width > 0
  && (one.getBoundingClientRect().right > innerWidth + 0.5
      || one.getBoundingClientRect().left < -0.5))
  .map(one => one.outerHTML.slice(0, 100));
"""
REACHED: Final = """
const hidden = [];
for (const one of document.querySelectorAll(
    "button, input, select, textarea, summary, [role=tab]")) {
  if (!one.checkVisibility() || one.closest("svg")) continue;
  one.scrollIntoView({block: "center", inline: "nearest"});
  const box = one.getBoundingClientRect();
  const x = box.left + box.width / 2, y = box.top + box.height / 2;
  const hit = document.elementFromPoint(x, y);
  if (!hit || !(one.contains(hit) || hit.contains(one)
      || hit.closest("label")?.control === one)) hidden.push(one.id || one.outerHTML);
}
return hidden;
"""
"""Controls that cannot be brought to where they can be pressed."""

FITTED: Final = """
const one = document.getElementById("drawing"), box = one.viewBox.baseVal;
return Math.abs(box.width / box.height - one.clientWidth / one.clientHeight) < 1e-3;
"""
LABELS: Final = """
const box = one => one.getBoundingClientRect();
const all = box(document.getElementById("drawing"));
const seen = [...document.querySelectorAll("#drawing .label, #drawing .place")]
  .filter(one => !one.closest(".is-left-out"));
const cutOff = seen.filter(one => box(one).left < all.left
  || box(one).right > all.right || box(one).top < all.top
  || box(one).bottom > all.bottom);
const cloths = [...document.querySelectorAll(".cloth")].map(box);
const across = seen.filter(one => one.matches(".is-piece")).filter(one => {
  const own = box(one);
  return cloths.some(cloth => own.bottom > cloth.top + 1 && own.top < cloth.bottom - 1
    && own.left < cloth.left && own.right > cloth.right);
});
return [cutOff, across].map(some => some.map(one => one.textContent));
"""
"""Labels that are cut off, and names of pieces across the whole of a piece."""

UNSURE: Final = {"color-contrast"}
"""What axe cannot tell: the ground of the picture's labels, signs without letters, and
what has been rolled out of sight. Contrast is measured without it as well."""


@pytest.fixture(scope="module")
def axe() -> str:
    return (files("axe_core_python") / "axe.min.js").read_text("utf-8")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("looks"))) as found:
        yield found


@pytest.fixture(scope="module")
def smock(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    folder = tmp_path_factory.mktemp("smock")
    with running(demo_copy(folder, "puddle-smock")) as found:
        yield found


@pytest.fixture(scope="module")
def new(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(begun(tmp_path_factory.mktemp("new"))) as found:
        yield found


def expect_no_violation(live: "LivePage", axe: str, *rules: str) -> None:
    """Hold the page as it stands to rules of axe-core, to all if none is named."""
    wrong, unsure = live.checked(axe, *rules)
    assert [
        (one["id"], one["impact"], [node["target"] for node in one["nodes"]])
        for one in wrong
    ] == []
    assert {one["id"] for one in unsure} <= UNSURE


def open_first_step(live: "LivePage", page: Page) -> None:
    """Open the page with its first step, though it was passed before."""
    live.open(page)
    live.run("sessionStorage.removeItem('edgefinder-sizes-right')")
    live.driver.refresh()
    live.until("return document.getElementById('first-step')?.open")


def test_axe_finds_nothing_on_any_list(
    live: "LivePage", page: Page, smock: Page, axe: str
) -> None:
    live.open(page)
    for tab in TABS:
        live.press(f"tab-{tab}")
        expect_no_violation(live, axe)
    live.press("tab-runs")
    live.click("front", "3")
    live.press("for-one-title")
    live.press("legend")
    live.press("files")
    expect_no_violation(live, axe)
    live.press("files")
    live.press("tab-cloth")  # the actions are folded
    expect_no_violation(live, axe)
    live.open_past(smock)
    live.press("tab-figures")
    expect_no_violation(live, axe)


def test_axe_finds_no_contrast_too_low_in_dark_colours(
    live: "LivePage", page: Page, axe: str
) -> None:
    """Nothing but colours depends on the scheme."""
    live.open(page)
    live.prefer(dark=True)
    live.press("legend")
    live.click("front", "3")
    for tab in TABS:
        live.press(f"tab-{tab}")
        expect_no_violation(live, axe, "color-contrast")


def test_axe_finds_nothing_in_the_first_step(
    live: "LivePage", new: Page, axe: str
) -> None:
    open_first_step(live, new)
    assert live.focus == "first-step-title"
    expect_no_violation(live, axe)
    live.prefer(dark=True)
    expect_no_violation(live, axe, "color-contrast")


def test_axe_finds_nothing_with_mistakes_and_bars(
    live: "LivePage", page: Page, axe: str
) -> None:
    live.open_on(page, "cloth")
    live.type_into("tapes-0-finished_width", "wide")
    live.until("return document.querySelector('.wrong:not([hidden])')?.textContent")
    live.click("front", "3")
    live.press("for-one-title")
    live.press("split-edge")  # without a place
    assert "Write where the edge is split" in live.bar("mistakes")
    expect_no_violation(live, axe)
    live.prefer(dark=True)
    expect_no_violation(live, axe, "color-contrast")


@pytest.mark.parametrize("pattern", ["page", "smock"])
def test_nothing_is_wider_than_the_window_and_all_is_reached(
    live: "LivePage", request: pytest.FixtureRequest, pattern: str
) -> None:
    live.open_past(request.getfixturevalue(pattern))
    for width in WIDTHS:
        live.shape(width)
        for tab in TABS:
            live.bring(f"tab-{tab}")
            live.press(f"tab-{tab}")
            wide = live.run("return document.documentElement.scrollWidth")
            assert wide == width, tab
            assert live.run(BEYOND) == [], (width, tab)
            assert live.run(REACHED) == [], (width, tab)
    assert live.console() == []


@pytest.mark.parametrize("pattern", ["page", "smock"])
def test_labels_are_seen_whole_and_names_do_not_lie_across_narrow_pieces(
    live: "LivePage", request: pytest.FixtureRequest, pattern: str
) -> None:
    live.open_past(request.getfixturevalue(pattern))
    for width in WIDTHS:
        live.shape(width)
        live.until(FITTED)
        cut_off, across = live.run(LABELS)
        assert cut_off == [], width
        if width >= 800:  # on a telephone there may be no other room
            assert across == []


@pytest.mark.parametrize("width", [800, 1280])
def test_the_head_is_one_line(live: "LivePage", page: Page, width: int) -> None:
    live.open(page, width)
    middles = live.run(
        "return ['size', 'undo', 'redo', 'saved', 'files', 'done'].map(id => {"
        "const box = document.getElementById(id).getBoundingClientRect();"
        "return box.top + box.height / 2})"
    )
    assert max(middles) - min(middles) < 1


def test_the_first_step_fits_into_the_window(live: "LivePage", new: Page) -> None:
    open_first_step(live, new)
    for width in WIDTHS:
        live.shape(width)
        assert live.run("return document.documentElement.scrollWidth") == width
        *sides, beyond = live.run(
            "const one = document.getElementById('first-step');"
            "const box = one.getBoundingClientRect();"
            "return [box.left, box.top, innerWidth - box.right,"
            " innerHeight - box.bottom, one.scrollWidth - one.clientWidth];"
        )
        assert min(sides) >= -0.5
        assert beyond <= 0
    live.pass_first_step()


def test_nothing_moves_by_itself(live: "LivePage", page: Page) -> None:
    live.open(page)
    live.run("document.getElementById('skip-to-panels').focus()")
    assert live.run("return document.getAnimations().length") == 0
    assert live.run(
        "return document.getElementById('skip-to-panels').getBoundingClientRect().top"
    ) == pytest.approx(8)

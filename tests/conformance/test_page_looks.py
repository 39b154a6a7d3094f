"""How the page is laid out and read: axe-core, widths, text zoom."""

from collections.abc import Iterator
from importlib.resources import files
from typing import TYPE_CHECKING, Final

import pytest
from conformance.apron import begun
from page_server import Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

TABS: Final = ("edges", "runs", "cloth", "figures", "findings")
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

UNSURE: Final = {"color-contrast"}
"""What axe cannot tell: the ground of the picture's labels, signs without letters, and
what has been rolled out of sight. Contrast is measured without it as well."""

WORST: Final = ("serious", "critical")


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


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_on_any_list(
    live: "LivePage", page: Page, smock: Page, axe: str, dark: bool
) -> None:
    # Nothing but colours depends on the scheme.
    rules = ("color-contrast",) if dark else ()
    live.open(page, dark=dark)
    for tab in TABS:
        live.press(f"tab-{tab}")
        expect_no_violation(live, axe, *rules)
    live.press("tab-runs")
    live.click("front", "3")
    live.press("for-one-title")
    live.press("legend")
    live.press("files")
    expect_no_violation(live, axe, *rules)
    live.open(smock, dark=dark)
    if live.run("return document.getElementById('first-step').open"):
        live.pass_first_step()
    live.press("tab-figures")
    expect_no_violation(live, axe, *rules)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_in_the_first_step(
    live: "LivePage", new: Page, axe: str, dark: bool
) -> None:
    live.open(new, dark=dark)
    live.run("sessionStorage.removeItem('edgefinder-sizes-right')")
    live.driver.refresh()
    live.until("return document.getElementById('first-step')?.open")
    assert live.focus == "first-step-title"
    expect_no_violation(live, axe)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_with_mistakes_and_bars(
    live: "LivePage", page: Page, axe: str, dark: bool
) -> None:
    live.open(page, dark=dark)
    live.press("tab-cloth")
    live.type_into("tapes-0-finished_width", "wide")
    live.until("return document.querySelector('.wrong:not([hidden])')?.textContent")
    live.click("front", "3")
    live.press("for-one-title")
    live.press("split-edge")  # without a place
    live.until("return document.getElementById('bar-mistakes')")
    expect_no_violation(live, axe)


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_window_and_all_is_reached(
    live: "LivePage", page: Page, smock: Page, width: int
) -> None:
    for one in (page, smock):
        live.open(one, width)
        if live.run("return document.getElementById('first-step').open"):
            live.pass_first_step()
        for tab in TABS:
            live.press(f"tab-{tab}")
            wide = live.run("return document.documentElement.scrollWidth")
            assert wide == width, tab
            assert live.run(BEYOND) == [], tab
            assert live.run(REACHED) == [], tab
        assert live.console() == []


@pytest.mark.parametrize("width", WIDTHS)
def test_the_first_step_fits_into_the_window(
    live: "LivePage", new: Page, width: int
) -> None:
    live.open(new, width)
    live.run("sessionStorage.removeItem('edgefinder-sizes-right')")
    live.driver.refresh()
    live.until("return document.getElementById('first-step')?.open")
    assert live.run("return document.documentElement.scrollWidth") == width
    box = live.run(
        "const one = document.getElementById('first-step');"
        "const box = one.getBoundingClientRect();"
        "return [box.left, box.top, innerWidth - box.right, innerHeight - box.bottom,"
        " one.scrollWidth - one.clientWidth];"
    )
    assert min(box[:4]) >= -0.5
    assert box[4] <= 0
    live.pass_first_step()

"""An edge that cannot be told in a size: which it is is said by mouse, and by keys."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conformance.pressed import DOWN, ENTER, HOME
from page_server import Page, running
from test_page_changes import HEAD, RUN, SQUARES

if TYPE_CHECKING:
    from conformance.live_page import LivePage


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    """A square that was an oblong in size 1: nothing tells how it was turned."""
    oblong = SQUARES.replace("h200 v200 h-200", "h220 v200 h-220")
    (tmp_path / "p.svg").write_text(oblong, "utf-8")
    (tmp_path / "p.toml").write_text(HEAD + RUN, "utf-8")
    with running(tmp_path / "p.toml") as found:
        yield found


def marked(live: "LivePage") -> list[str]:
    """The edges that are marked in the picture as those that are chosen."""
    found: list[str] = live.run(
        "return [...document.querySelectorAll('.edge-ring.is-chosen')]"
        ".map(one => `${one.dataset.piece} ${one.dataset.label}`)"
    )
    return found


def settle(
    live: "LivePage",
    page: Page,
    press: Callable[[str], None],
    pick: Callable[[str, str], None],
) -> None:
    """Say of edges 1 and 2 of the front which edges they are in size 2."""
    live.open(page)
    before = page.job.read_bytes()
    assert len(live.texts(".doubt")) == 2
    with live.saying("Size 2 is shown"):
        press("decide-0-show")
    assert live.text(".doubt label") == "Edge 1 of front, Size 2, is"
    edges = [f"{number}, 210 mm long" for number in (1, 2, 3, 4)]
    assert live.texts("#decide-0 option") == ["choose", *edges]

    press("decide-0-take")  # before one is chosen
    assert "Choose from the list first" in live.bar("mistakes")
    assert live.focus == "decide-0"
    assert page.job.read_bytes() == before

    pick("decide-0", edges[3])
    assert marked(live) == ["front 4"]
    pick("decide-0", edges[0])
    assert marked(live) == ["front 1"]
    with live.saying("Edge 1 of front, Size 2: settled. 1 more to settle."):
        press("decide-0-take")
    assert marked(live) == []
    assert live.text(".doubt label") == "Edge 2 of front, Size 2, is"
    pick("decide-0", edges[1])
    with live.saying("Edge 2 of front, Size 2: settled. Nothing is in doubt any more."):
        press("decide-0-take")

    assert live.texts(".doubt, #mistakes, #bar-mistakes") == []
    assert b'same_edges = { "1 in 2" = 1, "2 in 2" = 2 }' in page.job.read_bytes()
    assert [run["bound"] for run in page.state("2")["runs"]] == ["420 mm"]
    assert live.text("#tab-runs") == "Runs (1)"


def test_a_doubt_is_settled_with_the_mouse(live: "LivePage", page: Page) -> None:
    settle(live, page, live.press, live.pick)


def test_a_doubt_is_settled_with_keys(live: "LivePage", page: Page) -> None:
    def press(name: str) -> None:
        live.tab_to(name)
        live.keys(ENTER)

    def pick(name: str, text: str) -> None:
        live.tab_to(name)
        live.keys(HOME, *[DOWN] * live.texts(f"#{name} option").index(text))

    settle(live, page, press, pick)

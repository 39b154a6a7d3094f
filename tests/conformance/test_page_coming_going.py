"""Opening the page, its token, and what it says when the program has gone."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from page_server import Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

REFUSED = "net::ERR_CONNECTION_REFUSED"


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    with running(demo_copy(tmp_path)) as found:
        yield found


def test_the_token_leaves_the_address_and_a_reload_works(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    assert live.run("return location.href") == page.url.partition("#")[0]
    assert live.run("return document.cookie") == ""
    assert live.run("return localStorage.length") == 0
    # Nor does the way back lead to it: one step back is what was there before.
    entries = live.ask("Page.getNavigationHistory")["entries"]
    assert page.token not in "".join(one["url"] for one in entries)
    live.driver.refresh()
    live.until(
        "return document.getElementById('status')?.textContent.includes('is open')"
    )
    assert len(live.texts(".edge-row")) > 10
    assert page.token not in "".join(live.requests())
    assert live.console() == []


def test_a_page_without_the_token_gets_no_data(live: "LivePage", page: Page) -> None:
    live.open(page)
    first = live.driver.current_window_handle
    live.driver.switch_to.new_window("tab")
    try:
        live.visit(page.url.partition("#")[0])
        assert "Open it from the address that was printed" in live.bar("lost")
        assert live.texts(".edge-row, .target") == []
        assert "Orchard" not in live.driver.page_source
        assert not [one for one in live.requests() if "/api/" in one]
        assert live.console() == []
        # Nor with a wrong one.
        live.visit(page.url.replace(page.token, "x" * len(page.token)))
        assert "Open it from the address that was printed" in live.bar("lost")
        assert live.texts(".edge-row, .target") == []
    finally:
        live.driver.close()
        live.driver.switch_to.window(first)


def test_a_stopped_program_is_said_and_nothing_can_be_pressed(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    page.post("/api/done")
    page.thread.join(30)
    assert "The program has been stopped" in live.bar("lost")  # nothing was pressed
    assert live.run("return document.querySelector('#bar-lost').role") == "alert"
    free = live.run(
        "return [...document.querySelectorAll("
        "'button, input, select, summary, a, [tabindex]')]"
        ".filter(one => !one.closest('[inert]') && one.checkVisibility())"
        ".map(one => one.id)"
    )
    assert free == []
    assert all(REFUSED in one for one in live.console())


def test_a_change_that_the_program_misses_is_said(live: "LivePage", page: Page) -> None:
    live.open(page)
    before = page.job.read_bytes()
    live.look_away()
    live.click("strap", "1")
    page.post("/api/done")
    page.thread.join(30)
    live.press("finish-hem")
    assert "The program has been stopped" in live.bar("lost")
    assert page.job.read_bytes() == before


def test_done_stops_the_program(live: "LivePage", page: Page) -> None:
    live.open(page)
    live.press("done")
    assert "Everything is in orchard-apron.toml" in live.bar("lost")
    page.thread.join(30)
    assert not page.thread.is_alive()
    assert live.console() == []

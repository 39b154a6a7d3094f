"""What is refused at a field: it is sent again when it can be taken, or forgotten."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from page_server import Page, running
from test_page_changes import HEAD, RUN, SQUARES

if TYPE_CHECKING:
    from conformance.live_page import LivePage


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    (tmp_path / "p.svg").write_text(SQUARES, "utf-8")
    (tmp_path / "p.toml").write_text(HEAD + RUN, "utf-8")
    with running(tmp_path / "p.toml") as found:
        yield found


def refused(live: "LivePage", field: str) -> str:
    """Wait until a field is wrong, and return what is said at it."""
    live.until(
        "return document.getElementById(arguments[0]).ariaInvalid === 'true'", field
    )
    return live.text(f"#{field}-wrong")


def test_ties_are_taken_as_soon_as_their_length_is_said(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "runs")
    live.pick("runs-0-start", "ties")
    assert "tie length: is missing" in refused(live, "runs-0-start")
    assert "start" not in page.job.read_text("utf-8")
    live.fill("runs-0-tie_length", "30 cm", "start of top: ties.")
    text = page.job.read_text("utf-8")
    assert 'tie_length = "30 cm"' in text
    assert 'start = "ties"' in text
    assert live.find("runs-0-start").get_attribute("aria-invalid") is None
    assert live.text("#runs-0-start-wrong") == ""
    assert live.value("runs-0-start") == "ties"
    assert "Needed with ties" in live.text("#runs-0-tie_length-help")


def test_what_was_refused_is_forgotten_when_something_is_undone(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "runs")
    live.fill("runs-0-times", "2", "times of top: 2")
    live.pick("runs-0-start", "ties")
    refused(live, "runs-0-start")
    with live.saying("Taken back"):
        live.press("undo")
    assert live.value("runs-0-start") == ""
    assert live.find("runs-0-start").get_attribute("aria-invalid") is None
    with live.saying("start of top: caught in a seam"):
        live.pick("runs-0-start", "caught in a seam")


@pytest.mark.parametrize(
    ("typed", "written"), [("12 %", "12"), ("12,5", "12.5"), ("0,5%", "0.5")]
)
def test_per_cent_and_a_comma_are_taken_for_a_number(
    live: "LivePage", page: Page, typed: str, written: str
) -> None:
    live.open_on(page, "cloth")
    live.press("new-cloths-title")
    live.find("new-cloths-name").send_keys("curtain")
    live.find("new-cloths-stretch").send_keys(typed)
    with live.saying("curtain is made"):
        live.press("new-cloths-make")
    text = page.job.read_text("utf-8")
    assert f"stretch_limit_percent = {written}\n" in f"{text}\n"


def test_all_that_is_missing_of_a_new_cloth_is_said(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "cloth")
    live.press("new-cloths-title")
    live.find("new-cloths-stretch").send_keys("1,000")  # a thousand, or one
    live.press("new-cloths-make")
    live.until("return document.getElementById('new-cloths-wrong').textContent")
    said = live.text("#new-cloths-wrong")
    assert said.startswith("give the cloth a name")
    assert "number of per cent" in said

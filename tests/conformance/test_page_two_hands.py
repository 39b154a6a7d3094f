"""Undo, other programs, another window, a full disk, a page that is left behind."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conformance.apron import DRAWING, JOB
from conformance.pressed import CONTROL, ENTER, NO_KEY, SHIFT
from page_server import Page, demo_copy, running

from edgefinder.errors import OutputError
from edgefinder.page import desk as desk_module
from edgefinder.schedule.tag_edits import Edited

if TYPE_CHECKING:
    from conformance.live_page import LivePage


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    with running(demo_copy(tmp_path)) as found:
        yield found


def hem(live: "LivePage", edge: str) -> None:
    """Click an edge of the strap and make it a hem."""
    live.click("strap", edge)
    with live.saying(f"strap {edge} is hem"):
        live.press("finish-hem")


def test_undo_and_redo_by_button_and_by_keys(live: "LivePage", page: Page) -> None:
    texts = [page.job.read_bytes()]
    live.open(page)
    assert not live.find("undo").is_enabled()
    for edge in ("1", "2", "3"):
        hem(live, edge)
        texts.append(page.job.read_bytes())
    assert live.find("undo").get_attribute("aria-label") == "Undo: an edge hem"
    with live.saying("Taken back: an edge hem"):
        live.press("undo")
    assert page.job.read_bytes() == texts[2]
    for before in (1, 0):
        with live.saying("Taken back"):
            live.keys(CONTROL, "z")
        assert page.job.read_bytes() == texts[before]
    # Nothing is left to undo, but the button keeps the focus until it is left.
    assert live.focus == "undo"
    assert live.find("undo").get_attribute("aria-disabled") == "true"
    live.keys(ENTER)
    live.settled()
    assert page.job.read_bytes() == texts[0]
    assert live.status == "Taken back: an edge hem."
    with live.saying("Done again"):
        live.press("redo")
    assert not live.find("undo").get_attribute("disabled")
    with live.saying("Done again"):
        live.keys(CONTROL, SHIFT, "z")
    with live.saying("Done again"):
        live.keys(CONTROL, "y")
    assert page.job.read_bytes() == texts[3]
    assert live.focus == "redo"
    live.click("strap", "4")
    assert not live.find("redo").is_enabled()  # now that it is left
    with live.saying("strap 4 is left raw"):
        live.press("finish-raw")
    # Twice before the first is answered: each step says what it took back.
    with live.saying("Taken back: an edge hem"):
        live.keys(CONTROL, "z", "z")
    assert page.job.read_bytes() == texts[2]
    assert live.console() == []


def test_keys_in_a_field_undo_what_is_typed_there(live: "LivePage", page: Page) -> None:
    live.open(page)
    hem(live, "1")
    before = page.job.read_bytes()
    live.press("tab-cloth")
    live.press("new-tapes-title")
    live.press("new-tapes-name")
    live.find("new-tapes-name").send_keys("thin", CONTROL, "z", NO_KEY)
    assert page.job.read_bytes() == before
    assert live.value("new-tapes-name") != "thin"


def test_an_outside_change_of_the_job_file_is_shown(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "edges")
    hem(live, "1")
    text = page.job.read_text("utf-8").replace("raw = [2] ", "hem = [2] ", 1)
    text += "\n# by hand\n"
    with live.saying("Changed from outside"):
        page.job.write_text(text, "utf-8")
    assert f"{JOB} was changed by another program" in live.bar("notice")
    assert not live.find("undo").is_enabled()
    edge = ".edge-row:has([data-piece=front][data-edge='2'])"
    assert "hem" in live.text(edge)
    live.press("bar-notice-close")
    assert live.text("#bar-notice") == ""
    hem(live, "3")
    assert "# by hand" in page.job.read_text("utf-8")


def test_an_outside_change_that_cannot_be_read_is_left_alone(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    hem(live, "1")
    good = page.job.read_text("utf-8")
    with live.saying("cannot be read now"):
        page.job.write_text("broken = [", "utf-8")
    with live.saying(f"{JOB} can be read again; it is as it was."):
        page.job.write_text(good, "utf-8")
    with live.saying("cannot be read now"):
        page.job.write_text("broken = [", "utf-8")
    live.click("strap", "2")
    live.press("finish-hem")
    assert "Not saved" in live.bar("problem")
    assert page.job.read_text("utf-8") == "broken = ["


def test_an_outside_change_of_the_drawing_is_shown(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    drawing = page.job.parent / DRAWING
    text = drawing.read_text("utf-8")
    assert text.count("1085.94018 1050") == 1
    with live.saying("Changed from outside"):
        drawing.write_text(text.replace("1085.94018 1050", "1082.94018 1050"), "utf-8")
        os.utime(drawing, ns=(1, 1))
    assert "A drawing was changed" in live.bar("notice")
    edge = ".edge-row:has([data-piece=strap][data-edge='1']) .edge-length"
    live.press("tab-edges")
    assert live.text(edge) == page.state("S")["pieces"][3]["edges"][0]["length"]


def test_two_windows_show_each_other_s_changes_and_lose_none(
    live: "LivePage", page: Page
) -> None:
    live.open(page)
    first = live.driver.current_window_handle
    live.driver.switch_to.new_window("window")
    second = live.driver.current_window_handle
    try:
        live.open(page)
        hem(live, "1")
        live.driver.switch_to.window(first)
        live.until("return !document.getElementById('undo').disabled")

        # Behind: something is changed that this window has not seen yet.
        live.look_away()
        page.state("S")
        strap = [{"piece": "strap", "edge": 2}]
        answer = page.change(do="finish", size="S", edges=strap, finish="raw")
        assert answer.status == 200
        before = page.job.read_bytes()
        live.click("strap", "3")
        live.press("finish-facing")
        assert "changed meanwhile" in live.bar("mistakes")
        assert page.job.read_bytes() == before
        live.press("tab-edges")
        row = ".edge-row:has([data-piece=strap][data-edge='{}']) .edge-finish"
        assert live.text(row.format(2)) == "raw"
        # It shows the newest now, so the same again is done, and nothing is lost.
        with live.saying("strap 3 is faced"):
            live.press("finish-facing")
        live.driver.switch_to.window(second)
        live.press("tab-edges")
        live.until(
            "return document.querySelector(arguments[0]).textContent === 'facing'",
            row.format(3),
        )
        assert [live.text(row.format(n)) for n in (1, 2)] == ["hem", "raw"]
    finally:
        live.driver.switch_to.window(second)
        live.driver.close()
        live.driver.switch_to.window(first)


def test_what_cannot_be_saved_is_marked_and_saved_again(
    live: "LivePage", page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: Edited) -> None:
        raise OutputError(f"{JOB}: cannot be written: No space left on device")

    live.open(page)
    before = page.job.read_bytes()
    with monkeypatch.context() as held:
        held.setattr(desk_module, "write_edited", full)
        hem(live, "1")
        assert live.text("#saved") == "Not saved"
        assert "No space left on device" in live.bar("problem")
        assert page.job.read_bytes() == before
        live.press("done")  # it does not go while something is not saved
        assert live.focus == "save-again"
        live.press("save-again")
        live.settled()
        assert live.text("#saved") == "Not saved"
    with live.saying("Saved."):
        live.press("save-again")
    assert live.text("#saved") == f"Saved in {JOB}"
    assert live.text("#bar-problem") == ""
    assert b"hem = [1]" in page.job.read_bytes()

"""Splitting, naming, taking several, order of a run, mistakes at fields, the slider."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from conformance.pressed import CONTROL, ENTER, ESCAPE, LEFT, NO_KEY, RIGHT, SHIFT
from page_server import Page, demo_copy, running

from edgefinder.classifier.job_file import draft_text, read_job
from edgefinder.page.forms import in_labels

if TYPE_CHECKING:
    from conformance.live_page import LivePage


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, bytes]]:
    job = demo_copy(tmp_path_factory.mktemp("forms"))
    with running(job) as found:
        yield found, job.read_bytes()


@pytest.fixture
def page(served: tuple[Page, bytes]) -> Page:
    """The page with the job file as it was at first."""
    found, before = served
    found.job.write_bytes(before)
    found.state()
    return found


def piece_of(page: Page, name: str) -> dict[str, Any]:
    """What the page knows of a piece of the size that is seen."""
    pieces: list[dict[str, Any]] = page.state("S")["pieces"]
    return next(one for one in pieces if one["name"] == name)


def test_an_edge_is_split_at_a_notch_and_its_part_is_chosen(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "edges")
    live.click("front", "3")
    live.press("for-one-title")
    assert live.text("#split-notch-1") == "Split at notch 1"
    with live.saying("front 3 is split"):
        live.press("split-notch-1")
    parts = [edge for edge in piece_of(page, "front")["edges"] if edge["isPart"]]
    assert [part["label"] for part in parts] == ["first of 3", "3b"]
    assert live.status.endswith(
        "; ".join(f"{part['label']}, {part['length']}" for part in parts) + "."
    )
    assert live.chosen == ["front first of 3"]
    with live.saying("hem"):
        live.press("finish-hem")
    finishes = [edge["finish"] for edge in piece_of(page, "front")["edges"]]
    assert finishes[2:4] == ["hem", "seam"]


def test_an_edge_is_split_at_a_place_and_named(live: "LivePage", page: Page) -> None:
    live.open_on(page, "edges")
    live.click("strap", "2")
    live.press("for-one-title")
    with live.saying("strap 2 is split"):
        live.find("split-place").send_keys("25 %", ENTER)
    lengths = [edge["length"] for edge in piece_of(page, "strap")["edges"][1:3]]
    assert lengths == ["5 1/8 in", "15 3/8 in"]  # a quarter of 520.0 mm, and the rest
    with live.saying("is called short side"):
        live.find("edge-name").send_keys(CONTROL, "a", NO_KEY, "short side")
        live.press("name-edge")
    assert piece_of(page, "strap")["edges"][1]["name"] == "short side"
    assert live.chosen == ["strap short side"]
    # What is no place is said in the words of the commands, and nothing is written.
    before = page.job.read_bytes()
    live.find("split-place").send_keys("here", ENTER)
    assert '"here" is not a length' in live.bar("mistakes")
    assert page.job.read_bytes() == before


def test_several_edges_are_taken_by_clicks_and_by_a_box(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "edges")
    live.click("pocket", "2")
    live.click("strap", "1", SHIFT)
    live.click("strap", "3", CONTROL)
    assert live.chosen == ["pocket 2", "strap 1", "strap 3"]
    live.click("strap", "1", CONTROL)
    assert live.chosen == ["pocket 2", "strap 3"]
    live.click("strap", "4")
    assert live.chosen == ["strap 4"]
    live.press("picture")
    live.keys(ESCAPE)
    assert live.chosen == []

    # A box round the strap takes its four edges, and none that it only cuts.
    left, top, right, bottom = live.run(
        "const boxes = [...document.querySelectorAll('.target[data-piece=strap]')]"
        ".map(one => one.getBoundingClientRect());"
        "return [Math.min(...boxes.map(b => b.left)) - 6,"
        " Math.min(...boxes.map(b => b.top)) - 30,"
        " Math.max(...boxes.map(b => b.right)) + 22,"
        " Math.max(...boxes.map(b => b.bottom)) + 30];"
    )
    live.drag((right, bottom), (left, top), SHIFT)
    assert live.chosen == [f"strap {n}" for n in (1, 2, 3, 4)]
    live.keys(ESCAPE)
    middle = (top + bottom) / 2
    live.drag((right, bottom), (left, middle), SHIFT)
    assert live.chosen == ["strap 1"]
    with live.saying("strap 1 is faced"):
        live.press("finish-facing")
    # Where there is neither Shift nor Ctrl, a button stands for them.
    live.press("several")
    live.click("strap", "3")
    assert live.chosen == ["strap 1", "strap 3"]


def test_the_order_of_a_run_by_keys_and_edges_out_of_it(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "runs")

    def order() -> list[str]:
        run = next(run for run in read_job(page.job).runs if run.name == "armholes")
        shown = live.texts("#runs-1-edges .word")
        assert [word.text for word in run.edges] == shown
        return shown

    assert order() == ["front 4", "back 4"]
    live.tab_to("runs-1-edge-0-down")
    with live.saying("front 4 is number 2 of 2 in run armholes"):
        live.keys(ENTER)
    assert order() == ["back 4", "front 4"]
    assert live.focus == "runs-1-edge-1-up"
    with live.saying("front 4 is number 1 of 2"):
        live.keys(ENTER)
    with live.saying("starts at back 4 now and ends at front 4"):
        live.press("runs-1-round")
    assert order() == ["back 4", "front 4"]
    with live.saying("front 4 is out of run armholes"):
        live.press("runs-1-edge-1-out")
    assert order() == ["back 4"]
    assert not live.find("runs-1-edge-0-out").is_enabled()


def test_an_edge_is_added_mirrored_where_it_fits(
    live: "LivePage", tmp_path: Path
) -> None:
    """From back to back across the front, as the demo's own job file has it."""
    job = demo_copy(tmp_path, "puddle-smock")
    whole = job.read_text("utf-8")
    neck = 'edges = ["back 4", "front 5", "back 4 mirrored"]'
    job.write_text(whole.replace(neck, 'edges = ["back 4", "front 5"]'), "utf-8")
    with running(job) as page:
        live.open_on(page, "runs")
        bound = page.state()["runs"][0]["bound"]
        live.click("back", "4")
        with live.saying("back 4 mirrored: in run neck"):
            live.press("runs-0-add-mirrored")
        words = ["back 4", "front 5", "back 4 mirrored"]
        assert live.texts("#runs-0-edges .word") == words
        assert job.read_text("utf-8") == whole
        now = page.state()["runs"][0]["bound"]
        assert now != bound
        assert live.texts("[data-run=neck] .figures dd")[0] == now


def test_an_edge_that_does_not_fit_mirrored_is_refused_in_plain_words(
    live: "LivePage", page: Page
) -> None:
    """It lies across the fold, so its other half is in the run already."""
    live.open_on(page, "runs")
    before = page.job.read_text("utf-8")
    live.click("front", "1")
    live.press("runs-2-add-mirrored")
    said = live.bar("mistakes")
    assert 'edge 1 of "front" has no other half: it meets the fold' in said
    assert page.job.read_text("utf-8") == before


@pytest.mark.parametrize(
    ("tab", "field", "line", "typed"),
    [
        ("cloth", "tapes-0-finished_width", 'finished_width = "3/8 in"', "wide"),
        ("cloth", "tapes-0-finished_width", 'finished_width = "3/8 in"', "9"),
        ("cloth", "fabric-usable_width", 'usable_width = "42 in"', "-1 in"),
        ("cloth", "top-seam_allowance", 'seam_allowance = "10 mm"', "10 ells"),
    ],
)
def test_a_mistake_is_said_at_its_field_in_the_words_of_the_command_and_the_field(
    live: "LivePage", page: Page, tab: str, field: str, line: str, typed: str
) -> None:
    live.open_on(page, tab)
    before = page.job.read_bytes()
    live.type_into(field, typed)
    live.until(
        "return document.getElementById(arguments[0]).ariaInvalid === 'true'", field
    )
    key = line.partition(" ")[0]
    text = before.decode().replace(line, f'{key} = "{typed}"', 1)
    _, wrong = draft_text(page.job, text)
    (said,) = (message.partition(".toml: ")[2] for message in wrong)
    assert live.text(f"#{field}-wrong") == in_labels(said)
    assert "_" not in live.text(f"#{field}-wrong")
    control = live.find(field)
    assert control.get_attribute("aria-errormessage") == f"{field}-wrong"
    assert live.value(field) == typed  # what was typed stays, to be mended
    assert page.job.read_bytes() == before
    assert not live.find("undo").is_enabled()
    # Escape brings back what is written.
    control.send_keys(ESCAPE)
    assert live.value(field) == line.partition('"')[2].rstrip('"')
    assert live.find(field).get_attribute("aria-invalid") is None


def test_the_slider_says_what_the_table_of_widths_says(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "cloth")
    before = page.job.read_bytes()
    (widths,) = (
        table
        for table in page.state("S")["tables"]
        if "finished width" in table["head"]
    )
    rows = {row[0]: row[1:3] for row in widths["rows"]}
    slider = live.find("try-0")
    assert slider.get_attribute("aria-valuetext") == "3/8 in"
    live.run("document.getElementById('try-0').focus()")
    seen = {}
    for key, count in ((LEFT, 5), (RIGHT, 26)):
        for _ in range(count):
            live.keys(key)
            wide = live.run(
                "return document.getElementById('try-0').getAttribute('aria-valuetext')"
            )
            if wide in rows:
                words = live.until(
                    "const said = document.getElementById('try-0-said').textContent;"
                    "return said.startsWith(arguments[0]) && !said.endsWith('…')"
                    " && said",
                    f"at {wide}:",
                )
                seen[wide] = words.partition(": ")[2]
    assert len(seen) >= 4
    for wide, words in seen.items():
        steam, tight = rows[wide]
        flat = (steam, tight) == ("0", "0")
        told = (
            "lies flat everywhere" if flat else f"{steam} to steam, {tight} too tight"
        )
        assert words == told, wide
    assert page.job.read_bytes() == before
    # Bands of the width that is tried are drawn; Escape takes them back.
    live.keys(ESCAPE)
    assert slider.get_attribute("aria-valuetext") == "3/8 in"
    assert live.text("#try-0-said") == "now 3/8 in"
    assert not live.find("try-0-use").is_enabled()


def test_a_width_that_was_tried_is_used(live: "LivePage", page: Page) -> None:
    live.open_on(page, "cloth")
    live.run("document.getElementById('try-0').focus()")
    live.keys(RIGHT, RIGHT)
    live.until(
        "return /^at 1\\/2 in: [^…]/.test("
        "document.getElementById('try-0-said').textContent)"
    )
    assert b"1/2 in" not in page.job.read_bytes()
    with live.saying("Tape main is 1/2 in wide now"):
        live.press("try-0-use")
    assert b'finished_width = "1/2 in"' in page.job.read_bytes()
    assert live.value("tapes-0-finished_width") == "1/2 in"
    state = page.state("S")
    assert f"; {state['tapes'][0]['watch']} places to watch." in live.status
    live.press("tab-figures")
    assert state["tapes"][0]["toCut"] in live.text(".tape-figures")

"""The whole job on the demo with the mouse, in the browser on the real server."""

from pathlib import Path
from typing import TYPE_CHECKING

from conformance.apron import (
    ALLOWANCE,
    BY_HAND,
    CUTS,
    FOLD,
    RAW,
    RUNS,
    SETTINGS,
    Run,
    begun,
    schedule_of,
    two_words,
)
from conformance.pressed import SHIFT
from page_server import running

if TYPE_CHECKING:
    from conformance.live_page import LivePage


def finish(live: "LivePage", edges: tuple[str, ...], wanted: str, *words: str) -> None:
    """Click edges in the picture, and the finish."""
    for number, edge in enumerate(edges):
        live.click(*two_words(edge), *([SHIFT] if number else []))
    with live.saying(*words):
        live.press(f"finish-{wanted}")


def bind(live: "LivePage", run: Run) -> None:
    """Click the edges of a run, name it, and press bound."""
    edges = run.edges
    if run.name == "armholes":
        edges = edges[::-1][:1]  # the rest is added to it afterwards
    for number, edge in enumerate(edges):
        live.click(*two_words(edge), *([SHIFT] if number else []))
    live.pick("bound-run", "a new run")
    live.find("bound-name").send_keys(run.name)
    with live.saying(f"bound in run {run.name}"):
        live.press("finish-bound")


def settle(live: "LivePage", index: int, run: Run) -> None:
    """Say how the ends of a run finish, and how often it is sewn."""
    for key, value in (("start", run.start), ("end", run.end)):
        if value:
            with live.saying(f"{key} of {run.name}: {value}"):
                live.pick(f"runs-{index}-{key}", value)
    if run.times:
        live.fill(f"runs-{index}-times", run.times, f"times of {run.name}: {run.times}")


def test_the_whole_job_by_mouse_gives_the_schedule_of_a_file_by_hand(
    live: "LivePage", tmp_path: Path
) -> None:
    job = begun(tmp_path)
    with running(job) as page:
        live.open(page)
        assert live.texts("#first-sizes tbody th") == [
            "front",
            "back",
            "pocket",
            "strap",
        ]
        live.pass_first_step()

        live.press("tab-cloth")
        with live.saying("unit of the pattern: in"):
            live.pick("top-unit", "in")
        for field, text in SETTINGS:
            live.fill(field, text, text)
        live.press("top-rare-title")
        live.fill("top-cut_lines", "class:cut", "class:cut")

        finish(live, (FOLD,), "fold", "front 7 is fold")
        finish(live, RAW, "raw", "2 edges are raw")
        for run in RUNS:
            bind(live, run)

        live.press("tab-edges")
        for index, piece, count in CUTS:
            live.press(f"about-{index}-title")
            live.fill(f"pieces-{index}-cut", count, f"cut of {piece}: {count}")
        edge, amount = ALLOWANCE
        live.click(*two_words(edge))
        live.press("for-one-title")
        with live.saying(f"{edge}: allowance"):
            live.find("edge-allowance").send_keys(amount)
            live.press("allow-edge")

        # An edge more, and it was meant to come first: it is dragged there.
        live.press("tab-runs")
        with live.saying("front 4: in run armholes"):
            live.click("front", "4")
            live.press("runs-1-add")
        assert live.texts("#runs-1-edges .word") == ["back 4", "front 4"]
        with live.saying("front 4 is number 1 of 2 in run armholes"):
            live.drag_row("runs-1-edges", 2, 1)
        assert live.texts("#runs-1-edges .word") == ["front 4", "back 4"]
        for index, run in enumerate(RUNS):
            settle(live, index, run)

        assert live.text("#saved") == "Saved in orchard-apron.toml"
        assert live.console() == []
        origin = page.url.partition("#")[0]
        assert all(one.startswith(origin) for one in live.requests())
    assert schedule_of(job) == schedule_of(BY_HAND)

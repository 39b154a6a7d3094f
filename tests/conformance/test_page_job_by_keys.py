"""The whole job on the demo with keys alone: the mouse is not touched."""

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
from conformance.pressed import DOWN, ENTER, ESCAPE, HOME, RIGHT, SPACE, TAB
from page_server import running

if TYPE_CHECKING:
    from conformance.live_page import LivePage


def show(live: "LivePage", tab: int) -> None:
    """Go to the tabs and show one of them, from 0 up."""
    shown = live.run("return document.querySelector('[aria-selected=true]').id")
    live.tab_to(shown)
    live.keys(HOME, *[RIGHT] * tab)


def take(live: "LivePage", edges: tuple[str, ...]) -> None:
    """Tick edges in the list and no others."""
    live.tab_to_list()
    live.keys(ESCAPE)
    for edge in edges:
        live.arrow_to(*two_words(edge))
        live.keys(SPACE)
    assert len(live.texts(".edge-row.is-chosen")) == len(edges)


def bind(live: "LivePage", run: Run) -> None:
    """Tick the edges of a run, name it, and bind them."""
    edges = run.edges[::-1][:1] if run.name == "armholes" else run.edges
    take(live, edges)
    live.keys(ENTER)
    assert live.focus == "finish-bound"
    live.tab_to("bound-run")
    live.keys("a new")
    live.tab_to("bound-name")
    with live.saying(f"bound in run {run.name}"):
        live.keys(run.name, ENTER)


def write(live: "LivePage", field: str, text: str) -> None:
    """Go to a field, write over what stands there, and leave it."""
    live.tab_to(field)
    with live.saying(text):
        live.keys(text, TAB)


def settle(live: "LivePage", index: int, run: Run) -> None:
    """Say how the ends of a run finish, and how often it is sewn."""
    for key, value in (("start", run.start), ("end", run.end)):
        if value:
            live.tab_to(f"runs-{index}-{key}")
            with live.saying(f"{key} of {run.name}: {value}"):
                live.keys(value[:4])
    if run.times:
        write(live, f"runs-{index}-times", run.times)


def test_the_whole_job_by_keys_gives_the_schedule_of_a_file_by_hand(
    live: "LivePage", tmp_path: Path
) -> None:
    job = begun(tmp_path)
    with running(job) as page:
        live.open(page)
        assert live.focus == "first-step-title"
        live.keys(ESCAPE)
        # The browser may close it once; it comes back at once.
        live.until("return document.getElementById('first-step').open")
        live.tab_to("sizes-right")
        with live.saying("The sizes are right"):
            live.keys(ENTER)

        show(live, 2)
        live.tab_to("top-unit")
        with live.saying("unit of the pattern: in"):
            live.keys("in")
        for field, text in SETTINGS:
            write(live, field, text)
        live.tab_to("top-rare-title")
        live.keys(ENTER)
        write(live, "top-cut_lines", "class:cut")

        show(live, 0)
        take(live, (FOLD,))
        with live.saying("front 7 is fold"):
            live.keys("o")
        take(live, RAW)
        with live.saying("2 edges are raw"):
            live.keys("r")
        for run in RUNS:
            bind(live, run)
        for index, piece, count in CUTS:
            live.tab_to(f"about-{index}-title")
            live.keys(ENTER)
            live.tab_to(f"pieces-{index}-cut")
            with live.saying(f"cut of {piece}: {count}"):
                live.keys(count, TAB)
        edge, amount = ALLOWANCE
        take(live, (edge,))
        live.tab_to("for-one-title")
        live.keys(ENTER)
        live.tab_to("edge-allowance")
        with live.saying(f"{edge}: allowance"):
            live.keys(amount, ENTER)
        take(live, ("front 4",))

        show(live, 1)
        live.tab_to("runs-1-add")
        with live.saying("front 4: in run armholes"):
            live.keys(ENTER)
        live.tab_to("runs-1-edge-1-up")
        with live.saying("front 4 is number 1 of 2 in run armholes"):
            live.keys(ENTER)
        # The focus goes along with the edge; it cannot go up any more.
        assert live.focus == "runs-1-edge-0-down"
        for index, run in enumerate(RUNS):
            settle(live, index, run)

        assert live.text("#saved") == "Saved in orchard-apron.toml"
        assert live.console() == []
    assert schedule_of(job) == schedule_of(BY_HAND)


def test_focus_is_seen_and_never_lost(live: "LivePage", tmp_path: Path) -> None:
    """Every stop of the tab key is seen, has a frame, and is inside the window."""
    with running(begun(tmp_path)) as page:
        live.open(page)
        live.pass_first_step()
        live.press("tab-edges")
        live.keys(DOWN)
        live.tab_to("skip-to-panels")
        stops: list[str] = []
        for _ in range(60):
            stop, outline, width = live.run(
                "const one = document.activeElement;"
                "const style = getComputedStyle(one);"
                "return [one.id || one.parentElement?.id,"
                " style.outlineStyle, style.outlineWidth];"
            )
            if stop in {None, "", *stops}:
                break
            stops.append(stop)
            assert outline != "none", stop
            assert float(width.removesuffix("px")) >= 1.5, stop
            live.until(
                "const box = document.activeElement.getBoundingClientRect();"
                "return box.bottom > 0 && box.top < innerHeight"
                " && box.right > 0 && box.left < innerWidth;"
            )
            live.keys(TAB)
        assert {"size", "picture", "tab-edges", "panel-edges"} <= set(stops)

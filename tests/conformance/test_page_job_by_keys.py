"""The whole job on the demo with keys alone: the mouse is not touched."""

from pathlib import Path
from typing import TYPE_CHECKING

from conformance.apron import begun, two_words
from conformance.live_job import do_the_job
from conformance.pressed import DOWN, ENTER, ESCAPE, HOME, RIGHT, SPACE, TAB
from page_server import running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

LETTERS = {"fold": "o", "raw": "r"}


class Keys:
    """Hands on the keys, which go from control to control."""

    def __init__(self, live: "LivePage") -> None:
        self.live = live

    def press(self, name: str) -> None:
        """Go to a button and press it."""
        self.live.tab_to(name)
        self.live.keys(ENTER)

    def show(self, tab: str) -> None:
        """Go to the tabs, and along them."""
        tabs = self.live.run(
            "return [...document.querySelectorAll('[role=tab]')].map(one => one.id)"
        )
        shown = self.live.run(
            "return document.querySelector('[role=tab][aria-selected=true]').id"
        )
        self.live.tab_to(shown)
        self.live.keys(HOME, *[RIGHT] * tabs.index(f"tab-{tab}"))

    def write(self, field: str, text: str) -> None:
        """Go to a field, write over what stands there, and leave it."""
        self.live.tab_to(field)
        self.live.keys(text, TAB)

    def pick(self, field: str, text: str) -> None:
        """Go to a list of choices and type how one begins."""
        self.live.tab_to(field)
        self.live.keys(text[:5])

    def take(self, edges: tuple[str, ...]) -> None:
        """Tick edges in the list."""
        self.live.tab_to_list()
        self.live.keys(ESCAPE)
        for edge in edges:
            self.live.arrow_to(*two_words(edge))
            self.live.keys(SPACE)
        assert sorted(self.live.chosen) == sorted(edges)

    def finish(self, finish: str) -> None:
        """Press the letter of a finish."""
        self.live.keys(LETTERS[finish])

    def bind(self, run: str) -> None:
        """Go on from the list to the finishes, and name a new run."""
        self.live.keys(ENTER)
        assert self.live.focus == "finish-bound"
        self.pick("bound-run", "a new run")
        self.live.tab_to("bound-name")
        self.live.keys(run, ENTER)

    def move_up(self, order: str, row: int) -> None:
        """Press the button beside an edge; the focus goes along with the edge."""
        edge = f"{order.removesuffix('s')}-{row - 1}"
        self.press(f"{edge}-up")


def test_the_whole_job_by_keys_gives_the_schedule_of_a_file_by_hand(
    live: "LivePage", tmp_path: Path
) -> None:
    do_the_job(live, Keys(live), tmp_path)


def test_no_key_takes_the_first_step_away(live: "LivePage", tmp_path: Path) -> None:
    """Not even for a moment: its attribute of being open is never touched."""
    with running(begun(tmp_path)) as page:
        live.open(page)
        assert live.focus == "first-step-title"
        live.run(
            "window.touched = 0; const dialog = document.getElementById('first-step');"
            "new MutationObserver(found => { window.touched += found.length; })"
            ".observe(dialog, {attributes: true});"
            "dialog.addEventListener('close', () => { window.touched += 1; });"
        )
        for _ in range(3):
            live.keys(ESCAPE)
        live.keys(TAB, ESCAPE, ESCAPE)
        assert live.focus == "first-test_square"
        assert live.run("return window.touched") == 0
        assert live.run("return document.getElementById('first-step').open")


def test_focus_is_seen_and_never_lost(live: "LivePage", tmp_path: Path) -> None:
    """Every stop of the tab key is seen, has a frame, and is inside the window."""
    with running(begun(tmp_path)) as page:
        live.open_on(page, "edges")
        live.keys(DOWN)
        live.tab_to("skip-to-panels")
        stops: list[str] = []
        for _ in range(60):
            stop, outline, width, is_inside = live.run(
                "const one = document.activeElement;"
                "const style = getComputedStyle(one);"
                "const box = one.getBoundingClientRect();"
                "return [one.id || one.parentElement?.id,"
                " style.outlineStyle, style.outlineWidth,"
                " box.bottom > 0 && box.top < innerHeight"
                " && box.right > 0 && box.left < innerWidth];"
            )
            if stop in {None, "", *stops}:
                break
            stops.append(stop)
            assert outline != "none", stop
            assert float(width.removesuffix("px")) >= 1.5, stop
            assert is_inside, stop
            live.keys(TAB)
        assert {"size", "picture", "tab-edges", "panel-edges"} <= set(stops)

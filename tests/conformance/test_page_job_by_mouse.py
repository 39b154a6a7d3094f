"""The whole job on the demo with the mouse, in the browser on the real server."""

from pathlib import Path
from typing import TYPE_CHECKING

from conformance.apron import two_words
from conformance.live_job import do_the_job
from conformance.pressed import SHIFT

if TYPE_CHECKING:
    from conformance.live_page import LivePage


class Mouse:
    """Hands on a mouse; keys write texts alone."""

    def __init__(self, live: "LivePage") -> None:
        self.live = live
        self.press, self.pick = live.press, live.pick
        self.write = live.type_into

    def show(self, tab: str) -> None:
        """Press a tab."""
        self.press(f"tab-{tab}")

    def take(self, edges: tuple[str, ...]) -> None:
        """Click edges in the picture."""
        for number, edge in enumerate(edges):
            self.live.click(*two_words(edge), *([SHIFT] if number else []))

    def finish(self, finish: str) -> None:
        """Press a finish."""
        self.press(f"finish-{finish}")

    def bind(self, run: str) -> None:
        """Name a new run and press bound."""
        self.pick("bound-run", "a new run")
        self.live.find("bound-name").send_keys(run)
        self.press("finish-bound")

    def move_up(self, order: str, row: int) -> None:
        """Drag an edge by its grip."""
        self.live.drag_row(order, row, row - 1)


def test_the_whole_job_by_mouse_gives_the_schedule_of_a_file_by_hand(
    live: "LivePage", tmp_path: Path
) -> None:
    do_the_job(live, Mouse(live), tmp_path)

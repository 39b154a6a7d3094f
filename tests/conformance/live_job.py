"""The whole job on the demo's apron, for whatever hands do it."""

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from conformance.apron import (
    ALLOWANCE,
    BY_HAND,
    CUTS,
    FOLD,
    RAW,
    RUNS,
    SETTINGS,
    begun,
    schedule_of,
)
from page_server import running

if TYPE_CHECKING:
    from conformance.live_page import LivePage


class Hands(Protocol):
    """How one uses the page."""

    def press(self, name: str) -> None:
        """Press a button or unfold something."""

    def show(self, tab: str) -> None:
        """Show one of the lists."""

    def write(self, field: str, text: str) -> None:
        """Write a text into a field and leave it."""

    def pick(self, field: str, text: str) -> None:
        """Pick from a list of choices."""

    def take(self, edges: tuple[str, ...]) -> None:
        """Choose edges and no others."""

    def finish(self, finish: str) -> None:
        """Give the chosen edges a finish."""

    def bind(self, run: str) -> None:
        """Bind the chosen edges in a new run."""

    def move_up(self, order: str, row: int) -> None:
        """Move an edge of a run, counted from 1, one place up."""


def do_the_job(live: "LivePage", hands: Hands, folder: Path) -> None:
    """Tag the apron; its schedule must be that of the file that was written by hand."""
    job = begun(folder)
    with running(job) as page:
        live.open(page)
        pieces = ["front", "back", "pocket", "strap"]
        assert live.texts("#first-sizes tbody th") == pieces
        with live.saying("The sizes are right"):
            hands.press("sizes-right")
        _say_of_the_pattern(live, hands)
        _tag(live, hands)
        _order(live, hands)
        assert live.text("#saved") == f"Saved in {job.name}"
        assert live.console() == []
        assert live.strangers(page) == []
    assert schedule_of(job) == schedule_of(BY_HAND)


def _say_of_the_pattern(live: "LivePage", hands: Hands) -> None:
    hands.show("cloth")
    with live.saying("unit of the pattern: in"):
        hands.pick("top-unit", "in")
    hands.press("top-rare-title")
    for field, text in (*SETTINGS, ("top-cut_lines", "class:cut")):
        with live.saying(text):
            hands.write(field, text)


def _tag(live: "LivePage", hands: Hands) -> None:
    hands.show("edges")
    hands.take((FOLD,))
    with live.saying(f"{FOLD} lies on the fold"):
        hands.finish("fold")
    hands.take(RAW)
    with live.saying(f"{len(RAW)} edges are left raw"):
        hands.finish("raw")
    for run in RUNS:
        # The other armhole is added to its run afterwards.
        hands.take(run.edges[1:] if run.name == "armholes" else run.edges)
        with live.saying(f"bound in run {run.name}"):
            hands.bind(run.name)
    for index, piece, count in CUTS:
        hands.press(f"about-{index}-title")
        with live.saying(f"cut of {piece}: {count}"):
            hands.write(f"pieces-{index}-cut", count)
    edge, amount = ALLOWANCE
    hands.take((edge,))
    hands.press("for-one-title")
    hands.write("edge-allowance", amount)
    with live.saying(f"{edge}: allowance"):
        hands.press("allow-edge")


def _order(live: "LivePage", hands: Hands) -> None:
    """An edge more, that was meant to come first; and how runs end."""
    hands.take(("front 4",))
    hands.show("runs")
    with live.saying("front 4: in run armholes"):
        hands.press("runs-1-add")
    assert live.texts("#runs-1-edges .word") == ["back 4", "front 4"]
    with live.saying("front 4 is number 1 of 2 in run armholes"):
        hands.move_up("runs-1-edges", 2)
    assert live.texts("#runs-1-edges .word") == ["front 4", "back 4"]
    for index, run in enumerate(RUNS):
        for key, value in (("start", run.start), ("end", run.end)):
            if value:
                with live.saying(f"{key} of {run.name}: {value}"):
                    hands.pick(f"runs-{index}-{key}", value)
        if run.times:
            with live.saying(f"times of {run.name}: {run.times}"):
                hands.write(f"runs-{index}-times", run.times)

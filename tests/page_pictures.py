"""The pictures of ``docs/page.md``: the first hour on the page, done in a browser.

Run as a script, this module starts the page's server on a copy of the demo's drawing,
does in headless Chromium what ``docs/page.md`` tells, and keeps pictures of it in
``docs/pictures/``. It needs the packages for tests, and Chromium with its driver.
"""

import io
import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from conformance.live_page import LivePage
from page_server import DEMO, running
from PIL import Image

from edgefinder.schedule.new_job import write_new_job
from edgefinder.units import Unit

PICTURES: Final = Path(__file__).parents[1] / "docs" / "pictures"
WIDE: Final = (1280, 800)
NARROW: Final = (360, 800)
PICTURED: Final = {
    "page-size.png": WIDE,
    "page-edges.png": WIDE,
    "page-runs.png": WIDE,
    "page-width.png": WIDE,
    "page-narrow.png": NARROW,
}
"""Every picture of the page, and its width and height in px."""
COLOURS: Final = 128
"""Of a picture: lines and letters need no more."""
NAME: Final = "orchard-apron"
IDLE_S: Final = 60.0
"""After which a server ends whose visitor has come to grief."""

SHIFT: Final = "\ue008"
CAUGHT: Final = "caught in a seam"
RUNS: Final[tuple[tuple[str, tuple[str, ...], dict[str, str]], ...]] = (
    ("front neck", ("front 6",), {"start": CAUGHT, "end": CAUGHT}),
    ("armholes", ("front 4", "back 4"), {"start": CAUGHT, "end": CAUGHT, "times": "2"}),
    ("front hem", ("front 1",), {}),
    ("back edges", ("back 6", "back 7", "back 1"), {"start": CAUGHT, "times": "2"}),
    ("pocket opening", ("pocket 3", "pocket 1"), {"start": CAUGHT, "end": CAUGHT}),
)
"""Of each run its name, its edges in sewing order, and what is said of it."""

CUT: Final = {"back": 2, "strap": 4}

LAID_OUT: Final = """
const done = arguments[arguments.length - 1];
document.fonts.ready.then(() =>
  requestAnimationFrame(() => requestAnimationFrame(() => done())));
"""
SLIDE: Final = """
const slider = document.getElementById(arguments[0]);
slider.focus();
slider.value = arguments[1];
slider.dispatchEvent(new Event("input", {bubbles: true}));
"""
TO_TOP: Final = "document.getElementById(arguments[0]).scrollIntoView();"
TRIED: Final = """
const said = document.getElementById(arguments[0]).textContent;
return /flat|tight/.test(said);
"""


def keep(live: LivePage, name: str) -> None:
    """Keep a picture of what is seen."""
    live.shape(*PICTURED[name])
    live.driver.execute_async_script(LAID_OUT)
    shot = Image.open(io.BytesIO(live.driver.get_screenshot_as_png()))
    few = shot.convert("RGB").quantize(
        COLOURS, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE
    )
    few.save(PICTURES / name, optimize=True)


def choose(live: LivePage, edges: Sequence[str]) -> None:
    """Click edges in the picture, all after the first with Shift."""
    for number, edge in enumerate(edges):
        piece, _, label = edge.rpartition(" ")
        live.click(piece, label, *([SHIFT] if number else []))


def bind(live: LivePage, name: str, edges: Sequence[str]) -> None:
    """Bind edges in a new run."""
    choose(live, edges)
    live.pick("bound-run", "a new run")
    live.find("bound-name").send_keys(name)
    with live.saying(f"bound in run {name}"):
        live.press("finish-bound")


def write_by_hand(job: Path) -> None:
    """Say how often pieces are cut, as somebody does with a text editor."""
    text = job.read_text("utf-8")
    for piece, count in CUT.items():
        head = f'name = "{piece}"\ncut = '
        text = text.replace(f"{head}1", f"{head}{count}")
    job.write_text(text, "utf-8")


def visit(live: LivePage, job: Path) -> None:
    """Do the first hour on the page that is open."""
    keep(live, "page-size.png")
    live.pass_first_step()
    with live.saying("Changed from outside"):
        write_by_hand(job)
    live.press("bar-notice-close")
    for edge, finish in (("front 7", "fold"), ("front 2", "raw"), ("back 2", "raw")):
        choose(live, [edge])
        with live.saying(edge):
            live.press(f"finish-{finish}")
    name, edges, _ = RUNS[0]
    bind(live, name, edges)
    choose(live, RUNS[1][1])
    keep(live, "page-edges.png")
    for name, edges, _ in RUNS[1:]:
        bind(live, name, edges)
    live.press("choose-none")
    live.press("tab-runs")
    for index, (_, _, settings) in enumerate(RUNS):
        for key, value in settings.items():
            if key == "times":
                live.fill(f"runs-{index}-{key}", value, value)
                continue
            with live.saying(value):
                live.pick(f"runs-{index}-{key}", value)
    live.run(TO_TOP, "runs-1-title")
    keep(live, "page-runs.png")
    live.press("tab-cloth")
    live.run(SLIDE, "try-0", 4)
    live.until(TRIED, "try-0-said")
    keep(live, "page-width.png")
    live.press("tab-figures")
    live.shape(*NARROW)
    live.run(TO_TOP, "panels")
    keep(live, "page-narrow.png")


def main() -> None:
    """Write every picture anew."""
    chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or driver is None:
        sys.exit("install chromium and chromium-driver")
    with tempfile.TemporaryDirectory() as folder:
        drawing = Path(folder, f"{NAME}.svg")
        shutil.copy(DEMO / drawing.name, drawing)
        job = drawing.with_name("apron.toml")
        write_new_job([drawing], job, Unit.INCH)
        live = LivePage(chromium, driver, Path(folder))
        try:
            with running(job, IDLE_S) as page:
                live.open(page)
                visit(live, job)
        finally:
            live.close()


if __name__ == "__main__":
    main()

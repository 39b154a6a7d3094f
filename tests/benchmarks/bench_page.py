"""From a click on the page to new figures on the screen: milliseconds and ratios.

The real server in this process, a headless Chromium, and the clock of the browser:
from the click on a finish to the first frame that shows the new status line and
figures. The edge is bound and unbound by turns, so that every click changes lengths,
tape and fabric. Beside it stands what the schedule command takes from its start, in
the same run.

Needs what the conformance tests need, and runs with ``PYTHONPATH=tests``.
"""

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Final

from conformance.live_page import LivePage
from page_server import demo_copy, running
from sheet_cases import large_job

CLICKS: Final = 10
PIECES: Final = 60
SIZES: Final = 20

CLICK: Final = """
const [name, done] = arguments;
const status = document.getElementById("status");
const figures = document.getElementById("panel-figures");
status.textContent = "";
const before = figures.textContent;
const start = performance.now();
const watch = new MutationObserver(() => {
  if (!status.textContent || figures.textContent === before) return;
  watch.disconnect();
  const shown = performance.now() - start;
  requestAnimationFrame(() => setTimeout(() =>
    done([shown, performance.now() - start, status.textContent])));
});
for (const one of [status, figures]) {
  watch.observe(one, {childList: true, characterData: true, subtree: true});
}
document.getElementById(name).click();
"""
"""The frame is drawn after what is asked for before it, and before the next task."""


def by_command(job: Path) -> float:
    """Return how long the schedule command takes, in seconds."""
    start = time.perf_counter()
    subprocess.run(  # noqa: S603 - this program itself
        [sys.executable, "-m", "edgefinder", "schedule", str(job)],
        check=True,
        capture_output=True,
    )
    return time.perf_counter() - start


def report(live: LivePage, name: str, job: Path, piece: str, label: str) -> None:
    """Print what clicks take on a job."""
    command = min(by_command(job) for _ in range(2))
    with running(job) as page:
        live.open(page)
        if live.run("return document.getElementById('first-step').open"):
            live.pass_first_step()
        live.press("tab-edges")
        live.run(
            "document.querySelector(`.edge-row input[data-piece='${arguments[0]}']"
            "[data-label='${arguments[1]}']`).click()",
            piece,
            label,
        )
        live.press("tab-figures")
        first, took = [], []
        for click in range(CLICKS + 2):
            wanted = "finish-seam" if click % 2 else "finish-bound"
            shown, seen, _ = live.driver.execute_async_script(CLICK, wanted)
            if click < 2:
                first.append(seen)  # of each kind: the shapes of the piece are kept
            else:
                took.append((shown, seen))
    shown, seen = (statistics.median(one) for one in zip(*took, strict=True))
    worst = max(one for _, one in took)
    print(
        f"{name}: click to new figures {shown:.0f} ms, on the screen {seen:.0f} ms"
        f" (longest {worst:.0f}, first {max(first):.0f});"
        f" {seen / 1000 / command:.2f} of the schedule command ({command:.2f} s)"
    )


def main() -> None:
    """Print what clicks take on the demo and on a large pattern."""
    chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or driver is None:
        sys.exit("needs chromium and chromium-driver")
    with tempfile.TemporaryDirectory() as kept:
        folder = Path(kept)
        live = LivePage(chromium, driver, folder)
        try:
            report(live, "demo", demo_copy(folder), "strap", "1")
            large = folder / "large"
            large.mkdir()
            job = large_job(large, PIECES, SIZES)
            report(live, f"{PIECES} pieces x {SIZES} sizes", job, "no 0 a", "2")
        finally:
            live.close()


if __name__ == "__main__":
    main()

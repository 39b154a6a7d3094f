"""How much longer the page takes than the text schedule; prints ratios.

The demo is worked out once for each; what is compared is the whole way from the job
file to the finished text, the libraries loaded before. Runs with ``PYTHONPATH=tests``.
"""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

from sheet_cases import large_job

from edgefinder.reports.mark.marked_copy import marked_copy
from edgefinder.reports.picture.release_picture import picture_svg
from edgefinder.reports.release_text import schedule_text
from edgefinder.reports.sheet.page import sheet_html
from edgefinder.schedule.release import Release, release_from_file

DEMO: Final = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
ROUNDS: Final = 5


def fastest(work: Callable[[], object]) -> float:
    """Return the shortest of some times of the processor, in seconds."""
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def report(name: str, job: Path) -> None:
    """Print what each report takes beside the text."""

    def made() -> Release:
        return release_from_file(job)

    text = fastest(lambda: schedule_text(made()))
    print(f"{name}: text 1.00 ({text:.2f} s)")
    for what, write in (
        ("page", sheet_html),
        ("picture", picture_svg),
        ("marks", lambda release: marked_copy(release, release.job.drawings[0], None)),
    ):
        took = fastest(lambda write=write: write(made()))  # type: ignore[misc]
        print(f"{name}: {what} {took / text:.2f}")


def main() -> None:
    """Print the ratios of the demo, and the seconds of a large pattern."""
    for name in ("orchard-apron", "puddle-smock"):
        report(name, DEMO / f"{name}.toml")
    with tempfile.TemporaryDirectory() as folder:
        job = large_job(Path(folder), 60, 20)
        start = time.process_time()
        release = release_from_file(job)
        read = time.process_time()
        schedule_text(release)
        told = time.process_time()
        html = sheet_html(release)
        end = time.process_time()
        print(
            f"60 pieces x 20 sizes: worked out in {read - start:.1f} s, text in "
            f"{told - read:.1f} s, page of {len(html) / 2**20:.1f} MiB in "
            f"{end - told:.1f} s; the whole page {(end - told + read - start):.1f} s, "
            f"{(end - told + read - start) / (told - start):.2f} times the whole text"
        )


if __name__ == "__main__":
    main()

"""How much longer the PDF takes than the text schedule; prints ratios.

What is compared is the whole way from the job file to the finished bytes, the libraries
loaded before; and for a large pattern the PDF alone beside the rest.
"""

import tempfile
import time
from pathlib import Path

from bench_sheet import DEMO, fastest
from sheet_cases import large_job

from edgefinder.reports.pdf.document import content_pdf, sheet_pdf
from edgefinder.reports.pdf.paper import Paper
from edgefinder.reports.release_text import schedule_text
from edgefinder.reports.sheet.content import sheet_content
from edgefinder.schedule.release import release_from_file


def report(name: str, job: Path) -> None:
    """Print what the PDF takes beside the text."""
    text = fastest(lambda: schedule_text(release_from_file(job)))
    pdf = fastest(lambda: sheet_pdf(release_from_file(job), Paper.A4))
    print(f"{name}: text 1.00 ({text:.2f} s), PDF {pdf / text:.2f}")


def main() -> None:
    """Print the ratios of the demo, and the seconds of a large pattern."""
    for name in ("orchard-apron", "puddle-smock"):
        report(name, DEMO / f"{name}.toml")
    with tempfile.TemporaryDirectory() as folder:
        job = large_job(Path(folder), 60, 20)
        start = time.process_time()
        content = sheet_content(release_from_file(job))
        drawn = time.process_time()
        data = content_pdf(content, Paper.A4)
        end = time.process_time()
        print(
            f"60 pieces x 20 sizes: worked out and drawn in {drawn - start:.1f} s, PDF "
            f"of {len(data) / 2**20:.1f} MiB in {end - drawn:.1f} s"
        )


if __name__ == "__main__":
    main()

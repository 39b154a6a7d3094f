"""The page of limits names the limits that the program has."""

import re
from typing import Final

from doc_examples import DOCS

from edgefinder.classifier.job_file import MAX_JOB_BYTES
from edgefinder.classifier.piece_settings import MOST_COPIES
from edgefinder.constants import LARGEST_PIECE_MM, SMALLEST_PIECE_MM
from edgefinder.files import MAX_DRAWING_BYTES
from edgefinder.importers.dxf import counting
from edgefinder.importers.svg.outlines import MAX_PATH_CHARACTERS
from edgefinder.importers.svg.xml import MAX_DEPTH, MAX_ELEMENTS
from edgefinder.pattern.contained_pairs import MOST_PAIRS
from edgefinder.reports.instructions.instructions_text import MOST_TEMPLATE_BYTES
from edgefinder.reports.picture.labels import LONGEST_LABEL
from edgefinder.reports.stored_schedule import MOST_BYTES as MOST_STORED_BYTES
from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.cutting import MOST_STRIPS, NARROWEST_CUT_MM
from edgefinder.yardage.one_cut_bias import MOST_ORDERED
from edgefinder.yardage.scraps import MOST_COMBINED, MOST_SCRAPS
from edgefinder.yardage.strip_rows import MOST_EXACT

TEXT: Final = " ".join((DOCS / "limits.md").read_text("utf-8").split())
METHOD: Final = " ".join((DOCS / "method.md").read_text("utf-8").split())
CURVES: Final = (DOCS / "curves.md").read_text("utf-8")

MB: Final = 2**20
KB: Final = 2**10


def test_the_table_has_the_bounds_of_the_program() -> None:
    rows = {
        "a drawing": f"{MAX_DRAWING_BYTES // MB} MB, unpacked if it is compressed",
        "an SVG": f"{MAX_ELEMENTS:,} elements, {MAX_DEPTH} inside one another",
        "one outline of an SVG": f"{MAX_PATH_CHARACTERS:,} characters of path data",
        "what the blocks of a DXF draw": f"{counting.MOST_ENTITIES:,} entities, "
        f"{counting.MOST_VERTICES:,} vertices, {counting.DEEPEST_NESTING} blocks "
        "inside one another",
        "pairs of outlines that lie over one another": f"{MOST_PAIRS:,}",
        "a piece": f"{LARGEST_PIECE_MM / 1000:g} m; the largest of a drawing at least "
        f"{SMALLEST_PIECE_MM / 10:g} cm",
        "a job file, a list of cloths": f"{MAX_JOB_BYTES // MB} MB",
        "a schedule stored as JSON": f"{MOST_STORED_BYTES // MB} MB",
        "a template for words": f"{MOST_TEMPLATE_BYTES // KB} kB",
        "a typed length": f"{MAX_LENGTH_MM / 1e6:g} km",
        "copies of a piece, passes of a run": f"{MOST_COPIES:,}",
        "scraps": f"{MOST_SCRAPS:,}",
    }
    table = dict(re.findall(r"\| ([^|]+) \| ([^|]+) \|", TEXT.split("at most")[1]))

    assert {key: table.get(key) for key in rows} == rows
    assert len(table) == len(rows) + 1  # and the line below the head


def test_the_bounds_of_cutting_are_those_of_the_program() -> None:
    assert f"up to {MOST_EXACT} strips that can share a row" in TEXT
    assert f"all orders of up to {MOST_ORDERED} tapes" in TEXT
    assert f"Scraps: up to {MOST_COMBINED}, all sets" in TEXT
    assert f"more than {MOST_STRIPS:,} strips" in TEXT
    assert f"nor narrower than {NARROWEST_CUT_MM:g} mm" in TEXT
    assert f"longer than {LONGEST_LABEL} letters" in TEXT


def test_what_is_said_of_accuracy_is_what_the_other_pages_derive() -> None:
    shares = re.findall(r"\| ([\d.]+) % \| (\d+) % \| [\d.]+ %", CURVES)
    departures = [int(share) for _, share in shares]
    wave = max(
        int(share)
        for share in re.findall(r"\| wave[^|]*\| [\d.]+ % \| (\d+) %", CURVES)
    )
    steps = max(
        int(share)
        for share in re.findall(r"\| (?:arc|line)[^|]*\| [\d.]+ % \| (\d+) %", CURVES)
    )

    assert max(departures) == wave
    assert f"up to {steps} % and {wave} % off" in TEXT
    for figures in ("within 0.1 %", "within 10 %", "up to 15 %"):
        assert figures in TEXT
        assert figures in METHOD

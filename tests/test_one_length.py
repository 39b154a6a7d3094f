"""One length, followed by hand from an SVG arc to inches of cloth."""

import math
from pathlib import Path

import pytest

from edgefinder.binding.laying import lay_runs
from edgefinder.classifier.job_file import read_job
from edgefinder.curvature.judgement import judge_runs
from edgefinder.curvature.verdict import Verdict
from edgefinder.importers.formats import read_drawing
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.lines import measure_lines
from edgefinder.pattern.settings import FindingSettings
from edgefinder.reports.release_text import schedule_text
from edgefinder.schedule.reading import tag_pattern
from edgefinder.schedule.release import make_release
from edgefinder.yardage.tape_length import tape_length
from edgefinder.yardage.tube import smallest_square

# A bib in tenths of a millimetre: a square of 200 mm, out of whose upper right corner a
# quarter of a circle of radius R = 100 mm round that corner is cut. From the lower
# left corner its edges are 1 along the foot (200 mm), 2 up the right side (100 mm),
# 3 the curve, an inside one, 4 along the top (100 mm) and 5 down the left side.
DRAWING = """
<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm"
     viewBox="0 0 4000 4000">
  <path id="bib" d="M 0 2000 H 2000 V 1000 A 1000 1000 0 0 1 1000 0 H 0 Z"/>
</svg>
"""
JOB = """
name = "Forty bibs"
unit = "in"
drawings = ["bib.svg"]
seam_allowance = "10 mm"

[fabric]
cloth = "firm"
strip_seam = "1/4 in"

[[cloths]]
name = "firm"
stretch_ok_percent = 4
stretch_limit_percent = 8
ease_ok_percent = 1
ease_limit_percent = 4

[[tapes]]
name = "main"
finished_width = "3/8 in"
turn_of_cloth = "2 mm"

[[pieces]]
name = "bib"
cut = 40

[[runs]]
name = "neck"
tape = "main"
edges = ["bib 3"]
start = "caught in a seam"
end = "caught in a seam"
times = 40
"""
R = 100.0
ALLOWANCE = 10.0
WIDTH = 9.525  # 3/8 in
EXACT = 1e-9


def near(value: float) -> object:
    """Compare to nine digits."""
    return pytest.approx(value, rel=EXACT)


def cells(text: str, name: str) -> list[str]:
    """Return the row of a table that begins with a name."""
    row = next(line for line in text.splitlines() if line.startswith(f"{name} "))
    return [cell.strip() for cell in row.split("  ") if cell]


def test_one_length_from_the_drawing_to_the_cloth(tmp_path: Path) -> None:
    (tmp_path / "bib.svg").write_text(DRAWING, encoding="utf-8")
    (tmp_path / "bib.toml").write_text(JOB, encoding="utf-8")

    # The drawn line: four sides of 200, 100, 100 and 200 mm and a quarter of a
    # circle, pi R/2 = 157.08 mm.
    reading = read_drawing(tmp_path / "bib.svg")
    (line,) = measure_lines(reading.drawing)
    assert line.length == near(600 + math.pi * R / 2)

    # The edge: number 3 from the lower left corner, anticlockwise. It turns by a
    # right angle to the right, for it is an inside curve; its two corners turn by a
    # right angle to the left.
    (piece,) = find_pieces(reading, FindingSettings()).pieces
    edge = piece.edges[2]
    assert len(piece.edges) == 5
    assert edge.length == near(math.pi * R / 2)
    assert edge.turning == near(-math.pi / 2)
    assert (edge.corner_before, edge.corner_after) == (
        near(math.pi / 2),
        near(math.pi / 2),
    )
    assert edge.tightest_inside is not None
    assert edge.tightest_inside.radius == near(R)

    # The finished edge: the seam at edge 2 is sewn 10 mm inside it, along x = 190.
    # The circle round (200, 200) reaches x = 190 after an angle of asin(10/100) from
    # its start; the seam at edge 4 takes the same angle from its end. Left of pi/2:
    #     R (pi/2 - 2 asin(1/10)) = 100 (1.570796 - 0.200335) = 137.046 mm
    pattern = tag_pattern(read_job(tmp_path / "bib.toml"))
    (size,) = pattern.sizes
    (run,) = lay_runs(size, pattern.tapes, pattern.job.finding.corner_angle)
    finished = R * (math.pi / 2 - 2 * math.asin(ALLOWANCE / R))
    assert finished == pytest.approx(137.046, abs=5e-4)
    assert run.length == near(finished)

    # The band: its stitching line, 9.525 mm inside an inside curve, is longer than
    # the edge by 1 + w/R = 1.09525. Comfortably the cloth has S = 1.04/0.99, enough
    # for a radius of w/(S - 1) = 189 mm only; at most S = 1.08/0.96, enough for
    # 76 mm: the tape lies with steam. The least feed is 1.09525/1.08 = 1.014120, which
    # is also the one nearest to 1.
    (judged,) = judge_runs([run])
    (report,) = judged.places
    assert report.place.verdict is Verdict.STEAM
    assert report.place.radius == near(R)
    feed = (1 + WIDTH / R) / 1.08
    assert report.feed == near(feed)
    assert judged.fed == near(finished * feed)
    assert report.stretch_needed == near((1 + WIDTH / R) * 0.96 - 1)
    assert report.widest_flat == near(R * (1.04 / 0.99 - 1))

    # The tape: what is fed, and one seam allowance at each end.
    #     137.046 x 1.014120 + 2 x 10 = 158.981 mm, forty times 6359.25 mm
    parts = tape_length(judged, ALLOWANCE, 6.35)
    tape = finished * feed + 2 * ALLOWANCE
    assert tape == pytest.approx(158.981, abs=5e-4)
    assert parts.total == near(tape)
    assert (parts.mitres, parts.join, parts.tails, parts.ties) == (0, 0, 0, 0)

    # The cloth: the strip is cut 4 w + 2 = 40.1 mm wide. The smallest square of n
    # strips is max(L/(n sqrt 2), n c sqrt 2) + 2 s: 562.1 + 12.7 mm for eight,
    # 510.4 + 12.7 for nine, 567.1 + 12.7 for ten.
    release = make_release(read_job(tmp_path / "bib.toml"))
    (row,) = release.sizes[0].tapes
    cut_width = 4 * WIDTH + 2
    side = 9 * cut_width * math.sqrt(2) + 2 * 6.35
    assert row.total == near(40 * tape)
    assert row.tape.cut_width == near(cut_width)
    assert smallest_square(row.plan.need) == near(side)
    assert side == pytest.approx(523.09, abs=5e-3)

    # Inches, rounded up where cloth is cut: 6359.25/25.4 = 250.36, the next eighth is
    # 250 3/8; 523.09/25.4 = 20.59, the next eighth is 20 5/8. The edge is measured:
    # 157.08/25.4 = 6.18, the nearest eighth is 6 1/8; 137.05/25.4 = 5.40, 5 3/8.
    text = schedule_text(release)
    assert "total 250 3/8 in " in text
    assert "20 5/8 x 20 5/8 in" in text
    assert cells(text, "bib 3") == [
        "bib 3",
        "6 1/8 in",
        "5 3/8 in",
        "40",
        "3 7/8 in",  # the radius, 3.937 in
        "-",
        "ease and steam",
    ]
    # Of the run: 137.05 mm of edge, 1.94 mm of feed (0.076 in), no mitre and so no
    # column for one, 20 mm of ends (0.79 in); 158.98 mm of tape (6.26 in) is cut as
    # 6 3/8 in.
    assert cells(text, "neck") == [
        "neck",
        "5 3/8 in",
        "1/8 in",
        "3/4 in",
        "6 3/8 in",
        "40",
    ]

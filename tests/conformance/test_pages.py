"""The sheet and the pictures in Chromium: nothing overlaps, nothing is asked for."""

from collections.abc import Sequence
from importlib.resources import files
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from command_line import APRON, SMOCK
from sheet_cases import HOSTILE, hostile_release, random_release

from edgefinder.reports.mark.marked_copy import marked_copy
from edgefinder.reports.picture.release_picture import picture_svg
from edgefinder.reports.sheet.page import sheet_html
from edgefinder.schedule.release import release_from_file

if TYPE_CHECKING:
    from conformance.page_browser import PageBrowser, TextBox

JOBS: Final = (APRON, SMOCK)
WIDTHS: Final = (360, 800, 1280)
RANDOM_PIECES: Final = 50
PRINTED_PX: Final = 680
"""180 mm: A4 between margins of 15 mm."""

job_of_demo = pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Path]:
    """The page of every job of the demo."""
    folder = tmp_path_factory.mktemp("sheets")
    found = {}
    for job in JOBS:
        found[job] = folder / f"{job.stem}.html"
        found[job].write_text(sheet_html(release_from_file(job)), "utf-8")
    return found


def overlapping(texts: Sequence["TextBox"]) -> list[tuple[str, str]]:
    """Pairs of texts of one picture whose boxes overlap."""
    return [
        (one.text, other.text)
        for one, other in combinations(texts, 2)
        if one.picture == other.picture
        and one.left < other.right
        and other.left < one.right
        and one.top < other.bottom
        and other.top < one.bottom
    ]


# Pictures


@job_of_demo
def test_no_two_texts_of_a_sheet_of_pieces_overlap(
    pages: "PageBrowser", tmp_path: Path, job: Path
) -> None:
    path = tmp_path / "picture.svg"
    path.write_text(picture_svg(release_from_file(job)), "utf-8")

    pages.open(path)

    texts = pages.texts()
    assert len(texts) > 40
    assert overlapping(texts) == []


@pytest.mark.parametrize("seed", range(RANDOM_PIECES))
def test_no_two_texts_overlap_on_random_pieces(
    pages: "PageBrowser", tmp_path: Path, seed: int
) -> None:
    path = tmp_path / "picture.svg"
    path.write_text(picture_svg(random_release(tmp_path, seed)), "utf-8")

    pages.open(path)

    texts = pages.texts()
    assert texts
    assert overlapping(texts) == []


@job_of_demo
def test_no_two_texts_of_the_pieces_on_a_page_overlap(
    pages: "PageBrowser", sheets: dict[Path, Path], job: Path
) -> None:
    pages.open(sheets[job])

    texts = [one for one in pages.texts() if one.right > one.left]

    assert len(texts) > 100
    labels = set(
        pages.run(
            "return [...document.querySelectorAll('svg:has(.label)')]"
            ".map(s => [...document.querySelectorAll('svg')].indexOf(s))"
        )
    )
    assert overlapping([one for one in texts if one.picture in labels]) == []


def test_hostile_names_overlap_no_more_than_others(
    pages: "PageBrowser", tmp_path: Path
) -> None:
    path = tmp_path / "picture.svg"
    path.write_text(picture_svg(hostile_release(tmp_path)), "utf-8")

    pages.open(path)

    assert overlapping(pages.texts()) == []


# The page


@job_of_demo
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_a_page_asks_for_nothing_and_the_console_is_silent(
    pages: "PageBrowser", sheets: dict[Path, Path], job: Path, dark: bool
) -> None:
    pages.open(sheets[job], dark=dark)

    assert pages.said() == []
    assert pages.requests() == [sheets[job].as_uri()]


@job_of_demo
@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_window(
    pages: "PageBrowser", sheets: dict[Path, Path], job: Path, width: int
) -> None:
    pages.open(sheets[job], width)

    assert pages.run("return document.documentElement.scrollWidth") == width
    beyond = pages.run(
        "return [...document.querySelectorAll('body *')].filter(one =>"
        " !one.closest('.wide, .skip, svg')"
        " && one.getBoundingClientRect().right > innerWidth + 0.5)"
        ".map(one => one.outerHTML.slice(0, 100))"
    )
    assert beyond == []


@job_of_demo
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_wrong(
    pages: "PageBrowser", sheets: dict[Path, Path], job: Path, dark: bool
) -> None:
    axe = (files("axe_core_python") / "axe.min.js").read_text("utf-8")
    pages.open(sheets[job], dark=dark)

    found = pages.violations(axe)

    assert [(one["id"], one["impact"], len(one["nodes"])) for one in found] == []


FOCUS: Final = """
const one = document.activeElement, box = one.getBoundingClientRect();
return [one.textContent.trim(), box.left, box.top, getComputedStyle(one).outlineStyle,
        one.scrollLeft];
"""


def test_a_page_is_gone_through_with_keys_alone(
    pages: "PageBrowser", sheets: dict[Path, Path]
) -> None:
    pages.open(sheets[APRON], 360)

    pages.press("Tab")
    text, left, top, outline, _ = pages.run(FOCUS)
    assert text == "Skip to the schedule"
    assert min(left, top) >= 0
    assert outline == "solid"
    pages.press("Enter")
    assert pages.run("return location.hash") == "#main"
    pages.press("Tab")
    text, _, _, outline, before = pages.run(FOCUS)
    assert text.startswith("Tape and fabric for every size")
    assert outline == "solid"
    is_wider = "const one = document.activeElement; return one.scrollWidth > "
    is_wider += "one.clientWidth"
    for _ in range(10):  # the first tables have room on the narrowest window
        if pages.run(is_wider):
            break
        pages.press("Tab")
    *_, outline, before = pages.run(FOCUS)
    assert outline == "solid"
    pages.press("ArrowRight")
    # It rolls smoothly, so not all at once.
    assert pages.comes_true(f"return document.activeElement.scrollLeft > {before}")


@job_of_demo
def test_the_table_of_the_back_cover_is_whole_on_a_telephone(
    pages: "PageBrowser", sheets: dict[Path, Path], job: Path
) -> None:
    pages.open(sheets[job], 420)

    hidden = pages.run(
        "const one = document.querySelector('.wide');"
        "return one.scrollWidth - one.clientWidth"
    )

    assert hidden == 0


def test_a_cutting_chart_stays_legible_on_a_narrow_window(
    pages: "PageBrowser", sheets: dict[Path, Path]
) -> None:
    pages.open(sheets[APRON], 360)

    heights = pages.run(
        "return [...document.querySelectorAll('.chart text')]"
        ".map(one => one.getScreenCTM().a * parseFloat(one.getAttribute('font-size')))"
        ".filter(height => height > 0)"
    )

    assert len(heights) > 50
    assert min(heights) > 6.0


def test_nothing_hostile_is_run_and_all_of_it_is_read(
    pages: "PageBrowser", tmp_path: Path
) -> None:
    release = hostile_release(tmp_path)
    path = tmp_path / "page.html"
    path.write_text(sheet_html(release), "utf-8")

    pages.open(path)

    assert pages.said() == []
    assert pages.requests() == [path.as_uri()]
    assert (
        pages.run("return document.querySelectorAll('script, img, style').length") == 1
    )
    shown = " ".join(pages.run("return document.body.textContent").split())
    for name in HOSTILE[:6]:
        assert " ".join(name.split()) in shown
    for width in WIDTHS:
        pages.open(path, width)
        assert pages.run("return document.documentElement.scrollWidth") == width


def test_no_row_heading_or_picture_is_cut_by_the_end_of_a_sheet(
    pages: "PageBrowser", sheets: dict[Path, Path]
) -> None:
    """Chromium's own rule: what must not be broken stands whole on one sheet."""
    pages.open(sheets[APRON], PRINTED_PX, media="print")
    rules = pages.run(
        "return [...document.styleSheets[0].cssRules]"
        ".filter(rule => rule.media && rule.media.mediaText === 'print')"
        ".flatMap(rule => [...rule.cssRules])"
        ".filter(rule => rule.style && rule.style.breakInside === 'avoid')"
        ".map(rule => rule.selectorText).join(', ')"
    )

    for selector in ("tr", "figure", ".places tbody", ".piece"):
        assert selector in rules
    heights = pages.run(
        "return [...document.querySelectorAll('tr, figure')]"
        ".map(one => one.getBoundingClientRect().height * 25.4 / 96)"
    )
    # Nothing that must stay whole is taller than what US Letter has between margins.
    assert max(heights) < 279.4 - 2 * 15


def test_marks_on_a_drawing_are_drawn_where_its_edges_are(
    pages: "PageBrowser", tmp_path: Path
) -> None:
    release = release_from_file(APRON)
    path = tmp_path / "marked.svg"
    path.write_bytes(marked_copy(release, path, None))

    pages.open(path)

    boxes = pages.run(
        "const box = one => { const b = one.getBoundingClientRect();"
        " return [b.left, b.top, b.right, b.bottom]; };"
        "return [box(document.querySelector('path.cut')),"
        " box(document.querySelector('#edgefinder-marks polyline'))];"
    )
    (left, top, right, bottom), neck = boxes
    # The neckline is bound: it lies within the front's own box.
    assert left - 8 <= neck[0] <= neck[2] <= right + 8
    assert top - 8 <= neck[1] <= neck[3] <= bottom + 8

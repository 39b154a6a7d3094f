"""The first step: what it shows, and that it is asked again for another drawing."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from page_server import Page, running
from test_page_changes import HEAD, RUN, SQUARES

if TYPE_CHECKING:
    from conformance.live_page import LivePage

TWICE = SQUARES.replace('width="900mm" height="400mm"', 'width="1800mm" height="800mm"')
NEARLY = SQUARES.replace("h200 v200 h-200", "h203 v200 h-203")
OTHER = SQUARES.replace("front", "bib").replace("back", "tie")


def job_of(folder: Path, drawing: str = SQUARES) -> Path:
    (folder / "p.svg").write_text(drawing, "utf-8")
    (folder / "p.toml").write_text(HEAD + RUN, "utf-8")
    return folder / "p.toml"


def is_asked(live: "LivePage") -> bool:
    found: bool = live.run("return document.getElementById('first-step').open")
    return found


def redraw(live: "LivePage", page: Page, drawing: str) -> None:
    """Save another drawing in the place of the one."""
    path = page.job.parent / "p.svg"
    with live.saying("Changed from outside"):
        path.write_text(drawing, "utf-8")
        os.utime(path, ns=(1, len(drawing)))


@pytest.mark.parametrize("drawing", [TWICE, OTHER])
def test_it_is_asked_when_the_drawing_is_exchanged(
    live: "LivePage", tmp_path: Path, drawing: str
) -> None:
    with running(job_of(tmp_path)) as page:
        live.open(page)
        assert not is_asked(live)  # the job is tagged already
        redraw(live, page, NEARLY)
        assert not is_asked(live)  # an edge was drawn anew
        redraw(live, page, drawing)
        assert is_asked(live)
        live.pass_first_step()
        live.driver.refresh()
        live.until("return document.querySelector('.edge-row')")
        assert not is_asked(live)


def test_it_is_asked_when_a_drawing_is_added(live: "LivePage", tmp_path: Path) -> None:
    cuff = (
        '<g id="Size-1"><path d="M10 300 h90 v40 h-90 z"><title>cuff</title></path></g>'
    )
    parts = SQUARES.partition('<g id="Size-1">')
    with running(job_of(tmp_path)) as page:
        live.open(page)
        assert not is_asked(live)
        more = cuff.replace("Size-1", "Size-2").replace("h90", "h94")
        (tmp_path / "q.svg").write_text(f"{parts[0]}{cuff}{more}</svg>", "utf-8")
        before = page.job.read_text("utf-8")
        with live.saying("Changed from outside"):
            page.job.write_text(
                before.replace('"p.svg"]', '"p.svg", "q.svg"]'), "utf-8"
            )
        assert is_asked(live)
        assert "cuff" in live.texts("#first-sizes tbody th")


def test_only_what_concerns_the_size_is_told_in_words_of_the_page(
    live: "LivePage", tmp_path: Path
) -> None:
    title = "<title>test square 50 mm</title>"
    square = f'<path d="M10 300 h37.5 v37.5 h-37.5 z">{title}</path></svg>'
    job = job_of(tmp_path, SQUARES.replace("</svg>", square))
    job.write_text(f"{HEAD}{RUN}times = 2\n", "utf-8")  # and cut once: a finding
    with running(job) as page:
        live.open(page)
        assert is_asked(live)
        found = [one["code"] for one in page.state("1")["findings"]]
        assert sorted(set(found)) == ["bound-count", "test-square"]
        (said,) = live.texts("#first-findings li")
        assert "says 50 mm and is 37.50 mm" in said
        assert said.endswith('"50 mm" in the field below scales the drawing by it')
        assert "--" not in said
        live.fill("first-test_square", "50 mm", "true side")
        assert "267 mm" in live.text("#first-sizes tbody")

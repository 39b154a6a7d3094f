"""Files that the page hands out, and drawings that it takes in."""

import base64
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conformance.apron import DRAWING
from page_server import DEMO, Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

DROP = """
const [name, data] = arguments;
const bytes = Uint8Array.from(atob(data), one => one.charCodeAt(0));
const holds = new DataTransfer();
holds.items.add(new File([bytes], name));
for (const kind of ["dragenter", "dragover", "drop"]) {
  const event = new DragEvent(kind,
    {bubbles: true, cancelable: true, dataTransfer: holds});
  document.getElementById("picture").dispatchEvent(event);
  if (kind === "dragover" && document.getElementById("drop").hidden) return false;
  if (!event.defaultPrevented) return false;
}
return document.getElementById("drop").hidden;
"""
"""Returns whether the page said where to drop it, and took it."""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("taking"))) as found:
        yield found


def handed(live: "LivePage", kind: str, name: str) -> bytes:
    """Press the button of a file and return what the browser keeps."""
    if not live.run("return document.getElementById('files').open"):
        live.press("files")
    with live.saying(f"{name} is handed to the browser"):
        live.press(f"file-{kind}")
    return live.downloaded(name)


def test_files_arrive_as_the_server_makes_them(live: "LivePage", page: Page) -> None:
    """That they are those of the command is held by `test_page_files.py`."""
    live.open(page)
    for kind, name in (
        ("html", "orchard-apron.html"),
        ("pdf", "orchard-apron.pdf"),
        ("xlsx", "orchard-apron.xlsx"),
        ("csv", "orchard-apron-tables.zip"),
        ("charts", "orchard-apron-charts.zip"),
    ):
        arrived = handed(live, kind, name)
        made = page.post("/api/file", kind=kind).body
        if kind == "xlsx":
            assert parts(arrived) == parts(made)
        else:
            assert arrived == made, kind
    assert live.console() == []
    assert live.strangers(page) == []


def parts(archive: bytes) -> dict[str, bytes]:
    """The files in an archive, without the one that holds when it was made."""
    held = zipfile.ZipFile(io.BytesIO(archive))
    return {
        name: held.read(name) for name in held.namelist() if name != "docProps/core.xml"
    }


@pytest.fixture
def begun(tmp_path: Path) -> Iterator[Page]:
    """A page on a job file that takes every closed line for a piece."""
    job = demo_copy(tmp_path)
    text = job.read_text("utf-8").replace('cut_lines = ["class:cut"]', "")
    job.write_text(text, "utf-8")
    with running(job) as found:
        yield found


CUFFS = """<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm"
 viewBox="0 0 900 400">
<g id="Size-S"><path d="M10 10 h200 v90 h-200 z"><title>cuff</title></path></g>
<g id="Size-M"><path d="M230 10 h205 v92 h-205 z"><title>cuff</title></path></g>
<g id="Size-L"><path d="M450 10 h210 v94 h-210 z"><title>cuff</title></path></g>
</svg>"""


def drop(live: "LivePage", name: str, text: str) -> None:
    """Drag a file over the page and let it go."""
    data = base64.b64encode(text.encode()).decode()
    assert live.run(DROP, name, data)


def test_a_drawing_that_is_dropped_is_kept_and_shown(
    live: "LivePage", begun: Page
) -> None:
    live.open_past(begun)
    with live.saying("cuffs.svg is taken in"):
        drop(live, "cuffs.svg", CUFFS)
    live.pass_first_step()  # another drawing: its size is asked for too
    assert (begun.job.parent / "cuffs.svg").read_text("utf-8") == CUFFS
    live.press("tab-edges")
    assert "cuff 1" in " ".join(live.texts(".edge-known"))
    live.press("tab-findings")
    assert live.texts("#drawings li") == [DRAWING, "cuffs.svg"]
    before = begun.job.read_bytes()

    # Another one of that name is not written over the first.
    drop(live, "cuffs.svg", "<svg/>")
    assert "is not written over" in live.bar("mistakes")
    assert (begun.job.parent / "cuffs.svg").read_text("utf-8") == CUFFS
    assert begun.job.read_bytes() == before

    # Nor is anything else than a drawing taken in.
    drop(live, "../cuffs.exe", "<svg/>")
    live.until(
        "return document.getElementById('bar-mistakes')"
        ".textContent.includes('is not a drawing')"
    )
    assert len(list(begun.job.parent.iterdir())) == 4


def test_a_drawing_that_is_chosen_is_taken_in(
    live: "LivePage", begun: Page, tmp_path_factory: pytest.TempPathFactory
) -> None:
    live.open_past(begun)
    folder = tmp_path_factory.mktemp("chosen")
    same = folder / DRAWING
    same.write_bytes((DEMO / DRAWING).read_bytes())
    live.press("tab-findings")
    with live.saying(f"{DRAWING} is taken in"):  # it is there already, byte for byte
        live.find("choose-drawing").send_keys(str(same))
    empty = folder / "empty.svg"
    empty.write_bytes(b"")
    live.find("choose-drawing").send_keys(str(empty))
    assert "empty.svg" in live.bar("mistakes")
    assert not (begun.job.parent / "empty.svg").exists()


def test_a_link_that_is_dragged_is_left_alone(live: "LivePage", page: Page) -> None:
    live.open(page)
    shown = live.run(
        "const holds = new DataTransfer(); holds.setData('text/plain', 'x');"
        "document.body.dispatchEvent(new DragEvent('dragenter',"
        " {bubbles: true, cancelable: true, dataTransfer: holds}));"
        "return !document.getElementById('drop').hidden"
    )
    assert not shown

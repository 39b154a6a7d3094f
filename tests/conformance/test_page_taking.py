"""Files that the page hands out, and drawings that it takes in."""

import base64
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from conformance.apron import DRAWING
from page_server import DEMO, Page, demo_copy, running

from edgefinder.cli.main import main

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


def by_command(page: Page, folder: Path, option: str, name: str) -> Path:
    """Let the command write the same file."""
    target = folder / name
    done = CliRunner().invoke(main, ["schedule", str(page.job), option, str(target)])
    assert done.exit_code == 0, done.output
    return target


def handed(live: "LivePage", kind: str, name: str) -> bytes:
    """Press the button of a file and return what the browser keeps."""
    if not live.run("return document.getElementById('files').open"):
        live.press("files")
    with live.saying(f"{name} is handed to the browser"):
        live.press(f"file-{kind}")
    return live.downloaded(name)


def test_files_are_those_of_the_command(
    live: "LivePage", page: Page, tmp_path: Path
) -> None:
    live.open(page)
    for kind in ("html", "pdf"):
        made = handed(live, kind, f"orchard-apron.{kind}")
        path = by_command(page, tmp_path, f"--{kind}", f"x.{kind}")
        assert made == path.read_bytes(), kind
    made = handed(live, "xlsx", "orchard-apron.xlsx")
    assert parts(made) == parts(
        by_command(page, tmp_path, "--xlsx", "x.xlsx").read_bytes()
    )
    for kind, name in (("csv", "tables"), ("charts", "charts")):
        made = handed(live, kind, f"orchard-apron-{name}.zip")
        folder = by_command(page, tmp_path, f"--{kind}", name)
        assert parts(made) == {one.name: one.read_bytes() for one in folder.iterdir()}
    assert live.console() == []
    origin = page.url.partition("#")[0]
    assert all(one.startswith((origin, f"blob:{origin}")) for one in live.requests())


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
    live.open(begun)
    if live.run("return document.getElementById('first-step').open"):
        live.pass_first_step()
    sizes = [one["size"] for one in begun.state()["sizes"]]
    text = CUFFS
    if "L" not in sizes:
        text = "\n".join(line for line in CUFFS.splitlines() if "Size-L" not in line)
    with live.saying("cuffs.svg is taken in"):
        drop(live, "cuffs.svg", text)
    assert (begun.job.parent / "cuffs.svg").read_text("utf-8") == text
    if live.run("return document.getElementById('first-step').open"):
        live.pass_first_step()  # a new drawing: its size is looked at as well
    live.press("tab-edges")
    assert "cuff 1" in " ".join(live.texts(".edge-known"))
    live.press("tab-findings")
    assert live.texts("#drawings li") == [DRAWING, "cuffs.svg"]
    before = begun.job.read_bytes()

    # Another one of that name is not written over the first.
    drop(live, "cuffs.svg", "<svg/>")
    live.until("return document.getElementById('bar-mistakes')")
    assert "is not written over" in live.text("#bar-mistakes")
    assert (begun.job.parent / "cuffs.svg").read_text("utf-8") == text
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
    live.open(begun)
    if live.run("return document.getElementById('first-step').open"):
        live.pass_first_step()
    folder = tmp_path_factory.mktemp("chosen")
    same = folder / DRAWING
    same.write_bytes((DEMO / DRAWING).read_bytes())
    live.press("tab-findings")
    with live.saying(f"{DRAWING} is taken in"):  # it is there already, byte for byte
        live.find("choose-drawing").send_keys(str(same))
    empty = folder / "empty.svg"
    empty.write_bytes(b"")
    live.find("choose-drawing").send_keys(str(empty))
    live.until("return document.getElementById('bar-mistakes')")
    assert "empty.svg" in live.text("#bar-mistakes")
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

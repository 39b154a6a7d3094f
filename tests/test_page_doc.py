"""``docs/page.md`` tells of what is there: its pictures, buttons, keys and messages."""

import ast
import re
import struct
from pathlib import Path
from typing import Final

import pytest
from doc_examples import DOCS, PICTURES, ROOT
from page_pictures import PICTURED

from edgefinder.page.desk import MOST_STEPS
from edgefinder.page.exports import KINDS
from edgefinder.page.serving import HOST, IDLE_S

PAGE: Final = (DOCS / "page.md").read_text("utf-8")
TROUBLE: Final = (DOCS / "troubleshooting.md").read_text("utf-8")
STATIC: Final = ROOT / "edgefinder" / "page" / "static"
MOST_BYTES: Final = 120_000
IMAGE: Final = re.compile(r"!\[(.+)\]\(pictures/([^)]+)\)")
PNG: Final = b"\x89PNG\r\n\x1a\n"
"""Signature of a PNG; then come the chunk IHDR, width and height (W3C PNG, 5.2, 11)."""


def one_line(text: str) -> str:
    return " ".join(text.split())


def static(name: str) -> str:
    """A file of the front, texts that are put together read as one."""
    return re.sub(r'"\s*\+\s*"', "", (STATIC / name).read_text("utf-8"))


def python_texts(path: Path) -> list[str]:
    """The texts in a module, each as one; three dots for what is put into them."""
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.append(node.value)
        elif isinstance(node, ast.JoinedStr):
            parts = (
                str(one.value) if isinstance(one, ast.Constant) else "..."
                for one in node.values
            )
            found.append("".join(parts))
    return found


def test_the_pictures_are_those_that_the_script_makes() -> None:
    shown = [name for _, name in IMAGE.findall(PAGE)]

    assert sorted(shown) == sorted(PICTURED)
    assert {path.name for path in PICTURES.glob("*.png")} == {*PICTURED}
    assert all(len(said) > 20 for said, _ in IMAGE.findall(PAGE))


@pytest.mark.parametrize("name", PICTURED)
def test_a_picture_is_a_small_png_of_its_size(name: str) -> None:
    data = (PICTURES / name).read_bytes()

    assert data[:8] == PNG
    assert data[12:16] == b"IHDR"
    assert struct.unpack(">II", data[16:24]) == PICTURED[name]
    assert len(data) < MOST_BYTES


@pytest.mark.parametrize(
    ("button", "file"),
    [
        ("These sizes are right", "first_step.js"),
        ("Take several", "page.html"),
        ("What the lines mean", "page.html"),
        ("Skip to the lists", "page.html"),
        ("Done", "page.html"),
        ("Fit", "page.html"),
        ("Files", "page.html"),
        ("a new run", "actions.js"),
        ("in run", "actions.js"),
        ("Name or split this edge", "actions.js"),
        ("Try another finished width", "width_slider.js"),
        ("Use this width", "width_slider.js"),
        ("New cloth", "cloth_panel.js"),
        ("Save again", "notices.js"),
        ("Not saved", "head_line.js"),
        *((tab, "tabs.js") for tab in ("Edges", "Runs", "Figures", "Findings")),
        ("Tapes and cloth", "tabs.js"),
    ],
)
def test_what_is_pressed_is_called_so_on_the_page(button: str, file: str) -> None:
    assert f"*{button}*" in one_line(PAGE)
    assert button in static(file)


def test_the_letters_are_those_of_the_page() -> None:
    letters = dict(
        re.findall(r'^  (\w): "(\w+)"', static("finish_keys.js"), re.MULTILINE)
    )
    row = next(line for line in PAGE.splitlines() if "chosen edges are" in line)

    assert re.findall(r"`(\w)`", row) == list(letters)
    assert re.findall(r"\w+", row.split("are ")[1]) == list(letters.values())


def test_every_file_that_is_handed_out_is_told() -> None:
    told = PAGE.split("### 8.")[1].split("###", maxsplit=1)[0]
    words = {
        "html": "HTML",
        "pdf": "PDF",
        "xlsx": "spreadsheet",
        "csv": "CSV",
        "charts": "cutting charts",
    }

    assert {*words} == {*KINDS}
    assert all(word in told for word in words.values())


def test_what_is_said_of_the_server_is_so() -> None:
    text = one_line(PAGE)

    assert f"`{HOST}`" in text
    assert IDLE_S == 30 * 60
    assert "uses for half an hour" in text
    assert f"over {MOST_STEPS} changes" in text
    assert "LOOK_MS = 2000" in static("main.js")
    assert "within two seconds" in text


def test_messages_are_quoted_as_they_are_written() -> None:
    section = TROUBLE.split("\n## The page\n")[1].split("\n## ")[0]
    quoted = re.findall(
        r"^- \*(.+?)\*:", one_line(section).replace(" - *", "\n- *"), re.MULTILINE
    )
    paths = [
        *(ROOT / "edgefinder" / "page").glob("*.py"),
        ROOT / "edgefinder/cli/page.py",
    ]
    texts = [one_line(text) for path in paths for text in python_texts(path)]
    texts += [one_line(static(path.name)) for path in STATIC.glob("*.js")]

    assert len(quoted) >= 8
    for said in quoted:
        part = said.strip(". ")
        assert any(part in text for text in texts), said

"""Releases made for the tests of pictures, the sheet, marks and words."""

import random
from html import escape
from pathlib import Path
from typing import Final

import numpy as np

from edgefinder.schedule.release import Release, release_from_file

HOSTILE: Final = (
    "<script>alert(1)</script>",
    '"onload="alert(1)',
    "'><img src=x onerror=alert(1)>",
    "=cmd|' /C calc'!A0",
    "{{ 7 * 7 }}{% for x in y %}",
    "]]></title></style></svg>",
    "裁断図面裁断図面裁断図面 ﷽",
)
"""Names that would be more than text, wherever they are not written as text."""

TAPES: Final = """
[[tapes]]
name = "main"
finished_width = "9 mm"
"""


def toml_text(text: str) -> str:
    """Write a text as a TOML string."""
    inside = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{inside}"'


def write_drawing(folder: Path, body: str, name: str = "a.svg") -> Path:
    """Write an SVG of 2 m by 2 m in millimetres."""
    path = folder / name
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" '
        f'viewBox="0 0 2000 2000">\n{body}\n</svg>\n',
        encoding="utf-8",
    )
    return path


def write_job(folder: Path, text: str, drawing: str = "a.svg") -> Path:
    """Write a job file for a drawing beside it."""
    path = folder / "a.toml"
    path.write_text(f'drawings = ["{drawing}"]\n{text}', encoding="utf-8")
    return path


def made(folder: Path, body: str, text: str) -> Release:
    """Write a drawing and its job, and return the release."""
    write_drawing(folder, body)
    return release_from_file(write_job(folder, TAPES + text))


def run_of(name: str, *edges: str, more: str = "") -> str:
    """Write a run of the main tape."""
    words = ", ".join(toml_text(edge) for edge in edges)
    head = f'[[runs]]\nname = {toml_text(name)}\ntape = "main"'
    return f"\n{head}\nedges = [{words}]\n{more}"


def outline(path: str, name: str) -> str:
    """Draw an outline with a name."""
    title = f"<title>{escape(name)}</title>"
    return f'<path d="{path}" fill="none" stroke="#000">{title}</path>'


def random_outline(seed: int, at: complex) -> tuple[str, int]:
    """Draw a piece of 3 to 12 curved edges around a point; return it and the count."""
    chance = random.Random(seed)  # noqa: S311 - the same pieces every time
    count = chance.randint(3, 12)
    size = chance.uniform(60, 280)
    turns = np.sort(
        [2 * np.pi * (i + chance.uniform(-0.3, 0.3)) / count for i in range(count)]
    )
    corners = [
        at + size * chance.uniform(0.45, 1.0) * complex(np.cos(t), np.sin(t))
        for t in turns.tolist()
    ]
    words = [f"M {corners[0].real:.3f} {corners[0].imag:.3f}"]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        bulge = 1j * (end - start) * chance.uniform(-0.25, 0.25)
        points = (start + (end - start) / 3 + bulge, end - (end - start) / 3 + bulge)
        curve = " ".join(f"{p.real:.3f} {p.imag:.3f}" for p in (*points, end))
        words.append(f"C {curve}")
    return " ".join([*words, "Z"]), count


def random_release(folder: Path, seed: int) -> Release:
    """Make a pattern of one random piece, a random half of its edges bound."""
    chance = random.Random(seed)  # noqa: S311
    path, _ = random_outline(seed, 600 + 600j)
    write_drawing(folder, outline(path, f"piece {seed}"))
    tape = TAPES.replace("9 mm", chance.choice(["6 mm", "12 mm", "20 mm"]))
    alone = release_from_file(
        write_job(folder, tape + run_of("one", f"piece {seed} 1"))
    )
    numbers = [edge.number for edge in alone.sizes[0].tagged.pieces[0].piece.edges]
    chosen = [n for n in numbers if chance.random() < 0.5] or numbers[:1]
    text = "".join(run_of(f"run {n}", f"piece {seed} {n}") for n in chosen)
    return release_from_file(write_job(folder, tape + text))


def large_job(folder: Path, pieces: int, sizes: int) -> Path:
    """Write a pattern of many random pieces in many sizes, an edge of each bound."""
    body = []
    for size in range(sizes):
        body.append(f'<g id="size-{size}">')
        for piece in range(pieces):
            at = complex(700 * piece, 700 * size)
            path, _ = random_outline(piece, at)
            body.append(f'<path d="{path}"><title>no {piece} a</title></path>')
        body.append("</g>")
    wide, high = 700 * (pieces + 1), 700 * (sizes + 1)
    (folder / "a.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="-350 -350 {wide} {high}">{"".join(body)}</svg>',
        "utf-8",
    )
    runs = "".join(
        f'[[runs]]\nname = "r{piece}"\ntape = "main"\nedges = ["no {piece} a 1"]\n'
        for piece in range(pieces)
    )
    tape = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
    job = folder / "a.toml"
    job.write_text(f'drawings = ["a.svg"]\n{tape}{runs}', "utf-8")
    return job


def hostile_release(folder: Path) -> Release:
    """Make a pattern whose piece, edges, tape, runs and job have hostile names.

    The job and the second run are both called what a spreadsheet would run.
    """
    piece, edge, run, job, cloth = HOSTILE[:5]
    path = "M 100 100 L 400 100 A 60 60 0 0 1 460 160 L 460 400 L 100 400 Z"
    write_drawing(folder, outline(path, piece))
    text = f"""name = {toml_text(job)}
[fabric]
cloth = {toml_text(cloth)}
[[cloths]]
name = {toml_text(cloth)}
stretch_limit_percent = 18
stretch_ok_percent = 8
ease_ok_percent = 3
ease_limit_percent = 5
[[tapes]]
name = {toml_text(HOSTILE[5])}
finished_width = "9 mm"
[[pieces]]
name = {toml_text(piece)}
edge_names = {{ {toml_text(edge)} = "1", {toml_text(HOSTILE[6])} = "2" }}
[[runs]]
name = {toml_text(run)}
tape = {toml_text(HOSTILE[5])}
edges = [{toml_text(f"{piece} 1")}, {toml_text(f"{piece} 2")}]
[[runs]]
name = {toml_text(job)}
tape = {toml_text(HOSTILE[5])}
edges = [{toml_text(f"{piece} 3")}]
"""
    return release_from_file(write_job(folder, text))

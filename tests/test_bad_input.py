"""Drawings that cannot be right: one line for each mistake, and nothing else.

Every command ends with exit code 2, says what it found on standard error, prints
nothing on standard output and leaves the folder as it was.
"""

import gzip
import os
import random
import zipfile
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from command_line import (
    DEMO,
    TAPE,
    dxf,
    job,
    polyline,
    rectangle,
    run,
    start,
    unchanged,
)

RANDOM = random.Random(7)  # noqa: S311 - the same garbage every time
GARBAGE = bytes(RANDOM.randrange(256) for _ in range(5000))
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="9cm" height="9cm">{}</svg>'

WRONG_FORMATS = {
    "empty": b"",
    "png": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + GARBAGE,
    "jpeg": b"\xff\xd8\xff\xe0\x00\x10JFIF" + GARBAGE,
    "pdf": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<< /Type /Catalog >>\nendobj\n",
    "html": b"<!DOCTYPE html><html><body><svg></svg><br></body></html>",
    "plain text": b"front 1 is bound\n",
    "random bytes": GARBAGE,
    "zeros": bytes(4096),
    "utf-16 text": "front".encode("utf-16"),
    "gzip of garbage": gzip.compress(GARBAGE, mtime=0),
    "gzip cut off": gzip.compress(SVG.format(rectangle()).encode(), mtime=0)[:-9],
    "json": b'{"pieces": []}',
}
DRAWING_COMMANDS = ("lines", "edges", "new")
JOB_COMMANDS = ("edges", "curves", "schedule")


def through_a_job(folder: Path, drawing: Path, command: str) -> list[str]:
    """Name a drawing in a job file, and run a command that must fail on it."""
    path = job(folder, TAPE)
    text = path.read_text(encoding="utf-8").replace("apron.svg", drawing.name)
    path.write_text(text, encoding="utf-8")
    return unchanged(folder, command, path)


# Files that are no drawings


@pytest.mark.parametrize("ending", [".svg", ".dxf", ".txt", ""])
@pytest.mark.parametrize("content", WRONG_FORMATS.values(), ids=list(WRONG_FORMATS))
def test_a_file_of_another_format_is_one_line(
    tmp_path: Path, content: bytes, ending: str
) -> None:
    path = tmp_path / f"apron{ending}"
    path.write_bytes(content)

    for command in DRAWING_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert path.name in error
    for command in JOB_COMMANDS:
        (error,) = through_a_job(tmp_path, path, command)
        assert path.name in error


@pytest.mark.parametrize("content", WRONG_FORMATS.values(), ids=list(WRONG_FORMATS))
def test_a_job_file_of_another_format_is_one_line(
    tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "apron.toml"
    path.write_bytes(content)

    for command in JOB_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert error.startswith(f"{path}: ")


def test_a_zip_archive_is_one_line(tmp_path: Path) -> None:
    path = tmp_path / "apron.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("apron.svg", SVG.format(rectangle()))

    for command in DRAWING_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert error.startswith(f"{path}: ")


@pytest.mark.parametrize("command", [*DRAWING_COMMANDS, "curves", "schedule"])
def test_a_file_that_is_not_there_gets_a_suggestion(
    tmp_path: Path, command: str
) -> None:
    (tmp_path / "apron.svg").write_text("", encoding="utf-8")

    (error,) = unchanged(tmp_path, command, tmp_path / "aprn.svg")

    assert error == (
        f'{tmp_path / "aprn.svg"}: there is no such file; did you mean "apron.svg"?'
    )


def test_a_file_in_a_folder_that_is_not_there_is_one_line(tmp_path: Path) -> None:
    (error,) = unchanged(tmp_path, "lines", tmp_path / "no" / "such" / "apron.svg")

    assert error.endswith(": there is no such file")


@pytest.mark.parametrize("command", [*DRAWING_COMMANDS, "curves", "schedule"])
@pytest.mark.parametrize("ending", ["svg", "dxf", "toml"])
def test_a_folder_is_no_file(tmp_path: Path, command: str, ending: str) -> None:
    path = tmp_path / f"apron.{ending}"
    path.mkdir()

    (error,) = unchanged(tmp_path, command, path)

    assert error == f"{path}: is a folder; name a file in it"


@pytest.mark.parametrize("command", [*DRAWING_COMMANDS, "curves", "schedule"])
def test_a_named_pipe_does_not_hang(tmp_path: Path, command: str) -> None:
    path = tmp_path / "apron.svg"
    os.mkfifo(path)

    ended = start(command, path)  # has a time limit

    assert (ended.returncode, ended.stdout) == (2, b"")
    assert ended.stderr.decode() == (
        f"error: {path}: is not a regular file; save it to disk first\n"
    )


@pytest.mark.parametrize("command", [*DRAWING_COMMANDS, "curves", "schedule"])
def test_a_device_is_no_file(tmp_path: Path, command: str) -> None:
    (error,) = unchanged(tmp_path, command, os.devnull)

    assert "is not a regular file" in error


def test_a_link_to_itself_is_one_line(tmp_path: Path) -> None:
    path = tmp_path / "apron.svg"
    path.symlink_to(path)

    for command in DRAWING_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert error.startswith(f"{path}: cannot be read: ")


# SVG


@pytest.mark.parametrize("share", [0.001, 0.1, 0.5, 0.9, 0.999])
def test_a_truncated_svg_is_one_line(tmp_path: Path, share: float) -> None:
    whole = (DEMO / "orchard-apron.svg").read_bytes()
    path = tmp_path / "apron.svg"
    path.write_bytes(whole[: int(len(whole) * share)])

    for command in DRAWING_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert error.startswith("apron.svg: line ")
    for command in JOB_COMMANDS:
        (error,) = through_a_job(tmp_path, path, command)
        assert error.startswith("apron.svg: line ")


HOSTILE_SVG = {
    "entity bomb": (
        '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
        + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in pairwise("abcdefghij"))
        + "]>"
        + SVG.format("<text>&j;</text>")
    ),
    "external entity": (
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>'
        + SVG.format("<text>&x;</text>")
    ),
    "parameter entity": (
        '<!DOCTYPE svg [<!ENTITY % x SYSTEM "file:///etc/hostname"> %x;]>'
        + SVG.format("")
    ),
    "undeclared entity": SVG.format("<text>&x;</text>"),
    "deep nesting": SVG.format("<g>" * 5000 + "</g>" * 5000),
    "deep foreign nesting": SVG.format(
        '<a xmlns="x">' + "<b>" * 5000 + "</b>" * 5000 + "</a>"
    ),
    "nan": SVG.format('<path d="M 0 0 L nan 10 L 10 10 Z"/>'),
    "infinite": SVG.format('<path d="M 0 0 L 1e999 10 L 10 10 Z"/>'),
    "too large": SVG.format('<path d="M 0 0 L 1e300 10 L 10 10 Z"/>'),
    "nan rectangle": SVG.format('<rect width="nan" height="10"/>'),
    "infinite circle": SVG.format('<circle r="inf"/>'),
    "path data cut off": SVG.format('<path d="M 0 0 H 90 V 90 C 1 2 3"/>'),
    "path data of words": SVG.format('<path d="front neck"/>'),
    "transform of words": SVG.format('<g transform="up">' + rectangle() + "</g>"),
    "nan transform": SVG.format('<g transform="scale(nan)">' + rectangle() + "</g>"),
    "use of itself": SVG.format('<g id="a"><use href="#a"/>' + rectangle() + "</g>"),
    "no closed outline": SVG.format("<text>front</text>"),
    "nothing": SVG.format(""),
    "two roots": SVG.format("") + SVG.format(""),
    "control characters": SVG.format("<text>\x1b[2J</text>"),
    "unknown encoding": '<?xml version="1.0" encoding="x-no"?>' + SVG.format(""),
    "only an open line": SVG.format('<path d="M 0 0 H 100 V 100"/>'),
    "only points": SVG.format('<path d="M 5 5 L 5 5 Z"/>'),
    "no area": SVG.format('<path d="M 5 5 H 90 Z"/>'),
    "negative size": '<svg xmlns="http://www.w3.org/2000/svg" width="-1mm" '
    'height="1mm" viewBox="0 0 1 1">' + rectangle() + "</svg>",
}


@pytest.mark.parametrize("command", ["edges", "new"])
@pytest.mark.parametrize("text", HOSTILE_SVG.values(), ids=list(HOSTILE_SVG))
def test_a_hostile_or_broken_svg_is_refused_line_by_line(
    tmp_path: Path, text: str, command: str
) -> None:
    path = tmp_path / "apron.svg"
    path.write_text(text, encoding="utf-8")

    errors = unchanged(tmp_path, command, path)

    assert all(error.startswith("apron.svg: ") for error in errors)


@pytest.mark.parametrize("text", HOSTILE_SVG.values(), ids=list(HOSTILE_SVG))
def test_no_svg_makes_lines_or_a_schedule_crash(tmp_path: Path, text: str) -> None:
    path = tmp_path / "apron.svg"
    path.write_text(text, encoding="utf-8")

    lines = run("lines", path)

    assert lines.exit_code in {0, 2}
    assert (lines.out == "") == (lines.exit_code == 2)
    assert through_a_job(tmp_path, path, "schedule")


def test_every_mistake_in_an_svg_is_a_line_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "apron.svg"
    path.write_text(
        SVG.format('\n<path d="M 0 0 L nan 1"/>\n<path d="M 0 0 H"/>\n'),
        encoding="utf-8",
    )

    errors = unchanged(tmp_path, "lines", path)

    assert [error.split(": ")[1] for error in errors] == ["line 2", "line 3"]


# DXF


def loop_of_blocks() -> list[object]:
    """Two blocks that contain each other."""
    groups: list[object] = []
    for name, other in ("AB", "BA"):
        groups += [0, "BLOCK", 8, "0", 2, name, 70, 0, 10, 0, 20, 0]
        groups += [0, "INSERT", 8, "0", 2, other, 10, 0, 20, 0, 0, "ENDBLK", 8, "0"]
    return groups


INSERT = [0, "INSERT", 8, "0", 2, "A", 10, 0, 20, 0]
HOSTILE_DXF: dict[str, Callable[[Path], Path]] = {
    "no entities": lambda folder: dxf(folder, []),
    "only text": lambda folder: dxf(
        folder, [0, "TEXT", 8, "a", 10, 0, 20, 0, 40, 5, 1, "front"]
    ),
    "nan": lambda folder: dxf(folder, polyline("a", ((0, 0), ("nan", 0), (9, 9)))),
    "infinite": lambda folder: dxf(
        folder, polyline("a", ((0, 0), ("1e999", 0), (9, 9)))
    ),
    "no number": lambda folder: dxf(
        folder, polyline("a", ((0, 0), ("front", 0), (9, 9)))
    ),
    "cyclic blocks": lambda folder: dxf(folder, INSERT, blocks=loop_of_blocks()),
    "missing block": lambda folder: dxf(folder, INSERT),
    "only an open line": lambda folder: dxf(
        folder, [0, "LINE", 8, "a", 10, 0, 20, 0, 11, 300, 21, 0]
    ),
    "no area": lambda folder: dxf(folder, polyline("a", ((0, 0), (100, 0)))),
}


@pytest.mark.parametrize("command", ["edges", "new"])
@pytest.mark.parametrize("write", HOSTILE_DXF.values(), ids=list(HOSTILE_DXF))
def test_a_hostile_or_broken_dxf_is_refused_line_by_line(
    tmp_path: Path, write: Callable[[Path], Path], command: str
) -> None:
    path = write(tmp_path)

    errors = unchanged(tmp_path, command, path)

    assert all("apron.dxf" in error for error in errors)


@pytest.mark.parametrize("write", HOSTILE_DXF.values(), ids=list(HOSTILE_DXF))
def test_no_dxf_makes_lines_or_a_schedule_crash(
    tmp_path: Path, write: Callable[[Path], Path]
) -> None:
    path = write(tmp_path)

    lines = run("lines", path)

    assert lines.exit_code in {0, 2}
    assert (lines.out == "") == (lines.exit_code == 2)
    assert through_a_job(tmp_path, path, "schedule")


@pytest.mark.parametrize(
    "content",
    [
        b"AutoCAD Binary DXF\r\n\x1a\x00" + GARBAGE,
        b"AutoCAD Binary DXF\r\n\x1a\x00",
        b"0\nSECTION\n2\nENTITIES\n" + GARBAGE,
        b"0\nSECTION\n" * 500,
        b"0\nEOF\n",
        b"0\nSECTION",
    ],
    ids=["binary", "binary head", "garbage", "sections", "end", "begin"],
)
def test_garbage_that_begins_like_a_dxf_is_refused(
    tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "apron.dxf"
    path.write_bytes(content)

    for command in DRAWING_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert "apron.dxf" in error


def test_a_dxf_that_ends_in_the_middle_of_its_drawing_is_refused(
    tmp_path: Path,
) -> None:
    path = dxf(tmp_path, [*polyline("1"), *polyline("2")])
    whole = path.read_bytes()
    path.write_bytes(whole[: whole.rindex(b"AcDbPolyline")])

    (error,) = unchanged(tmp_path, "edges", path)

    assert "is cut short: it ends in the middle of its drawing" in error
    assert run("lines", path).exit_code == 0


@pytest.mark.parametrize("percent", [1, 10, 30, 50, 70, 80, 85, 90, 95, 99])
@pytest.mark.parametrize("name", ["orchard-apron.dxf", "puddle-smock.dxf"])
def test_a_truncated_dxf_is_refused_or_said_to_be_cut(
    tmp_path: Path, name: str, percent: int
) -> None:
    whole = (DEMO / name).read_bytes()
    path = tmp_path / "apron.dxf"
    path.write_bytes(whole[: len(whole) * percent // 100])

    for command in ("lines", "edges"):
        said = run(command, path)
        assert (said.exit_code, said.out == "") in {(0, False), (2, True)}
        assert said.exit_code == 2 or "cut short" in said.err

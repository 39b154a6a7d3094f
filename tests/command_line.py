"""Running commands as they are typed, for the tests of the command line."""

import json
import os
import subprocess
import sys
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final

from click.testing import CliRunner

from edgefinder.cli.main import main

DEMO: Final = Path(__file__).resolve().parents[1] / "fixtures" / "demo"
APRON: Final = DEMO / "orchard-apron.toml"
SMOCK: Final = DEMO / "puddle-smock.toml"
SVG_FIXTURES: Final = DEMO.parent / "svg"
DXF_FIXTURES: Final = DEMO.parent / "dxf"

COLUMNS: Final = 80
TOP_KEYS: Final = ("schema", "tool", "version", "units", "findings")
"""What every JSON result begins with."""

TAPE: Final = """
[[tapes]]
name = "main"
finished_width = "9 mm"
"""

MILLIMETRES: Final = 4
"""$INSUNITS of the DXF drawings written here."""

SQUARE: Final = ((0, 0), (200, 0), (200, 100), (0, 100))


@dataclass(frozen=True, slots=True)
class Said:
    """How a command ended, and what it wrote where."""

    exit_code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Standard output as JSON."""
        return json.loads(self.out)

    @property
    def errors(self) -> list[str]:
        """Standard error line by line, when every line is an error."""
        lines = self.err.splitlines()
        assert lines
        assert all(line.startswith("error: ") for line in lines), self.err
        return [line.removeprefix("error: ") for line in lines]


def run(*arguments: str | Path) -> Said:
    """Run a command in this process; a traceback fails the test."""
    result = CliRunner(env={"COLUMNS": str(COLUMNS)}).invoke(
        main,
        [str(a) for a in arguments],
        prog_name="edgefinder",
        catch_exceptions=False,
    )
    return Said(result.exit_code, result.stdout, result.stderr)


def refused(*arguments: str | Path) -> list[str]:
    """Run a command that must fail in the agreed way, and return its errors."""
    said = run(*arguments)
    assert (said.exit_code, said.out) == (2, ""), said
    return said.errors


def usage_error(*arguments: str | Path) -> str:
    """Run a command that is typed wrongly, and return what is said of it."""
    said = run(*arguments)
    assert (said.exit_code, said.out) == (2, ""), said
    assert said.err.startswith("Usage: edgefinder ")
    last = said.err.splitlines()[-1]
    assert last.startswith("Error: ")
    return last


def start(
    *arguments: str | Path,
    environment: Mapping[str, str] | None = None,
    folder: Path | None = None,
    stdout: int | IO[bytes] = subprocess.PIPE,
) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a process of its own, with a time limit."""
    return subprocess.run(  # noqa: S603 - this interpreter, our own package
        [sys.executable, "-m", "edgefinder", *map(str, arguments)],
        env={**os.environ, **(environment or {})},
        cwd=folder,
        stdout=stdout,
        stderr=subprocess.PIPE,
        timeout=60,
        check=False,
    )


def contents(folder: Path) -> dict[str, bytes | None]:
    """Return everything below a folder: bytes of files, None for what is none."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


def unchanged(folder: Path, *arguments: str | Path) -> list[str]:
    """Run a command that must fail, and check that the folder is as it was."""
    before = contents(folder)
    errors = refused(*arguments)
    assert contents(folder) == before
    assert_printable("\n".join(errors))
    return errors


def sheet(folder: Path, outlines: str, name: str = "apron.svg") -> Path:
    """Write an SVG drawing in millimetres."""
    path = folder / name
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" '
        f'viewBox="0 0 1000 1000">{outlines}</svg>',
        encoding="utf-8",
    )
    return path


def rectangle(name: str = "pocket", at: tuple[int, int] = (10, 10)) -> str:
    """An outline of 200 mm by 100 mm with a name that is written as XML."""
    x, y = at
    return (
        f'<rect x="{x}" y="{y}" width="200" height="100"><title>{name}</title></rect>'
    )


def job(folder: Path, text: str, name: str = "apron.toml") -> Path:
    """Write a job file for ``apron.svg``."""
    path = folder / name
    path.write_text(f'drawings = ["apron.svg"]\n{text}', encoding="utf-8")
    return path


def dxf(
    folder: Path,
    entities: Sequence[object],
    *,
    blocks: Sequence[object] = (),
    name: str = "apron.dxf",
) -> Path:
    """Write a DXF of millimetres from its groups, code and value by turns."""
    header = (9, "$ACADVER", 1, "AC1021", 9, "$INSUNITS", 70, MILLIMETRES)
    groups: list[object] = []
    for section, content in (
        ("HEADER", header),
        ("BLOCKS", blocks),
        ("ENTITIES", entities),
    ):
        groups += [0, "SECTION", 2, section, *content, 0, "ENDSEC"]
    path = folder / name
    path.write_text("\n".join(map(str, [*groups, 0, "EOF"])) + "\n", encoding="utf-8")
    return path


def polyline(
    layer: str, points: Sequence[tuple[object, object]] = SQUARE
) -> list[object]:
    """The groups of a closed polyline."""
    groups: list[object] = [0, "LWPOLYLINE", 100, "AcDbEntity", 8, layer]
    groups += [100, "AcDbPolyline", 90, len(points), 70, 1]
    for x, y in points:
        groups += [10, x, 20, y]
    return groups


def assert_printable(text: str) -> None:
    """Check that nothing but line ends moves a cursor or changes a terminal."""
    assert all(c.isprintable() for c in text.replace("\n", "")), ascii(text)


def assert_fits(text: str) -> None:
    """Check that no line is wider than a page."""
    for line in text.splitlines():
        width = sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in line)
        assert width <= COLUMNS, line

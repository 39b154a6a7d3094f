"""What a command loads: nobody waits for libraries that are not needed."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import DEMO, DXF_FIXTURES, job, rectangle, sheet

from edgefinder.cli.main import COMMANDS

LIBRARIES = frozenset(
    {
        *("numpy", "shapely", "svgpathtools", "ezdxf", "scipy", "tomlkit", "click"),
        *("tinycss2", "cssselect2", "platformdirs"),
    }
)
CODE = """
import json, sys
from edgefinder.cli.main import main
try:
    main(json.loads(sys.argv[1]), prog_name="edgefinder")
except SystemExit as end:
    assert end.code in (0, None), end.code
print(json.dumps(sorted(sys.modules)), file=sys.stderr)
"""


def loaded_by(*arguments: str | Path) -> set[str]:
    """Run a command in a new interpreter and return the modules that it loaded."""
    ended = subprocess.run(  # noqa: S603 - this interpreter, our own code
        [sys.executable, "-c", CODE, json.dumps([str(a) for a in arguments])],
        capture_output=True,
        timeout=60,
        check=True,
    )
    return set(json.loads(ended.stderr.decode().splitlines()[-1]))


def libraries_of(*arguments: str | Path) -> set[str]:
    """Return the libraries from elsewhere that a command loaded."""
    return loaded_by(*arguments) & LIBRARIES


@pytest.mark.parametrize("flag", ["--help", "--version"])
def test_the_help_page_waits_for_no_library_but_click(flag: str) -> None:
    assert libraries_of(flag) == {"click"}


@pytest.mark.parametrize("name", list(COMMANDS))
def test_the_help_page_of_a_command_waits_for_no_library_either(name: str) -> None:
    assert libraries_of(name, "--help") == {"click"}


def test_the_help_page_loads_none_of_the_commands() -> None:
    modules = loaded_by("--help")

    assert not [name for name in COMMANDS if f"edgefinder.cli.{name}" in modules]


def test_the_schedule_of_an_svg_job_needs_neither_the_dxf_library_nor_scipy() -> None:
    libraries = libraries_of("schedule", DEMO / "orchard-apron.toml")

    assert libraries == {"click", "numpy", "shapely", "platformdirs"}


def test_a_colour_number_waits_for_the_dxf_library_and_other_colours_do_not(
    tmp_path: Path,
) -> None:
    sheet(tmp_path, rectangle())
    by_name = job(tmp_path, 'ignore = "colour:red"\n', "name.toml")
    by_number = job(tmp_path, 'ignore = "colour:1"\n', "number.toml")

    assert "ezdxf" not in libraries_of("edges", by_name)
    assert "ezdxf" in libraries_of("edges", by_number)


def test_the_schedule_of_a_dxf_job_does_not_need_the_svg_library() -> None:
    libraries = libraries_of("schedule", DEMO / "puddle-smock.toml")

    assert "ezdxf" in libraries
    assert not libraries & {"svgpathtools", "scipy", "tomlkit"}


@pytest.mark.parametrize("name", ["mirrored-insert.dxf", "periodic-spline.dxf"])
def test_listing_the_lines_of_a_dxf_does_not_need_the_svg_library(name: str) -> None:
    assert not libraries_of("lines", DXF_FIXTURES / name) & {"svgpathtools", "scipy"}


def test_lines_do_not_need_what_only_pieces_need(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle())

    assert libraries_of("lines", drawing) == {"click", "numpy"}


def test_fabric_is_worked_out_without_geometry() -> None:
    libraries = libraries_of("fabric", "--length", "4 yd", "--cut-width", "2 in")

    assert not libraries & {"shapely", "svgpathtools", "ezdxf", "scipy", "tomlkit"}


def test_a_job_file_of_paths_and_arcs_is_read_without_scipy(tmp_path: Path) -> None:
    arc = '<path d="M 10 10 H 210 A 100 100 0 0 1 110 110 C 90 110 20 60 10 10 Z"/>'
    sheet(tmp_path, arc)
    path = job(tmp_path, "")

    assert not libraries_of("edges", path) & {"scipy", "ezdxf", "tomlkit"}


def test_a_swatch_is_worked_out_without_geometry_or_a_list() -> None:
    libraries = libraries_of("swatch", "--marked", "100mm", "--stretched", "118mm")

    assert libraries == {"click", "numpy"}

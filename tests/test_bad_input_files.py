"""Every broken or hostile drawing of `bad_input` ends as it must.

Through the reader: an error of ours of one line, or a drawing. Through the command
line: exit code 2 and one line on standard error, or exit code 0. Those that are meant
to use up time or memory get ten seconds and two gigabytes in a process of their own.
"""

import os
import re
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from bad_input.case import READS, Case
from bad_input.dxf_cases import DXF_CASES
from bad_input.file_cases import FILE_CASES, SVG
from bad_input.svg_cases import SVG_CASES
from command_line import run

from edgefinder.errors import EdgefinderError
from edgefinder.importers.formats import read_drawing

CASES = (*FILE_CASES, *SVG_CASES, *DXF_CASES)
LIGHT = [case for case in CASES if not case.is_heavy]
HEAVY = [case for case in CASES if case.is_heavy]

SECONDS = 10
BYTES = 2 * 2**30

NOBODY = 65534


def names(cases: list[Case]) -> list[str]:
    return [case.name for case in cases]


def said(path: Path) -> tuple[str, ...]:
    """What the reader says against a file; nothing if it reads it."""
    try:
        read_drawing(path)
    except EdgefinderError as error:
        return error.messages
    return ()


def assert_says(case: Case, messages: list[str], folder: Path) -> None:
    if case.says == READS:
        assert messages == []
        return
    (message,) = messages
    assert re.search(case.says, message.replace(str(folder), ""))
    assert message.isprintable()


def test_there_are_many_and_each_has_a_name_of_its_own() -> None:
    assert len(CASES) >= 40
    assert len({case.name for case in CASES}) == len(CASES)


@pytest.mark.parametrize("case", LIGHT, ids=names(LIGHT))
def test_the_reader_says_one_line_or_reads(tmp_path: Path, case: Case) -> None:
    path = case.make(tmp_path)

    assert_says(case, list(said(path)), tmp_path)


@pytest.mark.parametrize("case", LIGHT, ids=names(LIGHT))
def test_the_command_line_says_one_line_or_reads(tmp_path: Path, case: Case) -> None:
    path = case.make(tmp_path)
    before = sorted(tmp_path.iterdir())

    done = run("lines", str(path))

    if case.says == READS:
        assert done.exit_code == 0
        assert "Traceback" not in done.err
    else:
        assert done.exit_code == 2
        assert done.out == ""
        assert_says(case, done.errors, tmp_path)
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize("case", HEAVY, ids=names(HEAVY))
def test_what_is_heavy_ends_in_time_and_in_little_memory(
    tmp_path: Path, case: Case
) -> None:
    path = case.make(tmp_path)
    code = (
        "import resource, sys\n"
        "from edgefinder.cli.main import main\n"
        f"resource.setrlimit(resource.RLIMIT_CPU, ({SECONDS}, {SECONDS}))\n"
        f"resource.setrlimit(resource.RLIMIT_DATA, ({BYTES}, {BYTES}))\n"
        "main(['-q', 'lines', sys.argv[1]])\n"
    )

    done = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-c", code, str(path)],
        capture_output=True,
        text=True,
        check=False,
        timeout=10 * SECONDS,  # other work may take the processor
        cwd=Path(__file__).parent.parent,
    )

    if case.says == READS:
        assert done.returncode == 0, done.stderr
    else:
        assert done.returncode == 2, done.stderr
        lines = done.stderr.splitlines()
        assert all(line.startswith("error: ") for line in lines)
        assert_says(case, [line.removeprefix("error: ") for line in lines], tmp_path)


def test_the_limit_of_memory_holds() -> None:
    """What takes more than two gigabytes fails, so that the tests above mean it."""
    code = (
        "import resource\n"
        f"resource.setrlimit(resource.RLIMIT_DATA, ({BYTES}, {BYTES}))\n"
        f"bytearray({BYTES})\n"
    )

    done = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )

    assert "MemoryError" in done.stderr
    assert resource.getrlimit(resource.RLIMIT_DATA)[0] != BYTES


@pytest.mark.parametrize("name", ["front.svg", "front.dxf"])
def test_a_file_without_permission_is_one_line(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(SVG)
    path.chmod(0)
    is_root = os.geteuid() == 0

    if is_root:  # may read everything
        os.seteuid(NOBODY)
    try:
        messages = said(path)
    finally:
        if is_root:
            os.seteuid(0)

    (message,) = messages
    assert message.startswith(f"{path}: cannot be read: Permission denied")

"""Valid drawings of every dialect, damaged at random: nothing but our errors escapes.

A run of the tests tries `EDGEFINDER_FUZZ` drawings for each format, 300 if that is not
set. A reader may read a damaged file, or refuse it in one printable line; anything else
is a mistake of the program. What is read has finite numbers.
"""

import os
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from dialects import (
    DXF_POLYLINE_WRITERS,
    DXF_WRITERS,
    SVG_WRITERS,
    Shape,
    Side,
)
from dxf_drawings import text_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_dxf_versions import VERSIONS, full
from test_dxf_vertices import everything

from edgefinder.errors import EdgefinderError
from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf import document as dxf_document
from edgefinder.importers.formats import read_drawing

COUNT: Final = int(os.environ.get("EDGEFINDER_FUZZ", "300"))

FIXTURES: Final = Path(__file__).parent.parent / "fixtures"

OUTLINE: Final = Shape(
    100 + 0j,
    (
        Side(100 + 90j),
        Side(100j, 0.4),
        Side(0j, handles=(-20 + 60j, 30 + 30j)),
        Side(100),
    ),
)
POLYLINE: Final = Shape(
    100 + 0j, (Side(100 + 90j), Side(100j, 0.4), Side(0j, -0.2), Side(100))
)

SVGS: Final = (
    *(write(OUTLINE) for write in SVG_WRITERS),
    *(
        path.read_bytes()
        for path in sorted((FIXTURES / "svg").glob("*.svg"))
        if "bomb" not in path.name
    ),
    *(path.read_bytes() for path in sorted((FIXTURES / "demo").glob("*.svg"))),
)

DXFS: Final = (
    *(write(OUTLINE) for write in DXF_WRITERS),
    *(write(POLYLINE) for write in DXF_POLYLINE_WRITERS),
    *(text_of(full(version)[0]).encode() for version in VERSIONS),
    *(text_of(everything(version)).encode() for version in ("R12", "R2010")),
    *(path.read_bytes() for path in sorted((FIXTURES / "dxf").glob("*.dxf"))),
    *(path.read_bytes() for path in sorted((FIXTURES / "demo").glob("*.dxf"))),
)

NUMBERS: Final = (
    *(b"nan", b"inf", b"-inf", b"1e308", b"-1e308", b"1e400", b"1e-320", b"0", b"-0"),
    *(b"1e12", b"-1", b"99999999999999999999", b"1.5", b"", b"x", b"0x10", b"1_0"),
    *(b"2147483648", b"65536", b"32767", b"-32768", b"255", b"1e", b"+", b".", b"1,5"),
)

Change = Callable[[random.Random, bytes], bytes]


def flip(chance: random.Random, data: bytes) -> bytes:
    """Change single bytes, a few or many."""
    changed = bytearray(data)
    for _ in range(chance.choice([1, 3, 30])):
        changed[chance.randrange(len(changed))] = chance.randrange(256)
    return bytes(changed)


def cut(chance: random.Random, data: bytes) -> bytes:
    """Leave out the end, the beginning or a stretch."""
    first, last = sorted(chance.randrange(len(data)) for _ in range(2))
    return chance.choice([data[:last], data[first:], data[:first] + data[last:]])


def double(chance: random.Random, data: bytes) -> bytes:
    """Repeat a stretch elsewhere."""
    first = chance.randrange(len(data))
    piece = data[first : first + chance.randrange(1, 2000)]
    at = chance.randrange(len(data))
    return data[:at] + piece * chance.choice([1, 2, 50]) + data[at:]


def swap_tokens(chance: random.Random, data: bytes) -> bytes:
    """Put words in each other's places."""
    tokens = list(re.finditer(rb"[^\s<>=\"',;()]+", data))
    if len(tokens) < 2:
        return data
    for _ in range(chance.choice([1, 2, 10])):
        tokens = list(re.finditer(rb"[^\s<>=\"',;()]+", data))
        one, other = sorted(chance.sample(tokens, 2), key=lambda found: found.start())
        data = b"".join(
            (
                data[: one.start()],
                other[0],
                data[one.end() : other.start()],
                one[0],
                data[other.end() :],
            )
        )
    return data


def swap_lines(chance: random.Random, data: bytes) -> bytes:
    """Drop lines, double them or put them elsewhere."""
    lines = data.split(b"\n")
    for _ in range(chance.choice([1, 2, 10])):
        line = lines.pop(chance.randrange(len(lines)))
        if chance.random() < 0.7 or not lines:
            lines.insert(chance.randrange(len(lines) + 1), line)
    return b"\n".join(lines)


def swap_numbers(chance: random.Random, data: bytes) -> bytes:
    """Replace numbers by others, most of them awkward."""
    found = list(re.finditer(rb"[-+]?\d+\.?\d*(?:e[-+]?\d+)?", data))
    for number in sorted(
        chance.sample(found, min(len(found), chance.choice([1, 2, 20]))),
        key=lambda match: -match.start(),
    ):
        new = chance.choice([*NUMBERS, chance.choice(found)[0]])
        data = data[: number.start()] + new + data[number.end() :]
    return data


CHANGES: Final[tuple[Change, ...]] = (
    flip,
    cut,
    double,
    swap_tokens,
    swap_lines,
    swap_numbers,
)


def damaged(seed: int, sources: tuple[bytes, ...]) -> bytes:
    """Damage one of some drawings, once or a few times."""
    chance = random.Random(seed)  # noqa: S311 - the same damage every time
    data = chance.choice(sources)
    for _ in range(chance.choice([1, 1, 1, 2, 4])):
        data = chance.choice(CHANGES)(chance, data) or b" "
    return data


def assert_reads_or_says_one_line(path: Path) -> None:
    try:
        reading = read_drawing(path)
    except EdgefinderError as error:
        messages = error.messages
        assert messages
        assert all(message and message.isprintable() for message in messages)
        return
    assert_is_fit(reading)


def assert_is_fit(reading: Reading) -> None:
    for line in reading.drawing.lines:
        assert np.isfinite(line.path.segments.control).all()
        assert len(line.path.segments)
        for name in (line.label, line.layer, *line.groups):
            (name or "").encode()  # no half characters, which cannot be written
    for text in reading.drawing.texts:
        assert np.isfinite(text.at)
        text.text.encode()


SEEDS: Final = st.integers(0, 2**63)


@given(SEEDS)
@settings(max_examples=COUNT, suppress_health_check=[HealthCheck.too_slow])
def test_damaged_svg_files_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    path = tmp_path_factory.mktemp("svg", numbered=True) / "front.svg"
    path.write_bytes(damaged(seed, SVGS))

    assert_reads_or_says_one_line(path)


@given(SEEDS, st.sampled_from([0, 2**40]))
@settings(max_examples=COUNT, suppress_health_check=[HealthCheck.too_slow])
def test_damaged_dxf_files_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, seed: int, least_bytes: int
) -> None:
    """Half of them by the way of large files."""
    path = tmp_path_factory.mktemp("dxf", numbered=True) / "front.dxf"
    path.write_bytes(damaged(seed, DXFS))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(dxf_document, "LEAST_BYTES", least_bytes)
        assert_reads_or_says_one_line(path)


@pytest.mark.parametrize("source", range(len(SVGS)))
def test_the_svg_files_are_whole_before_they_are_damaged(
    tmp_path: Path, source: int
) -> None:
    path = tmp_path / "front.svg"
    path.write_bytes(SVGS[source])

    assert_reads_or_says_one_line(path)


@pytest.mark.parametrize("source", range(len(DXFS)))
def test_the_dxf_files_are_whole_before_they_are_damaged(
    tmp_path: Path, source: int
) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(DXFS[source])

    assert read_drawing(path).drawing.lines

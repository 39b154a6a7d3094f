import math
import random
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from dxf_drawings import drawing, simple, text_of
from ezdxf.document import Drawing as Document
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.errors import DrawingError
from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf import document as loading
from edgefinder.importers.dxf.lifting import Split, split
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.dxf.sniff import Form
from edgefinder.importers.dxf.table import numbers_at, tags_of
from edgefinder.importers.dxf.vertices import MARK, Table

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]

POINTS = [(0, 0, 0), (100, 0, 1), (100, 40, -0.25), (0, 40, 0), (-3.5, 1e-7, 0)]


def table_of(parts: Split) -> Table:
    assert parts.bulk.table is not None
    return parts.bulk.table


def everything(version: str) -> Document:
    """Polylines with all that they can have, in model space, on paper, in blocks."""
    document = drawing(version)
    document.layers.add("8", color=3)
    document.layers.add("off", color=5).off()
    document.layers.add("frozen").freeze()
    space = document.modelspace()
    kinds: list[Any] = [space.add_polyline2d]
    if version != "R12":
        kinds.append(space.add_lwpolyline)
    looks: list[dict[str, Any]] = [
        {"layer": "8"},
        {"layer": "off"},
        {"layer": "frozen"},
        {"color": 1},
        {"extrusion": (0, 0, -1)},
        {"extrusion": (0.3, -0.4, 2), "elevation": 7},
        {"linetype": "CONTINUOUS"},
    ]
    if version != "R12":
        looks += [{"true_color": 0x123456}, {"invisible": 1}]
    for add in kinds:
        for look in looks:
            own = dict(look)
            if add == space.add_polyline2d and "elevation" in own:
                own["elevation"] = (0, 0, own["elevation"])
            add(POINTS, format="xyb", close=True, dxfattribs=own)
        add([(0, 0, 1, 2, 0.5), (10, 0, 2, 1, 0), (10, 10, 0, 0, 0)], format="xyseb")
    if version != "R12":
        space.add_lwpolyline(POINTS, "xyb", dxfattribs={"const_width": 3})
        noted = space.add_lwpolyline(POINTS, "xyb")
        document.appids.add("OTHER")
        noted.set_xdata("OTHER", [(1000, "a note"), (1010, (1.0, 2.0, 3.0))])
    space.add_line((1, 2), (3, 4))
    space.add_polyline3d([(0, 0, 5), (30, 40, 5), (30, 0, 9)], close=True)
    framed = space.add_polyline2d([(0, 0), (10, 30), (20, 0), (5, 5), (15, 5)])
    framed.dxf.flags |= 4
    for vertex, flag in zip(framed.vertices, [16, 16, 16, 8, 8], strict=True):
        vertex.dxf.flags |= flag
    space.add_polymesh((3, 3))
    space.add_polyline2d([(5, 5), (5, 5)])
    block = document.blocks.new("front", base_point=(3, 4))
    in_block: list[Any] = [block.add_polyline2d, block.add_lwpolyline]
    for add in in_block[: len(kinds)]:
        add(POINTS, format="xyb", close=True, dxfattribs={"layer": "0", "color": 0})
    for scale in (1, -1, 2.5):
        space.add_blockref(
            "front",
            (500, 300),
            {"xscale": scale, "yscale": 1.5, "rotation": 30, "color": 6},
        )
    document.layout("Layout1").add_polyline2d(POINTS, format="xyb")
    return document


def way(path: Path, least: int) -> tuple[object, ...]:
    """Read a file and tell all that was read, by one way or the other."""
    before = loading.LEAST_BYTES
    try:
        loading.LEAST_BYTES = least  # type: ignore[misc]  # what is being compared
        return told(read_dxf(path))
    except DrawingError as error:
        return error.messages
    finally:
        loading.LEAST_BYTES = before  # type: ignore[misc]


def told(reading: Reading) -> tuple[object, ...]:
    lines = [
        (
            line.path.segments.kind.tobytes(),
            (line.path.segments.control + 0).tobytes(),  # no negative zeros
            line.path.closed,
            line.id,
            line.kind,
            line.layer,
            line.groups,
            line.colour,
            line.label,
            line.where,
        )
        for line in reading.drawing.lines
    ]
    return (*lines, reading.drawing.texts, reading.findings)


def assert_both_ways_agree(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    assert way(path, 0) == way(path, len(data) + 1)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_both_ways_read_exactly_the_same(
    tmp_path: Path, version: str, line_end: str
) -> None:
    data = text_of(everything(version)).replace("\n", line_end).encode()
    lifted = split(data)

    assert lifted is not None
    assert len(table_of(lifted).stops) >= 15
    assert_both_ways_agree(tmp_path / "front.dxf", data)


@pytest.mark.parametrize("version", VERSIONS)
def test_only_the_table_holds_the_vertices(version: str) -> None:
    document = drawing(version)
    for x in range(50):
        document.modelspace().add_polyline2d([(x + 0.12345678, k) for k in range(9)])
    data = text_of(document).encode()

    lifted = split(data)

    assert lifted is not None
    assert b".12345678" not in lifted.text
    assert b"VERTEX" not in lifted.text.replace(MARK.encode(), b"")
    assert len(table_of(lifted).vertices) == 450
    assert list(np.diff(table_of(lifted).stops)) == [9] * 50
    assert len(lifted.text) < len(data)


def test_handles_that_the_library_makes_up_may_differ_and_nothing_else(
    tmp_path: Path,
) -> None:
    """Without handles in the file, each way counts what it gives to the library."""
    path = tmp_path / "front.dxf"
    path.write_text(simple(*OLD, *OLD, 0, "LINE", 8, 1, *ENDS))

    lifted, whole = way(path, 0), way(path, 10**9)

    assert len(lifted) == len(whole) == 5
    for one, other in zip(lifted[:3], whole[:3], strict=True):
        assert isinstance(one, tuple)
        assert isinstance(other, tuple)
        assert one[:3] + one[4:9] == other[:3] + other[4:9]
    assert lifted[3:] == whole[3:]


ENDS = (10, 0.0, 20, 0.0, 11, 30.0, 21, 40.0)
OLD = (
    *(0, "POLYLINE", 8, 1, 66, 1, 70, 1, 10, 0, 20, 0, 30, 2.5),
    *(0, "VERTEX", 8, 1, 10, "1.5", 20, 2, 30, 0),
    *(0, "VERTEX", 8, 1, 10, 7, 20, 2, 42, "-.5"),
    *(0, "VERTEX", 8, 1, 42, 0.25, 70, 0, 10, 7, 20, 20),
    *(0, "SEQEND", 8, 1),
)
"""As R12 writes it, without handles."""

NEW = (
    *(0, "LWPOLYLINE", 5, "A1", 100, "AcDbEntity", 8, 1, 100, "AcDbPolyline"),
    *(90, 3, 70, 1, 10, "1.5", 20, 2, 10, 7, 20, 2, 42, "-.5", 91, 0),
    *(10, 7, 20, 20, 40, 1, 41, 1, 42, 0.25),
)


@pytest.mark.parametrize("tags", [OLD, NEW])
def test_the_usual_order_of_tags_is_lifted(tags: tuple[object, ...]) -> None:
    lifted = split(simple(*tags).encode())

    assert lifted is not None
    vertices = table_of(lifted).vertices
    assert list(vertices.points) == [1.5 + 2j, 7 + 2j, 7 + 20j]
    assert list(vertices.bulges) == [0, -0.5, 0.25]


def with_change(tags: tuple[object, ...], at: int, *new: object) -> str:
    """Tags with others put in the place of the one that begins at an index."""
    return simple(*tags[:at], *new, *tags[at + 2 :])


@pytest.mark.parametrize(
    "text",
    [
        # A vertex without y, in the wrong order, with a height, twice a place.
        with_change(OLD, OLD.index("1.5") + 1),
        with_change(OLD, OLD.index("1.5") - 1, 20, 2, 10, 1.5),
        with_change(NEW, NEW.index("1.5") + 1),
        with_change(NEW, NEW.index("1.5") + 1, 20, 2, 30, 0),
        with_change(OLD, OLD.index("1.5") - 1, 10, 1, 20, 1, 10, 2),
        # Numbers that are none, or that only Python reads, or two in a line.
        with_change(OLD, OLD.index("1.5") - 1, 10, "nan"),
        with_change(OLD, OLD.index("1.5") - 1, 10, "1_0"),
        with_change(NEW, NEW.index("1.5") - 1, 10, "1 0"),
        with_change(NEW, NEW.index("1.5") - 1, 10, "1e400"),
        with_change(NEW, NEW.index("1.5") - 1, 10, "1e13"),
        with_change(NEW, NEW.index("1.5") - 1, 10, ""),
        with_change(NEW, NEW.index("1.5") - 1, 10, "x"),
        with_change(NEW, NEW.index("-.5") - 1, 40, "inf"),
        with_change(OLD, OLD.index("-.5") - 1, 70, 1.5),
        # Comments and data of programs in between.
        with_change(NEW, NEW.index("1.5") - 1, 999, "a comment", 10, 1.5),
        with_change(OLD, OLD.index("1.5") - 1, 999, "a comment", 10, 1.5),
        with_change(NEW, NEW.index("-.5") - 1, 102, "{OTHER", 42, 5, 102, "}"),
        with_change(NEW, NEW.index("-.5") - 1, 1001, "OTHER", 1000, "note"),
        # Parts that are missing.
        with_change(NEW, NEW.index("AcDbEntity") - 1),
        with_change(NEW, NEW.index("1.5") - 1, 42, 1, 10, 1.5),
        simple(*OLD[:-4], 0, "LINE", 8, 1, *ENDS),
        simple(*OLD[:-4]),
        simple(*NEW, *OLD[14:]),
        simple(*OLD[:14], *OLD[-4:]),
        # A mark in the file itself, as nobody writes it.
        simple(*NEW, 1001, MARK, 1071, 5),
        simple(*NEW).replace("\n1.5\n", "\r1.5\n"),
        simple(*NEW).replace("\n10\n", "\n+10\n"),
        simple(*NEW) + "LWPOLYLINE\n0\njunk\n",
    ],
)
def test_what_is_not_plain_is_left_to_the_library(tmp_path: Path, text: str) -> None:
    """Alone in its file it is not lifted; among others both ways still agree."""
    lifted = split(text.encode())
    mixed = text.replace("ENTITIES\n", "ENTITIES\n" + simple(*NEW)[28:-20], 1)

    assert lifted is None
    assert_both_ways_agree(tmp_path / "front.dxf", text.encode())
    assert_both_ways_agree(tmp_path / "front.dxf", mixed.encode())


def test_one_polyline_that_is_not_plain_does_not_hold_up_the_others(
    tmp_path: Path,
) -> None:
    odd = simple(*NEW, *NEW[:-10], 30, 5, *NEW[-10:], *OLD).replace("\nA1\n", "\nA2\n")
    odd = odd.replace("\nA2\n", "\nA1\n", 1)

    lifted = split(odd.encode())

    assert lifted is not None
    assert len(table_of(lifted).stops) == 3
    path = tmp_path / "front.dxf"
    path.write_text(odd)
    one, other = way(path, 0), way(path, 10**9)
    assert one[:2] == other[:2]
    assert len(one) == len(other) == 5


def test_a_large_file_goes_the_quick_way_by_itself(tmp_path: Path) -> None:
    document = drawing()
    ring = [
        (math.cos(k / 9000 * math.tau), math.sin(k / 9000 * math.tau))
        for k in range(9000)
    ]
    document.modelspace().add_lwpolyline(ring, close=True)
    path = tmp_path / "front.dxf"
    document.saveas(path)
    data = path.read_bytes()
    assert len(data) > loading.LEAST_BYTES

    loaded, bulk, findings = loading.load_document(path, data, Form.TEXT)

    table = bulk.table
    assert table is not None
    assert findings == ()
    (polyline,) = loaded.modelspace()
    assert len(polyline) == 0  # type: ignore[arg-type]
    assert len(table.vertices) == 9000


SEEDS = st.integers(0, 2**32 - 1)


def damaged(text: str, seed: int) -> str:
    """Change a few lines of a text: swap, drop, double or replace them."""
    chance = random.Random(seed)  # noqa: S311 - no secrets
    lines = text.split("\n")
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        match chance.randrange(5):
            case 0:
                lines[at] = chance.choice(["10", "20", "0", "70", "nan", "-1", "", "x"])
            case 1:
                del lines[at]
            case 2:
                lines.insert(at, lines[chance.randrange(len(lines))])
            case 3:
                other = chance.randrange(len(lines))
                lines[at], lines[other] = lines[other], lines[at]
            case _:
                lines[at : at + 2] = []
    return "\n".join(lines)


BASES = [
    simple(*NEW, *NEW, *OLD, 0, "LINE", 8, 1, *ENDS).replace("\nA1\n", "\nA2\n", 1),
    simple(*NEW, *NEW, *NEW).replace("\nA1\n", "\nA2\n", 1),
]


@given(st.sampled_from(BASES), SEEDS)
@settings(max_examples=200, deadline=None)
def test_both_ways_agree_on_damaged_files(
    tmp_path_factory: pytest.TempPathFactory, base: str, seed: int
) -> None:
    path = tmp_path_factory.mktemp("damaged") / "front.dxf"
    path.write_text(damaged(base, seed), newline="")

    lifted, whole = way(path, 0), way(path, 10**9)

    assert without_made_up(lifted) == without_made_up(whole)


def without_made_up(all_told: tuple[object, ...]) -> list[object]:
    """Leave out the handles of files that have none, and the words of repairs."""
    kept: list[object] = []
    for one in all_told:
        if isinstance(one, tuple) and len(one) == 10:
            kept.append((*one[:3], *one[4:9]))
        elif isinstance(one, str):
            kept.append(re.sub("LINE [0-9A-F]+:", "LINE:", one.split(";")[0]))
        else:
            kept.append(len(one) if isinstance(one, tuple) else one)
    return kept


@given(
    st.lists(
        st.floats(-1e9, 1e9).flatmap(
            lambda x: st.sampled_from(
                [repr(x), f"{x:.3f}", f"{x:.12e}", f"  {x:+.6f} "]
            )
        ),
        min_size=1,
        max_size=50,
    ),
    st.sampled_from(["\n", "\r\n"]),
)
def test_numbers_are_rounded_as_python_rounds_them(
    written: list[str], line_end: str
) -> None:
    data = "".join(f"40{line_end}{text}{line_end}" for text in written).encode()
    tags = tags_of(data)

    assert tags is not None
    read = numbers_at(data, tags, np.arange(len(written)))

    assert read is not None
    assert read.tolist() == [float(text) for text in written]


@pytest.mark.parametrize(
    "text",
    [
        "10\n1",
        "",
        "1x\n1\n",
        "1 \n1\n",
        "1 0\n5\n",
        "12345\n5\n",
        "\n5\n",
        "10\r5\n1\n5\n",
    ],
)
def test_tags_that_are_none_make_no_table(text: str) -> None:
    if text:
        assert tags_of(text.encode()) is None
    assert split(text.encode()) is None


@pytest.mark.parametrize("end", ["", "\n", "\r\n", "\njunk", "\n1\n2\n3"])
def test_what_stands_after_the_last_whole_tag_stays(tmp_path: Path, end: str) -> None:
    data = simple(*NEW).rstrip("\n").encode() + end.encode()
    lifted = split(data)

    assert lifted is not None
    assert lifted.text.endswith(b"EOF" + end.encode())
    assert_both_ways_agree(tmp_path / "front.dxf", data)


def test_a_table_of_many_chunks_is_that_of_one(monkeypatch: pytest.MonkeyPatch) -> None:
    data = text_of(everything("R2010")).encode()
    whole = split(data)
    monkeypatch.setattr("edgefinder.importers.dxf.table.CHUNK_BYTES", 200)

    chunked = split(data)

    assert whole is not None
    assert chunked is not None
    assert chunked.text == whole.text
    assert (
        table_of(chunked).vertices.points.tolist()
        == table_of(whole).vertices.points.tolist()
    )


@pytest.mark.parametrize("together", [1, 7])
def test_lines_put_in_place_a_few_at_a_time_are_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, together: int
) -> None:
    path = tmp_path / "front.dxf"
    path.write_text(text_of(everything("R2010")))
    whole = way(path, 10**9)
    monkeypatch.setattr("edgefinder.importers.dxf.blocks.PLACED_TOGETHER", together)

    assert way(path, 10**9) == whole

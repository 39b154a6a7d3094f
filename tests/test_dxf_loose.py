"""Loose entities read in bulk, held to what the library reads of them one by one."""

import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from dxf_drawings import drawing, simple, text_of
from ezdxf.document import Drawing as Document
from hypothesis import given, settings
from hypothesis import strategies as st
from test_dxf_vertices import assert_both_ways_agree, damaged, way, without_made_up

from edgefinder.importers.dxf import lifting, plain_orders
from edgefinder.importers.dxf.lifting import Split, split
from edgefinder.importers.dxf.loose import RUN_MARK, Loose

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
LOOKS: list[dict[str, Any]] = [
    {"layer": "front"},
    {"layer": "ÄRMEL"},
    {"layer": "off"},
    {"layer": "frozen"},
    {"layer": "front", "color": 1},
    {"layer": "front", "color": 0},
    {"layer": "0"},
    {"layer": "front", "linetype": "CONTINUOUS", "thickness": 2.5},
]


def loose_of(parts: Split | None) -> Loose:
    assert parts is not None
    assert parts.bulk.loose is not None
    return parts.bulk.loose


def exploded(version: str) -> Document:
    """Hundreds of short entities of all looks, in model space, on paper, in blocks."""
    document = drawing(version)
    document.layers.add("front", color=3)
    document.layers.add("off", color=5).off()
    document.layers.add("frozen").freeze()
    looks: list[dict[str, Any]] = list(LOOKS)
    if version != "R12":
        looks += [{"layer": "front", "true_color": 0x123456}, {"invisible": 1}]
    chance = random.Random(7)  # noqa: S311 - no secrets
    block = document.blocks.new("front", base_point=(3, 4))
    inner = document.blocks.new("inner")
    block.add_blockref("inner", (50, 60), {"rotation": 90})
    space = document.modelspace()
    sheet = document.layout("Layout1")
    for number in range(400):
        layout = [space, block, space, inner, sheet][number // 40 % 5]
        look = dict(chance.choice(looks))
        x, y, u, v = (chance.uniform(-500, 500) for _ in range(4))
        points = [(x, y, 0), (u, v, 0.4), (u, v, -1), (y, x, 0)]
        closed = number % 2 == 0
        match chance.randrange(6 if version == "R12" else 8):
            case 0:
                layout.add_line((x, y), (u, v), look)
            case 1:
                layout.add_arc((x, y), abs(u), v, x, dxfattribs=look)
            case 2:
                layout.add_circle((x, y), abs(u), dxfattribs=look)
            case 3 if number % 7 == 0:
                layout.add_point((x, y), look)
            case 4 | 5:
                look |= {"elevation": (0, 0, 7)} if number % 20 == 0 else {}
                layout.add_polyline2d(
                    points, format="xyb", close=closed, dxfattribs=look
                )
            case 6 | 7:
                look.pop("thickness", None)
                layout.add_lwpolyline(points, "xyb", close=closed, dxfattribs=look)
            case _:
                layout.add_line((x, y, 3), (u, v, 3), look)
    for scale in (1, -1, 2.5):
        space.add_blockref(
            "front",
            (500, 300),
            {"xscale": scale, "yscale": 1.5, "rotation": 30, "color": 6},
        )
    return document


def odd() -> list[dict[str, object]]:
    """Attributes that make an entity one that is not plain, or draws nothing."""
    return [
        {"extrusion": (0, 0, -1)},
        {"extrusion": (0.3, -0.4, 2)},
        {"start": (0, 0, 0), "end": (3, 4, 5)},
        {"start": (1, 1), "end": (1, 1)},
        {"paperspace": 1},
    ]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_both_ways_read_exactly_the_same(
    tmp_path: Path, version: str, line_end: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plain_orders, "LEAST_ALIKE", 2)
    document = exploded(version)
    text = text_of(document).replace("\n", line_end)
    data = text.encode(document.output_encoding, "dxfreplace")

    loose = loose_of(split(data))

    assert len(loose.handles) > 200
    assert len(loose.runs) < len(loose.handles)
    assert_both_ways_agree(tmp_path / "front.dxf", data)


@pytest.mark.parametrize("version", ["R12", "R2010"])
def test_entities_that_are_not_plain_are_drawn_in_their_place(
    tmp_path: Path, version: str
) -> None:
    document = drawing(version)
    space = document.modelspace()
    for k in range(120):
        space.add_line((k, 0), (k, 9))
        if k % 12 == 0:
            space.add_line((k, 0), (k, 9), odd()[k // 12 % 5])
            space.add_arc((k, 0), 5, 30, [30, 390, 90][k % 3])
            space.add_arc((k, 0), [0, 5][k % 24 // 12], 30, 90)
            space.add_polyline2d([(k, 0), (k, 0)])
            space.add_polyline3d([(k, 0, 1), (k, 5, 2), (k, 9, 1)], close=True)
            space.add_polymesh((3, 3))
            framed = space.add_polyline2d([(k, 0), (k, 30), (20, 0), (k, 5)])
            framed.dxf.flags |= 4
            for vertex, flag in zip(framed.vertices, [16, 16, 8, 8], strict=True):
                vertex.dxf.flags |= flag
        space.add_arc((k, 0), 5, 30, 90)
        space.add_polyline2d(
            [(k, 0, 0.0), (k + 5, 9, 0.5), (k, 3, 0.0)], format="xyb", close=True
        )

    data = text_of(document).encode()
    loose = loose_of(split(data))

    assert 300 < len(loose.handles) <= 390
    assert_both_ways_agree(tmp_path / "front.dxf", data)


def test_of_each_look_one_stays_in_the_text_and_of_each_run_the_first() -> None:
    document = drawing("R2010")
    space = document.modelspace()
    for k in range(300):
        space.add_line((k + 0.125, 0), (k, 9), {"layer": ["front", "back"][k % 2]})
        if k == 200:
            space.add_point((7, 7))

    parts = split(text_of(document).encode())
    loose = loose_of(parts)

    assert parts is not None
    assert parts.text.count(b"\nLINE\n") == parts.text.count(RUN_MARK.encode()) == 3
    assert np.diff(loose.runs).tolist() == [201, 99]
    assert set(loose.looks.tolist()) == {0, 1}


def line(number: int, *, handle: object = None, more: tuple[object, ...] = ()) -> str:
    head = (0, "LINE") if handle is None else (0, "LINE", 5, handle)
    tags = (*head, 8, 1, 10, number, 20, 0.5, 11, 30.0, 21, 40.0, *more)
    return "\n".join(map(str, tags))


def lines(count: int, *, first: int = 100) -> list[str]:
    return [line(k, handle=f"{first + k:X}") for k in range(count)]


@pytest.mark.parametrize(
    "strange",
    [
        line(1, handle="64"),  # of another entity too
        line(1, handle="0"),
        line(1, handle="xyz"),
        line(1, handle=" A00"),
        line(1, handle="A00").replace("\n40.0", "\nnan"),
        line(1, handle="A00").replace("\n40.0", "\n1e400"),
        line(1, handle="A00").replace("\n40.0", "\n4_0"),
        line(1, handle="A00").replace("\n40.0", "\n1e13"),
        line(1, handle="A00").replace("11\n30.0", "21\n30.0", 1),
        line(1, handle="A00").replace("\n11\n30.0", ""),
        line(1, handle="A00", more=(10, 5, 20, 5)),
        line(1, handle="A00", more=(30, 5)),
        line(1, handle="A00", more=(62, "red")),
        line(1, handle="A00", more=(62, 1.0)),
        line(1, handle="A00", more=(67, 1)),
        line(1, handle="A00", more=(60, 1)),
        line(1, handle="A00", more=(999, "a comment")),
        line(1, handle="A00", more=(102, "{OTHER", 330, "1F", 102, "}")),
        line(1, handle="A00", more=(1001, "OTHER", 1010, 1.5, 1020, 2, 1030, 3)),
        line(1, handle="A00", more=(100, "AcDbLine")),
    ],
)
@pytest.mark.parametrize("how_many", [1, 30])
def test_what_is_strange_is_left_to_the_library(
    tmp_path: Path, strange: str, how_many: int
) -> None:
    """Among others, alone or many of a kind, both ways agree on all."""
    many = [strange.replace("A00", f"A{k:02X}") for k in range(how_many)]
    between = [one for pair in zip(many, lines(how_many), strict=True) for one in pair]
    text = simple(*lines(40, first=300), *many, *between)

    assert_both_ways_agree(tmp_path / "front.dxf", text.encode())


def test_a_file_with_the_mark_in_it_is_not_split() -> None:
    text = simple(*lines(40), line(1, more=(1001, RUN_MARK, 1071, 5)))

    assert split(text.encode()) is None


def test_without_handles_each_entity_has_a_name_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "front.dxf"
    path.write_text(simple(*(line(k) for k in range(50))))

    lifted, whole = way(path, 0), way(path, 10**9)

    assert without_made_up(lifted) == without_made_up(whole)
    handles = [one[3] for one in lifted if isinstance(one, tuple) and len(one) == 10]
    assert len(set(handles)) == 50
    assert handles[1] == f"{handles[0]}+1"


def test_the_inserts_of_a_block_of_loose_lines_are_counted_before_they_are_drawn(
    tmp_path: Path,
) -> None:
    document = drawing()
    block = document.blocks.new("front")
    for k in range(200):
        block.add_line((k, 0), (k, 9))
    space = document.modelspace()
    space.add_line((0, 0), (1, 1))
    grid = {"row_count": 40, "column_count": 40, "row_spacing": 1, "column_spacing": 1}
    space.add_blockref("front", (0, 0), grid)

    path = tmp_path / "front.dxf"
    document.saveas(path)

    lifted, whole = way(path, 0), way(path, 10**9)
    assert lifted == whole
    assert "its inserts draw 320000 entities" in str(lifted[0])


SEEDS = st.integers(0, 2**32 - 1)
BASE = simple(*lines(40), *(line(k) for k in range(30)))


@given(SEEDS)
@settings(max_examples=150, deadline=None)
def test_both_ways_agree_on_damaged_files(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    path = tmp_path_factory.mktemp("damaged") / "front.dxf"
    path.write_text(damaged(BASE, seed), newline="")

    lifted, whole = way(path, 0), way(path, 10**9)

    assert without_made_up(lifted) == without_made_up(whole)


def test_more_entities_than_are_read_are_refused_before_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lifting, "MOST_DRAWN", 39)
    path = tmp_path / "front.dxf"
    path.write_text(simple(*lines(40)))

    (message,) = way(path, 0)

    assert message == (
        f"{path}: has 40 lines, arcs and polylines, more than the 39 that are read; "
        "export the pattern pieces alone"
    )

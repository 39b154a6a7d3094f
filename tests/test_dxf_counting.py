from pathlib import Path

import pytest
from dxf_drawings import drawing, read

from edgefinder.errors import DrawingError
from edgefinder.importers.dxf.counting import DEEPEST_NESTING


def test_a_grid_of_a_thousand_million_inserts_is_refused_at_once(
    tmp_path: Path,
) -> None:
    document = drawing()
    document.blocks.new("NOTCH").add_line((0, 0), (1, 0))
    insert = document.modelspace().add_blockref("NOTCH", (0, 0))
    insert.grid(size=(32767, 32767), spacing=(1, 1))

    with pytest.raises(DrawingError, match=r"draw 1.07368e\+09 entities"):
        read(tmp_path, document)


def test_a_grid_of_an_empty_block_is_refused_too(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("EMPTY")
    insert = document.modelspace().add_blockref("EMPTY", (0, 0))
    insert.grid(size=(32767, 32767), spacing=(1, 1))

    with pytest.raises(DrawingError, match="more than the 200000 that are read"):
        read(tmp_path, document)


def test_blocks_that_double_themselves_are_refused_at_once(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("B0").add_line((0, 0), (1, 0))
    for level in range(1, 41):
        block = document.blocks.new(f"B{level}")
        block.add_blockref(f"B{level - 1}", (0, 0))
        block.add_blockref(f"B{level - 1}", (1, 0))
    document.modelspace().add_blockref("B40", (0, 0))

    with pytest.raises(DrawingError, match=r"draw 1.09951e\+12 entities"):
        read(tmp_path, document)


def test_many_copies_of_a_long_polyline_are_refused(tmp_path: Path) -> None:
    document = drawing()
    block = document.blocks.new("LONG")
    block.add_lwpolyline([(x, x % 7) for x in range(2000)])
    insert = document.modelspace().add_blockref("LONG", (0, 0))
    insert.grid(size=(100, 100), spacing=(1, 1))

    with pytest.raises(DrawingError, match=r"draw 2e\+07 vertices"):
        read(tmp_path, document)


def test_a_block_in_itself_is_refused(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("A").add_blockref("b", (0, 0))
    document.blocks.new("B").add_blockref("a", (0, 0))
    document.modelspace().add_blockref("A", (0, 0))

    with pytest.raises(DrawingError, match='the block "a" contains itself'):
        read(tmp_path, document)


@pytest.mark.parametrize("first_known", [True, False])
def test_blocks_nested_too_deeply_are_refused(
    tmp_path: Path, first_known: bool
) -> None:
    document = drawing()
    document.blocks.new("B0").add_line((0, 0), (1, 0))
    for level in range(1, DEEPEST_NESTING + 2):
        document.blocks.new(f"B{level}").add_blockref(f"B{level - 1}", (0, 0))
    if first_known:
        document.modelspace().add_blockref(f"B{DEEPEST_NESTING - 5}", (0, 0))
    document.modelspace().add_blockref(f"B{DEEPEST_NESTING + 1}", (0, 0))

    with pytest.raises(DrawingError, match="nested more than 50 deep"):
        read(tmp_path, document)


def test_blocks_nested_as_deeply_as_allowed_are_read(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("B1").add_line((0, 0), (1, 0))
    for level in range(2, DEEPEST_NESTING + 1):
        document.blocks.new(f"B{level}").add_blockref(f"B{level - 1}", (0, 0))
    document.modelspace().add_blockref(f"B{DEEPEST_NESTING}", (0, 0))

    (line,) = read(tmp_path, document).drawing.lines

    assert len(line.groups) == DEEPEST_NESTING
    assert line.label == "B1"


def test_a_drawing_of_many_lines_without_inserts_has_no_limit(tmp_path: Path) -> None:
    document = drawing()
    space = document.modelspace()
    for x in range(500):
        space.add_line((x, 0), (x, 1))

    assert len(read(tmp_path, document).drawing.lines) == 500

"""The demo patterns: drafted by a script, read here with general readers."""

import math
import os
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree

import ezdxf.filemanagement
import numpy as np
import pytest
import svgpathtools
from ezdxf.document import Drawing
from ezdxf.entities.arc import Arc
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.insert import Insert
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.spline import Spline

FIXTURES = Path(__file__).resolve().parent.parent / "fixtures"
SCRIPT = FIXTURES / "drafting" / "draft_demo.py"
DEMO = FIXTURES / "demo"

SIZES = {"orchard-apron": ("S", "M", "L", "XL"), "puddle-smock": ("2", "4", "6", "8")}
PIECES = {
    "orchard-apron": ("front", "back", "pocket", "strap"),
    "puddle-smock": ("front", "back"),
}
# Corners of 30 degrees or more on the cut line, by drafting.
CORNERS = {
    ("orchard-apron", "front"): 7,
    ("orchard-apron", "back"): 7,
    ("orchard-apron", "pocket"): 3,
    ("orchard-apron", "strap"): 4,
    ("puddle-smock", "front"): 6,
    ("puddle-smock", "back"): 5,
}
READERS_AGREE_MM = 1e-5
SEWN_TOGETHER_MM = 1.0
SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{urn:edgefinder:label}label"

both = pytest.mark.parametrize("pattern", sorted(SIZES))


@dataclass
class SvgPiece:
    """The paths of one piece by class, the labels of its seams, its texts."""

    paths: dict[str, list[svgpathtools.Path]] = field(
        default_factory=lambda: defaultdict(list)
    )
    seams: list[tuple[str, float]] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    @property
    def cut(self) -> svgpathtools.Path:
        (path,) = self.paths["cut"]
        return path


def svg_root(pattern: str) -> ElementTree.Element:
    text = (DEMO / f"{pattern}.svg").read_text(encoding="utf-8")
    return ElementTree.fromstring(text)  # noqa: S314 - a file of our own


def svg_pieces(pattern: str) -> dict[tuple[str, str], SvgPiece]:
    pieces = {}
    for size_group in svg_root(pattern).findall(f"{SVG}g"):
        size = size_group.attrib[LABEL].removeprefix("Size ")
        for group in size_group.findall(f"{SVG}g"):
            piece = SvgPiece()
            for element in group.findall(f"{SVG}path"):
                path = svgpathtools.parse_path(element.attrib["d"])
                piece.paths[element.attrib["class"]].append(path)
                if LABEL in element.attrib:
                    piece.seams.append((element.attrib[LABEL], svg_length(path)))
            piece.texts = [text.text or "" for text in group.findall(f"{SVG}text")]
            pieces[size, group.attrib[LABEL]] = piece
    return pieces


def svg_length(path: svgpathtools.Path) -> float:
    return math.fsum(segment.length(error=1e-9) for segment in path)


def dxf_document(pattern: str) -> Drawing:
    return ezdxf.filemanagement.readfile(DEMO / f"{pattern}.dxf")


def dxf_entities(block: Iterator[DXFEntity], layer: str) -> Iterator[DXFEntity]:
    """Yield the entities of one layer, polylines taken apart."""
    for entity in block:
        if entity.dxf.layer != layer or entity.dxftype() == "TEXT":
            continue
        if isinstance(entity, LWPolyline):
            yield from entity.virtual_entities()
        else:
            yield entity


def dxf_length(entity: DXFEntity) -> float:
    if isinstance(entity, Arc):
        sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360
        return float(entity.dxf.radius * math.radians(sweep))
    if isinstance(entity, Spline):
        points = [complex(x, y) for x, y, _ in entity.control_points]
        return float(svgpathtools.CubicBezier(*points).length(error=1e-9))
    return float(entity.dxf.start.distance(entity.dxf.end))


def dxf_ends(entity: DXFEntity) -> tuple[complex, complex]:
    if isinstance(entity, Arc):
        start, end = entity.start_point, entity.end_point
    elif isinstance(entity, Spline):
        start, end = entity.control_points[0], entity.control_points[-1]
    else:
        start, end = entity.dxf.start, entity.dxf.end
    return complex(start[0], start[1]), complex(end[0], end[1])


def inserts(document: Drawing) -> dict[str, complex]:
    places = {}
    for insert in document.modelspace():
        if isinstance(insert, Insert):
            at = insert.dxf.insert
            places[insert.dxf.name] = complex(at.x, at.y)
    return places


def turnings(path: svgpathtools.Path) -> list[float]:
    """Return the turn in degrees at every joint of a closed path."""
    joints = [*pairwise(path), (path[-1], path[0])]
    return [
        float(np.degrees(np.angle(after.unit_tangent(0) / before.unit_tangent(1))))
        for before, after in joints
    ]


def signed_area(nodes: list[complex]) -> float:
    after = nodes[1:] + nodes[:1]
    return sum((a.conjugate() * b).imag for a, b in zip(nodes, after, strict=True)) / 2


@pytest.mark.parametrize("hash_seed", ["0", "1", "2"])
def test_drafting_again_writes_the_same_bytes(tmp_path: Path, hash_seed: str) -> None:
    command = [sys.executable, "-B", str(SCRIPT), str(tmp_path)]
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed}

    run = subprocess.run(  # noqa: S603 - a script of our own
        command, check=True, capture_output=True, text=True, env=environment
    )

    written = [Path(line) for line in run.stdout.splitlines()]
    assert [path.name for path in written] == [
        "orchard-apron.svg",
        "orchard-apron.dxf",
        "puddle-smock.svg",
        "puddle-smock.dxf",
    ]
    assert run.stderr == ""
    for path in written:
        assert path.read_bytes() == (DEMO / path.name).read_bytes()


@both
def test_every_size_has_every_piece_in_both_files(pattern: str) -> None:
    expected = [(s, p) for s in SIZES[pattern] for p in PIECES[pattern]]

    assert list(svg_pieces(pattern)) == expected
    assert list(inserts(dxf_document(pattern))) == [f"{s} {p}" for s, p in expected]


@both
@pytest.mark.parametrize(
    ("suffix", "classes"),
    [("", ["cut"]), (" sewing", ["sew"]), (" marks", ["grain", "notch", "fold"])],
)
def test_svg_and_dxf_agree_in_length(
    pattern: str, suffix: str, classes: list[str]
) -> None:
    document = dxf_document(pattern)

    for (size, name), piece in svg_pieces(pattern).items():
        block = document.blocks[f"{size} {name}"]
        in_dxf = [
            dxf_length(e) for e in dxf_entities(iter(block), f"Size {size}{suffix}")
        ]
        in_svg = [svg_length(path) for c in classes for path in piece.paths[c]]
        assert math.fsum(in_svg) > 0
        assert abs(math.fsum(in_dxf) - math.fsum(in_svg)) < READERS_AGREE_MM


@both
def test_svg_and_dxf_show_the_same_nodes_in_the_same_place(pattern: str) -> None:
    document = dxf_document(pattern)
    height = float(svg_root(pattern).attrib["height"].removesuffix("mm"))

    for (size, name), piece in svg_pieces(pattern).items():
        block, at = f"{size} {name}", inserts(document)[f"{size} {name}"]
        entities = dxf_entities(iter(document.blocks[block]), f"Size {size}")
        in_dxf = np.array([at + end for e in entities for end in dxf_ends(e)])
        in_svg = np.array(
            [complex(s.start).conjugate() + 1j * height for s in piece.cut]
        )
        gaps = np.abs(in_dxf[:, None] - in_svg[None, :])  # (dxf ends, svg nodes)
        assert gaps.min(axis=0).max() < READERS_AGREE_MM
        assert gaps.min(axis=1).max() < READERS_AGREE_MM


@both
def test_seams_that_are_sewn_together_are_equally_long(pattern: str) -> None:
    seams: dict[tuple[str, str], list[float]] = defaultdict(list)

    for (size, _), piece in svg_pieces(pattern).items():
        for name, length in piece.seams:
            seams[size, name].append(length)

    for (_, name), lengths in seams.items():
        assert len(lengths) == (1 if name == "pocket seam" else 2)
        assert max(lengths) - min(lengths) < SEWN_TOGETHER_MM


@both
def test_pieces_grow_from_size_to_size(pattern: str) -> None:
    pieces = svg_pieces(pattern)

    for name in PIECES[pattern]:
        cuts = [pieces[size, name].cut for size in SIZES[pattern]]
        lengths = [svg_length(cut) for cut in cuts]
        heights = [cut.bbox()[3] - cut.bbox()[2] for cut in cuts]
        assert all(small < large for small, large in pairwise(lengths))
        assert all(small < large for small, large in pairwise(heights))


@both
def test_joints_are_corners_or_smooth_and_number_the_same_in_every_size(
    pattern: str,
) -> None:
    for (_, name), piece in svg_pieces(pattern).items():
        turns = turnings(piece.cut)

        corners = [turn for turn in turns if abs(turn) >= 30]
        joints = [turn for turn in turns if abs(turn) < 30]
        assert len(corners) == CORNERS[pattern, name]
        assert max(map(abs, joints), default=0) < 1e-4


@both
def test_cut_lines_are_closed_and_drawn_both_ways_round(pattern: str) -> None:
    ways = set()

    for piece in svg_pieces(pattern).values():
        cut = piece.cut
        assert cut.isclosed()
        area = signed_area([complex(segment.start) for segment in cut])
        ways.add(math.copysign(1, area))

    assert ways == {-1, 1}


@both
def test_pieces_do_not_overlap(pattern: str) -> None:
    boxes = [piece.cut.bbox() for piece in svg_pieces(pattern).values()]

    for (left, right, top, foot), (left2, right2, top2, foot2) in combinations(
        boxes, 2
    ):
        apart = right < left2 or right2 < left or foot < top2 or foot2 < top
        assert apart


@both
def test_only_the_front_lies_on_the_fold(pattern: str) -> None:
    for (size, name), piece in svg_pieces(pattern).items():
        folds = piece.paths["fold"]

        assert len(folds) == (1 if name == "front" else 0)
        assert piece.texts[:2] == [name, f"Size {size}"]
        assert (piece.texts[2] == "cut 1 on fold") == (name == "front")
        for fold in folds:
            ends = {complex(fold.start), complex(fold.end)}
            assert any({complex(s.start), complex(s.end)} == ends for s in piece.cut)


@both
def test_notches_stand_square_on_a_straight_seam_and_5_mm_into_the_piece(
    pattern: str,
) -> None:
    for piece in svg_pieces(pattern).values():
        nodes = [complex(segment.start) for segment in piece.cut]
        left = math.copysign(1, signed_area(nodes))
        sides = [side for side in piece.cut if isinstance(side, svgpathtools.Line)]
        assert piece.paths["notch"]
        for path in piece.paths["notch"]:
            (notch,) = path
            # In the frame of a side, the notch runs from 0 < x < length, y = 0.
            feet = [
                ((notch.start - side.start) / side.unit_tangent(), side)
                for side in sides
            ]
            (side,) = (
                side
                for foot, side in feet
                if abs(foot.imag) < READERS_AGREE_MM and 0 < foot.real < side.length()
            )
            inwards = (notch.end - notch.start) / side.unit_tangent()
            assert abs(inwards - 5j * left) < READERS_AGREE_MM


@both
def test_the_sheet_is_at_true_size_with_a_test_square(pattern: str) -> None:
    root = svg_root(pattern)
    document = dxf_document(pattern)
    width, height = (root.attrib[k].removesuffix("mm") for k in ("width", "height"))

    (square,) = root.iter(f"{SVG}rect")
    (outline,) = document.modelspace().query("LWPOLYLINE")

    assert root.attrib["viewBox"] == f"0 0 {width} {height}"
    assert (square.attrib["width"], square.attrib["height"]) == ("50", "50")
    assert document.header["$INSUNITS"] == 4
    assert isinstance(outline, LWPolyline)
    sides = [dxf_length(side) for side in outline.virtual_entities()]
    assert sides == [50, 50, 50, 50]


def test_the_hem_of_the_apron_is_rounded_with_true_arcs() -> None:
    document = dxf_document("orchard-apron")

    radii = [
        [arc.dxf.radius for arc in document.blocks[f"{size} {name}"].query("ARC")]
        for name in ("front", "back")
        for size in SIZES["orchard-apron"]
    ]

    assert radii == [[45], [50], [55], [60]] * 2


def test_both_ways_of_drawing_in_dxf_occur() -> None:
    blocks = dxf_document("orchard-apron").blocks

    kinds = {
        name: {e.dxftype() for e in blocks[f"S {name}"] if e.dxf.layer == "Size S"}
        for name in PIECES["orchard-apron"]
    }

    assert kinds["front"] == kinds["back"] == {"LINE", "ARC", "SPLINE"}
    assert kinds["pocket"] == kinds["strap"] == {"LWPOLYLINE"}

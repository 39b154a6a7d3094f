"""Marked copies: the drawing as it was, one layer more, and the same edges."""

import codecs
import gzip
import json
import re
import shutil
from itertools import combinations
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from command_line import APRON, DEMO, SMOCK, refused, run
from dxf_drawings import drawing, text_of
from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.filemanagement import readfile
from ezdxf.lldxf.tagwriter import TagCollector
from interchange_files import (
    STYLE,
    Dialect,
    bib,
    file_of,
    points,
    polyline,
    rule_file,
    text,
)
from sheet_cases import HOSTILE, TAPES, hostile_release, run_of, write_job

from edgefinder.importers.formats import read_drawing
from edgefinder.importers.own_marks import MARKS_LAYER, has_own_marks
from edgefinder.importers.svg.reading import read_svg
from edgefinder.reports.chart_marks import boxes_touch
from edgefinder.reports.mark.marked_copy import marked_copy
from edgefinder.reports.mark.shapes import piece_marks, seen_pieces
from edgefinder.schedule.release import only_sizes, release_from_file

SVG = "{http://www.w3.org/2000/svg}"
BODY = (
    '<path d="M 10 40 L 40 40 A 8 8 0 0 0 50 30 L 50 10 L 10 10 Z" fill="none" '
    'stroke="#000"><title>bib</title></path>'
)


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """A copy of the demo's folder."""
    shutil.copytree(DEMO, tmp_path / "demo")
    return tmp_path / "demo"


def edges(path: Path, *options: str) -> object:
    """What ``edges`` prints of a drawing, without its file name."""
    said = run("edges", path, "--json", *options)
    assert said.exit_code == 0
    return json.loads(said.out.replace(path.name, "NAME"))


def reread(job: Path, marked: Path) -> tuple[str, str]:
    """The schedule of a job, and that of the same job with the marked copy."""
    text = job.read_text("utf-8")
    drawings = next(line for line in text.splitlines() if line.startswith("drawings"))
    other = job.with_name("marked-job.toml")
    other.write_text(text.replace(drawings, f'drawings = ["{marked.name}"]'), "utf-8")
    first, second = (run("schedule", one, "--json") for one in (job, other))
    assert (first.exit_code, second.exit_code) == (0, 0)
    return first.out, second.out


# SVG


def inserted(before: bytes, after: bytes) -> bytes:
    """What stands between the bytes that were there before."""
    start = next(
        (i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b),
        len(before),
    )
    # The last byte before the group may be its first one too: "<".
    count = len(after) - len(before)
    for cut in range(start, max(start - 12, -1), -1):
        if before[:cut] + after[cut : cut + count] + before[cut:] == after:
            found = after[cut : cut + count]
            if found.lstrip(b"\0").startswith(b"<"):
                return found
    raise AssertionError("the bytes around are not those of the drawing")


def test_an_svg_is_byte_for_byte_as_it_was_but_for_one_group(demo: Path) -> None:
    out = demo / "marked.svg"

    said = run("mark", demo / APRON.name, "-o", out)

    assert (said.exit_code, said.out) == (0, "")
    group = ElementTree.fromstring(  # noqa: S314 - written a line above
        inserted((demo / "orchard-apron.svg").read_bytes(), out.read_bytes())
    )
    assert group.tag == f"{SVG}g"
    assert group.get("id") == MARKS_LAYER
    texts = [text.text for text in group.iter(f"{SVG}text")]
    for label in ("6 A", "4 B", "7 fold", "1", "4, 5"):
        assert label in texts


def test_a_marked_svg_reads_to_the_same_edges_and_the_same_schedule(
    demo: Path,
) -> None:
    out = demo / "marked.svg"
    run("mark", demo / APRON.name, "-o", out)

    assert edges(out) == edges(demo / "orchard-apron.svg")
    before, after = reread(demo / APRON.name, out)
    assert after.replace("marked.svg", "orchard-apron.svg") == before


SIXTY = 'viewBox="0 0 60 50"'


@pytest.mark.parametrize(
    "size",
    [
        f'width="600mm" height="500mm" {SIXTY}',
        'width="600mm" height="500mm" viewBox="-5 -7 60 50"',
        f'width="400mm" height="700mm" {SIXTY}',
        f'width="400mm" height="700mm" {SIXTY} preserveAspectRatio="xMaxYMin slice"',
        f'width="600mm" height="500mm" {SIXTY} transform="rotate(20)"',
    ],
)
def test_marks_lie_on_the_edges_whatever_the_size_of_the_sheet(
    tmp_path: Path, size: str
) -> None:
    source = tmp_path / "a.svg"
    source.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{BODY}</svg>', "utf-8"
    )
    write_job(tmp_path, TAPES + run_of("one", "bib 1") + run_of("two", "bib 2"))
    out = tmp_path / "m.svg"

    assert run("mark", tmp_path / "a.toml", "-o", out).exit_code == 0

    lines = read_svg(out).drawing.lines
    (own,) = [line for line in lines if line.layer != MARKS_LAYER]
    bound = [x for x in lines if x.layer == MARKS_LAYER and x.kind == "polyline"]
    corners = [complex(p) for p in own.path.segments.control[:, 0]]
    # The first run is on one whole edge: its ends are corners of the outline.
    for line in bound[:2]:
        for end in (line.path.start, line.path.end):
            assert min(abs(end - corner) for corner in corners) < 0.05


NAMESPACE = 'xmlns="http://www.w3.org/2000/svg"'
SIZE = f'width="600mm" height="500mm" {SIXTY}'
PREFIXED = f"""<?xml version="1.0"?>
<p:svg {NAMESPACE.replace("xmlns", "xmlns:p")} {SIZE}>
<p:path d="M 10 40 L 40 40 L 40 10 L 10 10 Z"><p:title>bib</p:title></p:path></p:svg >
"""
COMMENTED = (
    f"<svg {NAMESPACE} {SIZE}>{BODY}<svg><g/></svg><!-- </svg> --></svg>"
    "<!-- </svg> --><?end </svg>?>\n\n"
)
PLAIN = f"<svg {SIZE}>{BODY}</svg>"


@pytest.mark.parametrize(
    "text", [PREFIXED, COMMENTED, PLAIN], ids=["prefix", "comments", "no namespace"]
)
def test_the_end_of_the_root_is_found_however_it_is_written(
    tmp_path: Path, text: str
) -> None:
    source = tmp_path / "a.svg"
    source.write_text(text, "utf-8")
    write_job(tmp_path, TAPES + run_of("one", "bib 1"))
    out = tmp_path / "m.svg"

    assert run("mark", tmp_path / "a.toml", "-o", out).exit_code == 0

    inserted(source.read_bytes(), out.read_bytes())
    assert has_own_marks(read_svg(out).drawing)
    assert edges(out) == edges(source)


@pytest.mark.parametrize(
    ("encoding", "mark"),
    [
        ("utf-16-le", codecs.BOM_UTF16_LE),
        ("utf-16-be", codecs.BOM_UTF16_BE),
        ("utf-8", codecs.BOM_UTF8),
        ("cp1252", b""),
        ("gbk", b""),
    ],
)
def test_the_encoding_stays_as_it_is(
    tmp_path: Path, encoding: str, mark: bytes
) -> None:
    name = {"cp1252": "Lätzchen", "gbk": "裁断"}.get(encoding, "Lätzchen 裁断")
    declared = encoding if encoding in {"cp1252", "gbk"} else encoding[:6].rstrip("-")
    text = (
        f'<?xml version="1.0" encoding="{declared}"?>\n<svg '
        'xmlns="http://www.w3.org/2000/svg" width="600mm" height="500mm" '
        f'viewBox="0 0 60 50">{BODY.replace("bib", name)}</svg>\n'
    )
    source = tmp_path / "a.svg"
    source.write_bytes(mark + text.encode(encoding))
    names = f'[[pieces]]\nname = "{name}"\nedge_names = {{ "Ärmel" = 2 }}\n'
    write_job(tmp_path, TAPES + run_of("one", f"{name} 1") + names)
    out = tmp_path / "m.svg"

    said = run("mark", tmp_path / "a.toml", "-o", out)

    assert said.exit_code == 0, said.err
    inserted(source.read_bytes(), out.read_bytes())
    assert edges(out) == edges(source)
    texts = [text.text for text in read_svg(out).drawing.texts]
    assert "Ärmel" in texts


def test_a_style_sheet_of_the_drawing_neither_hides_nor_colours_marks(
    tmp_path: Path,
) -> None:
    sheet = "<style>polyline, text, path[id] { display: none; stroke: #f00 }</style>"
    text = f"<svg {NAMESPACE} {SIZE}>{sheet}{BODY}</svg>"
    (tmp_path / "a.svg").write_text(text, "utf-8")
    job = write_job(tmp_path, TAPES + run_of("one", "bib 1"))
    out = tmp_path / "m.svg"

    assert run("mark", job, "-o", out).exit_code == 0

    drawing = read_svg(out).drawing
    bound = [line for line in drawing.lines if line.kind == "polyline"]
    assert [line.colour for line in bound] == ["#0072b2"]
    assert "1 A" in [one.text for one in drawing.texts]


def test_a_compressed_svg_is_copied_unpacked(tmp_path: Path, demo: Path) -> None:
    plain = (demo / "orchard-apron.svg").read_bytes()
    (demo / "orchard-apron.svg").write_bytes(gzip.compress(plain))
    out = tmp_path / "m.svg"

    assert run("mark", demo / APRON.name, "-o", out).exit_code == 0

    inserted(plain, out.read_bytes())


def test_a_drawing_scaled_by_its_test_square_is_marked_at_its_own_scale(
    demo: Path,
) -> None:
    job = demo / APRON.name
    text = job.read_text("utf-8").replace(
        'wearer = "adult"', 'wearer = "adult"\ntest_square = "25 mm"'
    )
    job.write_text(text, "utf-8")
    out = demo / "marked.svg"

    assert run("mark", job, "-o", out).exit_code == 0

    lines = read_svg(out).drawing.lines
    cut = next(line for line in lines if "cut" in line.classes)
    bound = next(line for line in lines if line.layer == MARKS_LAYER)
    corners = [complex(p) for p in cut.path.segments.control[:, 0]]
    assert min(abs(bound.path.start - corner) for corner in corners) < 0.05


def test_hostile_names_are_text_in_a_marked_svg(tmp_path: Path) -> None:
    release = hostile_release(tmp_path)

    data = marked_copy(release, tmp_path / "m.svg", None)

    root = ElementTree.fromstring(data)  # noqa: S314 - made a line above
    (group,) = [one for one in root if one.get("id") == MARKS_LAYER]
    tags = {one.tag for one in group.iter()}
    assert tags <= {
        f"{SVG}{tag}" for tag in ("g", "polyline", "polygon", "rect", "text")
    }
    texts = [text.text for text in group.iter(f"{SVG}text")]
    assert any((text or "").startswith(HOSTILE[1]) for text in texts)


# DXF


def tags_of(entity: DXFEntity) -> list[tuple[int, object]]:
    """Everything that an entity is written with."""
    collector = TagCollector(dxfversion="AC1032")
    entity.export_dxf(collector)
    return [(tag.code, tag.value) for tag in collector.tags]


def entities(document: Document) -> list[list[tuple[int, object]]]:
    """All entities of all layouts and blocks that are not marks, in order."""
    return [
        tags_of(entity)
        for block in document.blocks
        for entity in block
        if entity.dxf.get("layer") != MARKS_LAYER
    ]


def test_a_dxf_is_entity_for_entity_as_it_was_with_one_layer_more(demo: Path) -> None:
    out = demo / "marked.dxf"

    assert run("mark", demo / SMOCK.name, "-o", out).exit_code == 0

    before, after = readfile(demo / "puddle-smock.dxf"), readfile(out)
    assert entities(after) == entities(before)
    layers = [{row.dxf.name for row in d.layers} for d in (before, after)]
    assert layers[1] - layers[0] == {MARKS_LAYER}
    assert layers[0] <= layers[1]
    assert after.dxfversion == before.dxfversion
    marks = [e for e in after.modelspace() if e.dxf.layer == MARKS_LAYER]
    texts = [e.dxf.text for e in marks if e.dxftype() == "TEXT"]
    for label in ("5 A", "3 B", "6 fold", "2, 3"):
        assert label in texts


def test_a_marked_dxf_reads_to_the_same_edges_and_the_same_schedule(
    demo: Path,
) -> None:
    out = demo / "marked.dxf"
    run("mark", demo / SMOCK.name, "-o", out)

    assert edges(out) == edges(demo / "puddle-smock.dxf")
    before, after = reread(demo / SMOCK.name, out)
    assert after.replace("marked.dxf", "puddle-smock.dxf") == before


def test_the_same_drawing_gives_the_same_copy(demo: Path) -> None:
    for job, ending in ((APRON, "svg"), (SMOCK, "dxf")):
        first, second = demo / f"one.{ending}", demo / f"two.{ending}"
        for out in (first, second):
            run("mark", demo / job.name, "-o", out)
        assert first.read_bytes() == second.read_bytes()


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_marks_lie_on_the_edges_in_the_units_of_the_drawing(
    tmp_path: Path, version: str
) -> None:
    inches = 1
    document = drawing(version, unit=inches)
    corners = [(1.0, 1.0), (13.0, 1.0), (13.0, 9.0), (1.0, 9.0)]
    if version == "R12":
        document.modelspace().add_polyline2d(corners, close=True)
    else:
        document.modelspace().add_lwpolyline(corners, close=True)
    (tmp_path / "a.dxf").write_text(text_of(document), "utf-8", newline="")
    text = 'drawing_unit = "1 in"\n' + TAPES + run_of("one", "0 1")
    job = write_job(tmp_path, text, "a.dxf")
    out = tmp_path / "m.dxf"

    said = run("mark", job, "-o", out)

    assert said.exit_code == 0, said.err
    marks = [e for e in readfile(out).modelspace() if e.dxf.layer == MARKS_LAYER]
    line: Any
    (line,) = [e for e in marks if e.dxftype() in {"LWPOLYLINE", "POLYLINE"}]
    ends = [
        (round(p[0], 6), round(p[1], 6))
        for p in (line.get_points() if version != "R12" else line.points())
    ]
    assert {ends[0], ends[-1]} <= set(corners)
    assert len(ends) == 2
    assert edges(out, "--unit-mm", "25.4") == edges(
        tmp_path / "a.dxf", "--unit-mm", "25.4"
    )


@pytest.mark.parametrize(("units", "mm"), [("METRIC", 1.0), ("ENGLISH", 25.4)])
def test_in_a_pattern_interchange_file_only_the_drawn_size_is_marked(
    tmp_path: Path, units: str, mm: float
) -> None:
    # A rectangle of 200 by 100 that grows by the same share both ways.
    corners = [
        complex(x, y) * 1 / mm for x, y in ((0, 0), (200, 0), (200, 100), (0, 100))
    ]
    grade = [tag for n, at in enumerate(corners, 1) for tag in text(f"# {n}", at)]
    content = [*polyline(corners, 1, closed=True), *points(corners, 2), *grade]
    block = bib({"Piece Name": "Panel", "Size": "M"}, boundary=content, marks=False)
    dialect = Dialect(style={**STYLE, "Units": units})
    (tmp_path / "a.dxf").write_bytes(file_of([block], dialect))
    moves = {"1": (0, 0), "2": (20, 0), "3": (20, 10), "4": (0, 10)}
    rules = {
        name: f"{-x / mm / 2},{-y / mm / 2} 0,0 {x / mm},{y / mm}"
        for name, (x, y) in moves.items()
    }
    (tmp_path / "a.rul").write_bytes(rule_file("S M L", "M", rules, units))
    job = write_job(tmp_path, TAPES + run_of("foot", "Panel 1"), "a.dxf")
    out = tmp_path / "m.dxf"

    said = run("mark", job, "-o", out)

    assert said.exit_code == 0, said.err
    before, after = readfile(tmp_path / "a.dxf"), readfile(out)
    # Old files have no handles: the library gives some.
    for layout in before.blocks:
        others = [e for e in after.blocks[layout.name] if e.dxf.layer != MARKS_LAYER]
        for one, other in zip(layout, others, strict=True):
            assert one.dxftype() == other.dxftype()
            for key in {*one.dxfattribs(), *other.dxfattribs()} - {"handle", "owner"}:
                assert one.dxf.get_default(key) == other.dxf.get_default(key)
    marks = [e for e in after.modelspace() if e.dxf.layer == MARKS_LAYER]
    labels = [e.dxf.text for e in marks if e.dxftype() == "TEXT"]
    assert labels == ["1 A", "2", "3", "4"]
    line: Any = next(e for e in marks if e.dxftype() == "POLYLINE")
    ends = [complex(p[0], p[1]) for p in line.points()]
    assert ends == pytest.approx([0, 200 / mm])


# What cannot be marked


def test_the_drawing_itself_is_never_written_over(demo: Path) -> None:
    source = demo / "orchard-apron.svg"
    before = source.read_bytes()
    (demo / "link.svg").symlink_to(source)

    for name in ("orchard-apron.svg", "link.svg"):
        errors = refused("mark", demo / APRON.name, "-o", demo / name, "--force")
        assert "not written over" in errors[0]
    assert source.read_bytes() == before


def test_a_copy_has_the_format_of_its_drawing(demo: Path) -> None:
    (error,) = refused("mark", demo / APRON.name, "-o", demo / "marked.dxf")

    assert 'name a file that ends in ".svg"' in error


def test_marks_are_not_put_upon_marks(demo: Path) -> None:
    for job, ending in ((APRON, "svg"), (SMOCK, "dxf")):
        out = demo / f"marked.{ending}"
        run("mark", demo / job.name, "-o", out)
        reread(demo / job.name, out)

        (error,) = refused("mark", demo / "marked-job.toml", "-o", demo / f"x.{ending}")

        assert "has marks of edgefinder already" in error


def test_of_several_drawings_one_is_chosen_by_name(tmp_path: Path) -> None:
    for name in ("front", "back"):
        body = BODY.replace("bib", name)
        text = f"<svg {NAMESPACE} {SIZE}>{body}</svg>"
        (tmp_path / f"{name}.svg").write_text(text, "utf-8")
    job = write_job(tmp_path, TAPES + run_of("one", "front 1", "back 1"))
    text = job.read_text("utf-8").replace('["a.svg"]', '["front.svg", "back.svg"]')
    job.write_text(text, "utf-8")
    out = tmp_path / "m.svg"

    (error,) = refused("mark", job, "-o", out)
    (unknown,) = refused("mark", job, "--drawing", "bakc.svg", "-o", out)
    assert run("mark", job, "--drawing", "back.svg", "-o", out).exit_code == 0

    assert "say which one with --drawing: front.svg, back.svg" in error
    assert 'did you mean "back.svg"?' in unknown
    inserted((tmp_path / "back.svg").read_bytes(), out.read_bytes())
    texts = [text.text for text in read_svg(out).drawing.texts]
    assert texts.count("1 A") == 1


def test_a_reader_leaves_marks_out(demo: Path) -> None:
    out = demo / "marked.svg"
    run("mark", demo / APRON.name, "-o", out)

    assert not has_own_marks(read_drawing(out).drawing)


NESTED = [("S", 0), ("M", 10), ("L", 20)]


def nest(folder: Path) -> Path:
    """A job whose drawing has three sizes of a bib, one in the other."""
    layers = "".join(
        f'<g id="Size_{size}"><path d="M 40 {150 + more} H {160 + more} '
        f'V {60 - more} A 30 30 0 0 1 {100 + more} 90 H 40 Z" fill="none" '
        'stroke="#000"><title>bib</title></path></g>'
        for size, more in NESTED
    )
    (folder / "nest.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="220mm" height="200mm" '
        f'viewBox="0 0 220 200">{layers}</svg>'
    )
    job = folder / "nest.toml"
    job.write_text(
        'name = "nest"\nunit = "mm"\ndrawings = ["nest.svg"]\n'
        '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n' + run_of("neck", "bib 3")
    )
    return job


def test_sizes_in_one_another_have_labels_beside_one_another_that_say_them(
    tmp_path: Path,
) -> None:
    release = release_from_file(nest(tmp_path))
    assert [size.size for size in release.sizes] == ["S", "M", "L"]

    marks = piece_marks(seen_pieces(release))

    labels = [label for one in marks for label in one.labels]
    for one, other in combinations(labels, 2):
        assert not boxes_touch(one.box, other.box)
    texts = [label.text for label in labels]
    assert len(set(texts)) == len(texts)
    edges_there = {text.split()[0] for text in texts}
    assert {"1", "2", "3"} <= edges_there
    # Every size has each edge: by a label without sizes, or by one that names it.
    for number in ("1", "2", "3"):
        own = [t for t in texts if t.split()[0] == number]
        sizes = [re.search(r" \(([SML ]+)\)$", text) for text in own]
        assert None in sizes or {
            size for one in sizes if one is not None for size in one[1].split()
        } == {"S", "M", "L"}


def test_one_size_of_a_nest_is_labelled_without_its_size(tmp_path: Path) -> None:
    release = only_sizes(release_from_file(nest(tmp_path)), ["M"])

    (marks,) = piece_marks(seen_pieces(release))

    assert not any("(" in label.text for label in marks.labels)

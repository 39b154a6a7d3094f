"""DXF files that are broken, hostile or beyond all measure."""

import io
from collections.abc import Callable
from typing import Final

from bad_input.case import READS, Case, writing
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new

SENTINEL: Final = b"AutoCAD Binary DXF\r\n\x1a\x00"


def text(*tags: object, section: str = "ENTITIES") -> str:
    body = [0, "SECTION", 2, section, *tags, 0, "ENDSEC"]
    return "\n".join(map(str, body)) + "\n"


def dxf(*tags: object, blocks: tuple[object, ...] = ()) -> bytes:
    before = text(*blocks, section="BLOCKS") if blocks else ""
    return (before + text(*tags) + "0\nEOF\n").encode()


def line(x: object = 0.0, y: object = 5.0) -> tuple[object, ...]:
    return (0, "LINE", 8, 1, 10, x, 20, 0.0, 11, 9.0, 21, y)


def circle(radius: object = 5.0, *more: object) -> tuple[object, ...]:
    return (0, "CIRCLE", 8, 1, 10, 0.0, 20, 0.0, 40, radius, *more)


def block(name: str, *tags: object) -> tuple[object, ...]:
    return (0, "BLOCK", 8, 0, 2, name, 70, 0, 10, 0, 20, 0, *tags, 0, "ENDBLK")


def insert(name: str, *more: object) -> tuple[object, ...]:
    return (0, "INSERT", 8, 1, 2, name, 10, 0.0, 20, 0.0, *more)


def old(*vertices: tuple[object, ...], end: bool = True) -> tuple[object, ...]:
    tags = [tag for vertex in vertices for tag in (0, "VERTEX", 8, 1, *vertex)]
    last = (0, "SEQEND") if end else ()
    return (0, "POLYLINE", 8, 1, 66, 1, 70, 1, *tags, *last)


CORNERS: Final = ((10, 0, 20, 0), (10, 9, 20, 0), (10, 9, 20, 9))


def case(name: str, data: bytes, says: str) -> Case:
    return Case(name, writing("front.dxf", data), says)


def heavy(name: str, data: Callable[[], bytes], says: str) -> Case:
    return Case(name, writing("front.dxf", data), says, is_heavy=True)


def written(document: Document, form: str = "asc") -> bytes:
    if form == "bin":
        stream = io.BytesIO()
        document.write(stream, fmt="bin")
        return stream.getvalue()
    words = io.StringIO()
    document.write(words)
    return words.getvalue().encode()


def sample(version: str = "R2010") -> Document:
    document = new(version, units=4)
    for x in range(50):
        document.modelspace().add_circle((x, 0), 50)
    return document


def cut(share: float, form: str) -> bytes:
    data = written(sample(), form)
    start = data.index(b"ENTITIES")
    return data[: start + int(share * (data.index(b"ENDSEC", start) - start))]


def bomb(levels: int = 40) -> bytes:
    """Each block inserts the one before twice."""
    blocks = [*block("b0", *circle())]
    for i in range(levels):
        blocks += block(f"b{i + 1}", *insert(f"b{i}"), *insert(f"b{i}"))
    return dxf(*insert(f"b{levels}"), blocks=tuple(blocks))


def deep(levels: int = 5_000) -> bytes:
    blocks = [*block("b0", *circle())]
    for i in range(levels):
        blocks += block(f"b{i + 1}", *insert(f"b{i}"))
    return dxf(*insert(f"b{levels}"), blocks=tuple(blocks))


def grid(count: int = 32_767) -> bytes:
    return dxf(
        *insert("b", 70, count, 71, count, 44, 1.0, 45, 1.0),
        blocks=block("b", *circle()),
    )


def million_vertices() -> bytes:
    rows = (f"10\n{i % 977}\n20\n{i % 811}\n" for i in range(1_000_000))
    return (
        "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n5\nA1\n100\nAcDbEntity\n8\n1\n"
        f"100\nAcDbPolyline\n90\n1000000\n70\n1\n{''.join(rows)}"
        "0\nENDSEC\n0\nEOF\n"
    ).encode()


def million_old_vertices() -> bytes:
    rows = (
        f"0\nVERTEX\n8\n1\n10\n{i % 977}\n20\n{i % 811}\n" for i in range(1_000_000)
    )
    return (
        "0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\n1\n66\n1\n70\n1\n"
        f"{''.join(rows)}0\nSEQEND\n0\nENDSEC\n0\nEOF\n"
    ).encode()


def damaged_at_the_end() -> bytes:
    """6 MB of what is not lifted, and then a group code that is none."""
    rows = "".join(
        f"0\nLINE\n8\n1\n10\n{i % 977}.5\n20\n{i % 811}.25\n11\n7.5\n21\n8.125\n"
        for i in range(100_000)
    )
    return f"0\nSECTION\n2\nENTITIES\n{rows}x\n0\nENDSEC\n0\nEOF\n".encode()


def too_many_lines() -> bytes:
    row = b"0\nLINE\n8\n1\n10\n0.5\n20\n0.25\n11\n7.5\n21\n8.125\n"
    return b"0\nSECTION\n2\nENTITIES\n" + row * 1_600_000 + b"0\nENDSEC\n0\nEOF\n"


def many_names() -> bytes:
    """The name of a header variable, a million times, and no header."""
    return dxf(*(tag for _ in range(300_000) for tag in (999, "$INSUNITS")), *circle())


def many_sections() -> bytes:
    return b"0\nSECTION\n2\nOBJECTS\n" * 200_000 + b"100\nAcDbX\n" + dxf(*circle())


def many_marks() -> bytes:
    return dxf(*circle()) + b"EOF" * 5_000_000


def long_line() -> bytes:
    return dxf(*circle(), 1, "a" * 50_000_000)


def spline(
    degree: int, knots: list[object], points: list[object]
) -> tuple[object, ...]:
    return (
        *(0, "SPLINE", 5, "A1", 100, "AcDbEntity", 8, 1, 100, "AcDbSpline", 70, 8),
        *(71, degree, 72, len(knots), 73, len(points)),
        *(tag for knot in knots for tag in (40, knot)),
        *(tag for point in points for tag in (10, point, 20, 0, 30, 0)),
    )


DXF_CASES: Final = (
    # Cut, or torn
    case("end alone", b"0\nEOF\n", "no line in model space"),
    case("section without end", b"0\nSECTION\n2\nENTITIES\n", "cut short"),
    case("half a section", b"0\nSECTION\n", "cut short"),
    case("comment alone", b"999\nhello\n", "is no DXF"),
    case(
        "header alone",
        text(9, "$INSUNITS", 70, 4, section="HEADER").encode(),
        "no line",
    ),
    case("no entities", dxf(), "no line in model space"),
    case("text cut in half", cut(0.5, "asc"), READS),
    case("text cut before its first entity", cut(0.0, "asc"), "cut short"),
    case("binary cut in half", cut(0.5, "bin"), READS),
    case("binary cut before its first entity", cut(0.0, "bin"), "cut short"),
    case("binary sentinel alone", SENTINEL, "no line"),
    case("binary garbage", SENTINEL + bytes(range(256)) * 40, "no line"),
    case("binary nulls", SENTINEL + bytes(4096), "no line"),
    case("utf-16", dxf(*circle()).decode().encode("utf-16"), "UTF-16"),
    case("line ends of old Macs", dxf(*circle()).replace(b"\n", b"\r"), READS),
    case("all on one line", dxf(*circle()).replace(b"\n", b" "), "is no DXF"),
    case(
        "a line too many",
        dxf(*circle()).replace(b"ENTITIES\n", b"ENTITIES\n\n"),
        "Invalid group code",
    ),
    case("group code that is a word", dxf(*circle(), "x", 5), "Invalid group code"),
    case("group code below 0", dxf(*circle(), -5, 5), READS),
    case("group code beyond all", dxf(*circle(), 10**30, 5), READS),
    case("coordinate that is a word", dxf(*line("x")), "Invalid floating point"),
    case(
        "coordinate left out", dxf(0, "LINE", 8, 1, 10, 0, 11, 9, 21, 9), "has no start"
    ),
    case("line without end", dxf(0, "LINE", 8, 1, 10, 0, 20, 0), "has no end"),
    case(
        "circle without radius", dxf(0, "CIRCLE", 8, 1, 10, 0, 20, 0), "has no radius"
    ),
    case("polyline without end mark", dxf(*old(*CORNERS, end=False)), READS),
    case(
        "polyline in a polyline",
        dxf(*old(*CORNERS, end=False), *old(*CORNERS)),
        "Expected DXF entity",
    ),
    case("vertex alone", dxf(0, "VERTEX", 10, 0, 20, 0, *circle()), READS),
    case("end mark alone", dxf(0, "SEQEND", *circle()), READS),
    case("vertex without place", dxf(*old(*CORNERS[:2], (70, 0))), "has no location"),
    case(
        "two circles of one handle",
        dxf(*circle(5, 5, "A1"), *circle(6, 5, "A1")),
        READS,
    ),
    case("handle that is none", dxf(*circle(5, 5, "xyz")), READS),
    case("kind that there is not", dxf(0, "SEAM", 8, 1, *circle()), READS),
    case(
        "a count of vertices that lies",
        dxf(
            *(0, "LWPOLYLINE", 5, "A1", 100, "AcDbEntity", 8, 1),
            *(100, "AcDbPolyline", 90, 2**31, 70, 1, *CORNERS[0], *CORNERS[1]),
        ),
        READS,
    ),
    case(
        "forged line",
        dxf(*circle("nan"), 8, "1\\U+000Aerror: all is well"),
        "has the number nan",
    ),
    case(
        "codes in a name",
        dxf(0, "CIRCLE", 8, "\\U+D800\\M+0\x1b[2J", 10, 0, 20, 0, 40, 5),
        READS,
    ),
    # Numbers
    case("nan", dxf(*line("nan")), "has the number nan"),
    case("infinity", dxf(*line("inf")), "has the number inf"),
    case("1e400", dxf(*line("1e400")), "has the number inf"),
    case("1e308", dxf(*line("1e308")), r"has the number 1e\+308"),
    case("radius of nan", dxf(*circle("nan")), "has the number nan"),
    case("radius of 1e308", dxf(*circle("1e308")), "has the number"),
    case("radius of 0", dxf(*circle(0)), "no line in model space"),
    case("radius below 0", dxf(*circle(-5)), READS),
    case("radius of 1e-320", dxf(*circle("1e-320")), "no line in model space"),
    case(
        "bulge of 1e308", dxf(*old((*CORNERS[0], 42, 1e308), *CORNERS[1:])), "has the"
    ),
    case("flags of 1e20", dxf(*old((*CORNERS[0], 70, 10**20), *CORNERS[1:])), READS),
    case("bulge of 1e12", dxf(*old((*CORNERS[0], 42, 1e12), *CORNERS[1:])), READS),
    case(
        "extrusion of nan",
        dxf(*circle(5, 210, "nan", 220, 0, 230, 1)),
        "has the number",
    ),
    case("extrusion of 0", dxf(*circle(5, 210, 0, 220, 0, 230, 0)), READS),
    case(
        "ellipse without axis",
        dxf(0, "ELLIPSE", 8, 1, 10, 0, 20, 0, 40, 1),
        "has no major axis",
    ),
    case("spline of no knots", dxf(*spline(3, [], [0, 1, 2, 3])), "no line"),
    case(
        "spline of knots of nan",
        dxf(*spline(1, [0, "nan", 1, 1], [0, 1])),
        "has the number nan",
    ),
    case("spline of degree 1000", dxf(*spline(1000, [0, 1], [0, 1])), "no line"),
    case(
        "unit beyond the table",
        text(9, "$INSUNITS", 70, 999, section="HEADER").encode() + dxf(*circle()),
        READS,
    ),
    # Blocks
    case(
        "block in itself",
        dxf(*insert("b"), blocks=block("b", *insert("b"))),
        "contains itself",
    ),
    case(
        "blocks in each other",
        dxf(
            *insert("a"),
            blocks=(*block("a", *insert("B")), *block("b", *insert("A"))),
        ),
        "contains itself",
    ),
    case("block that is not there", dxf(*insert("b")), "is not in the file"),
    case("block that is empty", dxf(*insert("b"), blocks=block("b")), "no line"),
    case(
        "insert of 1e300",
        dxf(*insert("b", 41, 1e300, 42, 1), blocks=block("b", *circle())),
        "has the number 1e",
    ),
    case(
        "inserts of inserts of 1e12",
        dxf(
            *insert("c", 41, 1e12, 42, 1e12),
            blocks=(
                *block("a", *circle()),
                *block("b", *insert("a", 41, 1e12, 42, 1e12)),
                *block("c", *insert("b", 41, 1e12, 42, 1e12)),
            ),
        ),
        "scaled beyond all measure",
    ),
    heavy("blocks of blocks", bomb, "inserts draw"),
    heavy("5,000 blocks deep", deep, "nested"),
    heavy("a grid of 1e9", grid, "inserts draw"),
    # Too much
    heavy("a million vertices", million_vertices, READS),
    heavy("a million old vertices", million_old_vertices, READS),
    heavy("6 MB, damaged", damaged_at_the_end, "Invalid group"),
    heavy("1,600,000 lines", too_many_lines, "has 1600000 lines, arcs and polylines"),
    heavy("300,000 unit names", many_names, READS),
    heavy("200,000 sections", many_sections, "no line"),
    heavy("5,000,000 end marks", many_marks, READS),
    heavy("line of 50 MB", long_line, READS),
)

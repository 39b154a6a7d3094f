"""SVG files that are broken, hostile or beyond all measure."""

import gzip
from collections.abc import Callable
from typing import Final

from bad_input.case import READS, Case, writing

BOX: Final = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
NAMES: Final = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
)
RECT: Final = '<rect width="50" height="50" stroke="red"/>'


def svg(body: str, size: str = BOX, before: str = "") -> bytes:
    return f"{before}<svg {NAMES} {size}>{body}</svg>".encode()


def case(name: str, data: bytes, says: str) -> Case:
    return Case(name, writing("front.svg", data), says)


def heavy(name: str, data: Callable[[], bytes], says: str) -> Case:
    return Case(name, writing("front.svg", data), says, is_heavy=True)


def path(data: str) -> bytes:
    return svg(f'<path stroke="red" d="{data}"/>')


def doctype(entities: str, body: str = RECT) -> bytes:
    return svg(body, before=f"<!DOCTYPE svg [{entities}]>")


def laughs() -> bytes:
    """Entities of entities, ten times ten times ten."""
    rows = "".join(f'<!ENTITY l{i + 1} "{f"&l{i};" * 10}">' for i in range(9))
    return doctype(f'<!ENTITY l0 "lol">{rows}', "<text>&l9;</text>")


def square_of_entities() -> bytes:
    """One long entity, many times."""
    return doctype(f'<!ENTITY a "{"a" * 50_000}">', f"<text>{'&a;' * 50_000}</text>")


def copies(levels: int = 40) -> bytes:
    """Each group uses the one before twice."""
    groups = "".join(
        f'<g id="g{i + 1}"><use href="#g{i}"/><use href="#g{i}"/></g>'
        for i in range(levels)
    )
    return svg(f'<g id="g0">{RECT}</g>{groups}<use href="#g{levels}"/>')


def deep(levels: int = 200_000) -> bytes:
    return svg("<g>" * levels + RECT + "</g>" * levels)


def deep_transforms(levels: int = 200) -> bytes:
    return svg('<g transform="scale(1e9)">' * levels + RECT + "</g>" * levels)


def many_vertices(count: int = 1_000_000) -> bytes:
    points = "".join(f"L{i % 977} {i % 811}" for i in range(count))
    return path(f"M0 0{points}Z")


def many_elements(count: int = 400_000) -> bytes:
    return svg(RECT * count)


def many_rules(count: int = 100_000) -> bytes:
    rules = "".join(f".a{i} rect > b ~ c {{ stroke: red }}" for i in range(count))
    return svg(f"<style>{rules}</style>{RECT * 1000}")


def long_selector() -> bytes:
    return svg(f"<style>{'a ' * 200_000} {{ fill: red }}</style>{RECT}")


def nested_sheet() -> bytes:
    return svg(f"<style>{'@media all {' * 20_000}</style>{RECT}")


def nested_calc() -> bytes:
    return svg(f'<rect style="width:{"calc(" * 50_000}" width="5" height="5"/>')


def packed_bomb() -> bytes:
    return gzip.compress(b"<svg>" + b" " * 2**30, 1, mtime=0)


def long_attribute() -> bytes:
    return svg(f'<rect width="5" height="5" stroke="red" id="{"a" * 50_000_000}"/>')


SVG_CASES: Final = (
    # Cut, or torn
    case("cut in a tag", svg(RECT)[:-40], "unclosed token"),
    case("cut in the first tag", b'<svg xmlns="http://www.w3.o', "unclosed token"),
    case("cut after the drawing", svg(RECT)[:-6], "no element found"),
    case("nothing but a declaration", b"<?xml version='1.0'?>", "no element found"),
    case("tags that cross", svg("<g><rect></g></rect>"), "mismatched tag"),
    case("attribute twice", svg('<rect width="1" width="2"/>'), "duplicate attribute"),
    case("two roots", svg(RECT) + svg(RECT), "junk after document"),
    case(
        "bytes of no encoding", svg(RECT + "@").replace(b"@", b"\xff"), "invalid token"
    ),
    case(
        "encoding that there is not",
        b"<?xml version='1.0' encoding='morse'?>" + svg(RECT),
        "has an encoding that cannot",
    ),
    case("null in the text", svg(RECT + "\0"), "invalid token"),
    case("packed and cut", gzip.compress(svg(RECT), mtime=0)[:-9], "is cut off"),
    case("packed garbage", b"\x1f\x8b" + b"\x08" * 99, "looks like a gzip archive"),
    case("web page", b"<!DOCTYPE html><html><body/></html>", "is a <html> document"),
    case(
        "another vocabulary",
        b'<kml xmlns="http://a/b"><a/></kml>',
        "is a <kml> document",
    ),
    case("drawing that is empty", svg(""), READS),
    case("text alone", svg("<text>front</text>"), READS),
    case("defined, never drawn", svg(f"<defs>{RECT}</defs>"), READS),
    # Entities and things outside
    heavy("entity bomb", laughs, "declares the entity"),
    heavy("entity many times", square_of_entities, "declares the entity"),
    case(
        "entity of a file",
        doctype('<!ENTITY x SYSTEM "file:///etc/hostname">', "<text>&x;</text>"),
        'takes the entity "x" from elsewhere',
    ),
    case(
        "entity of a parameter",
        doctype('<!ENTITY % p SYSTEM "file:///etc/hostname"> %p;'),
        'takes the entity "p" from elsewhere',
    ),
    case(
        "entity of itself",
        doctype('<!ENTITY a "&a;">', "<g>&a;</g>"),
        "which is nested",
    ),
    case("entity that is not there", svg("<text>&nowhere;</text>"), "undefined entity"),
    case(
        "document type elsewhere",
        svg(RECT, before='<!DOCTYPE svg SYSTEM "http://127.0.0.1/svg.dtd">'),
        READS,
    ),
    case(
        "style sheet elsewhere",
        svg(f"<style>@import url(http://127.0.0.1/a.css);</style>{RECT}"),
        READS,
    ),
    case("use of a file", svg(f'{RECT}<use href="/etc/hostname#a"/>'), READS),
    case("script", svg(f"<script>for(;;);</script>{RECT}"), READS),
    # References that never end
    case(
        "use of itself",
        svg(f'<g id="a">{RECT}<use href="#a"/></g>'),
        "contains itself by a use",
    ),
    case(
        "two that use each other",
        svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'),
        "contains itself by a use",
    ),
    heavy("copies of copies", copies, "would draw"),
    # Numbers
    case("nan in a path", path("M0 0L nan 5Z"), "is not a command or a number"),
    case("infinity in a path", path("M0 0L inf 5Z"), "is not a command or a number"),
    case("1e308 in a path", path("M0 0H1e308V-1e308Z"), "too large a number"),
    case("1e400 in a path", path("M0 0H1e400V5Z"), "too large a number"),
    case("1e-320 in a path", path("M0 0H1e-320V9H0Z"), READS),
    case("nan in a rect", svg('<rect width="nan" height="5"/>'), "is not a length"),
    case(
        "1e308 in a rect", svg('<rect width="1e308" height="5"/>'), "too large a number"
    ),
    case("negative size", svg('<rect width="-5" height="5"/>'), "is below zero"),
    case("negative radius", svg('<circle r="-5"/>'), "is below zero"),
    case(
        "arc of radius 1e308", path("M0 0A1e308 1e308 0 0 1 5 5Z"), "too large a number"
    ),
    case("arc with flag 2", path("M0 0A5 5 0 2 1 5 5Z"), "is not an arc"),
    case(
        "odd number of coordinates",
        svg('<polygon points="0,0 9,0 9"/>'),
        "an odd number of them",
    ),
    case("path of no command", path("hello"), "is not a move"),
    case("path cut in a number", path("M0 0L5 5L1e"), "is not a command or a number"),
    case(
        "viewBox without size", svg(RECT, BOX.replace("100 100", "0 0")), "has no area"
    ),
    case("viewBox turned", svg(RECT, BOX.replace("100 100", "-1 9")), "has no area"),
    case(
        "viewBox of nan", svg(RECT, BOX.replace("100 100", "nan 9")), "is not a number"
    ),
    case(
        "viewBox of 1e308",
        svg(RECT, BOX.replace("100 100", "1e308 1")),
        "too large a number",
    ),
    case("viewBox of 1e-308", svg(RECT, 'viewBox="0 0 1e-308 1e-308"'), READS),
    case(
        "paper without size",
        svg(RECT, 'width="0" height="0"'),
        "leaves nothing to be drawn",
    ),
    case(
        "paper of 1e308 km",
        svg(RECT, 'width="1e308in" height="5"'),
        "too large a number",
    ),
    case("scale 0", svg(f'<g transform="scale(0)">{RECT}</g>'), READS),
    case(
        "scale 1e308",
        svg(f'<g transform="scale(1e308)">{RECT}</g>'),
        "too large a number",
    ),
    case(
        "matrix of nan",
        svg(f'<g transform="matrix(nan)">{RECT}</g>'),
        "is not a transform",
    ),
    case(
        "turned by garbage",
        svg(f'<g transform="rotate(x)">{RECT}</g>'),
        "is not a transform",
    ),
    case("scales of scales", deep_transforms(), "elements in one another"),
    # Too much
    heavy("200,000 groups deep", deep, "elements in one another"),
    heavy("a path of a million vertices", many_vertices, READS),
    heavy("400,000 elements", many_elements, "has more than"),
    heavy("attribute of 50 MB", long_attribute, "has (an attribute|a tag)"),
    heavy("100,000 rules", many_rules, "has style sheets of"),
    heavy("selector of 400 kB", long_selector, READS),
    heavy("style sheet 20,000 deep", nested_sheet, READS),
    heavy("style 50,000 deep", nested_calc, "is not a length"),
    heavy("packed bomb", packed_bomb, "unpacks to more than"),
)

"""A second reader for R12 text, written from the DXF reference and from nothing else.

It knows no library and no geometry kernel: tags are pairs of lines, every entity is a
row of points close together, and a length is the sum of their distances. So it shares
no mistake with the reader that it judges.
"""

import cmath
import math
from dataclasses import dataclass
from itertools import pairwise

STEPS = 4000
"""Chords of a full turn: the length of a circle comes out 1e-7 too short."""

Tags = list[tuple[int, str]]


@dataclass
class Drawn:
    """What one entity draws."""

    kind: str
    layer: str
    points: list[complex]

    @property
    def length(self) -> float:
        return math.fsum(abs(b - a) for a, b in pairwise(self.points))


def read_plainly(text: str) -> list[Drawn]:
    """Return everything drawn in model space, inserts put in place."""
    lines = text.splitlines()
    tags = [
        (int(code), value.strip())
        for code, value in zip(lines[::2], lines[1::2], strict=False)
    ]
    blocks = {}
    for block in _split(_section(tags, "BLOCKS"), "BLOCK"):
        first, *rest = _entities(block)
        blocks[_text(first, 2)] = (_point(first), rest)
    return _draw(_entities(_section(tags, "ENTITIES")), blocks)


def _section(tags: Tags, name: str) -> Tags:
    for i, tag in enumerate(tags):
        if tag == (0, "SECTION") and tags[i + 1] == (2, name):
            return tags[i + 2 : tags.index((0, "ENDSEC"), i)]
    return []


def _split(tags: Tags, kind: str) -> list[Tags]:
    starts = [i for i, tag in enumerate(tags) if tag == (0, kind)]
    return [tags[a:b] for a, b in pairwise([*starts, len(tags)])]


def _entities(tags: Tags) -> list[Tags]:
    starts = [i for i, tag in enumerate(tags) if tag[0] == 0]
    return [tags[a:b] for a, b in pairwise([*starts, len(tags)])]


def _text(entity: Tags, code: int, default: str = "") -> str:
    return next((value for c, value in entity if c == code), default)


def _number(entity: Tags, code: int, default: float = 0.0) -> float:
    return float(_text(entity, code, str(default)))


def _point(entity: Tags, code: int = 10) -> complex:
    return complex(_number(entity, code), _number(entity, code + 10))


def _draw(
    entities: list[Tags], blocks: dict[str, tuple[complex, list[Tags]]]
) -> list[Drawn]:
    drawn: list[Drawn] = []
    rest = iter(entities)
    for entity in rest:
        kind, layer = entity[0][1], _text(entity, 8, "0")
        match kind:
            case "LINE":
                points = [_point(entity), _point(entity, 11)]
            case "CIRCLE":
                points = _turn(entity, 0.0, 360.0)
            case "ARC":
                start, end = _number(entity, 50), _number(entity, 51)
                points = _turn(entity, start, (end - start) % 360.0)
            case "POLYLINE":
                vertices = []
                for follower in rest:
                    if follower[0][1] == "SEQEND":
                        break
                    vertices.append((_point(follower), _number(follower, 42)))
                points = _bulged(vertices, closed=int(_number(entity, 70)) & 1 == 1)
            case "INSERT":
                drawn += _insert(entity, blocks)
                continue
            case _:
                continue
        if _number(entity, 230, 1.0) < 0:  # seen from below
            points = [complex(-p.real, p.imag) for p in points]
        drawn.append(Drawn(kind, layer, points))
    return drawn


def _turn(entity: Tags, start: float, angle: float) -> list[complex]:
    centre, radius = _point(entity), _number(entity, 40)
    steps = max(math.ceil(STEPS * angle / 360), 1)
    return [
        centre + cmath.rect(radius, math.radians(start + angle * i / steps))
        for i in range(steps + 1)
    ]


def _bulged(vertices: list[tuple[complex, float]], *, closed: bool) -> list[complex]:
    if closed:
        vertices = [*vertices, vertices[0]]
    points = [vertices[0][0]]
    for (a, bulge), (b, _) in pairwise(vertices):
        if bulge:
            # The angle of the arc is four times the arc tangent of the bulge; its
            # centre is where the ends are seen under that angle.
            angle = 4 * math.atan(bulge)
            centre = (a * cmath.exp(1j * angle) - b) / (cmath.exp(1j * angle) - 1)
            steps = math.ceil(STEPS * abs(angle) / math.tau)
            points += [
                centre + (a - centre) * cmath.exp(1j * angle * i / steps)
                for i in range(1, steps)
            ]
        points.append(b)
    return points


def _insert(entity: Tags, blocks: dict[str, tuple[complex, list[Tags]]]) -> list[Drawn]:
    base, content = blocks[_text(entity, 2)]
    turn = cmath.exp(1j * math.radians(_number(entity, 50)))
    scale_x, scale_y = _number(entity, 41, 1.0), _number(entity, 42, 1.0)
    below = _number(entity, 230, 1.0) < 0

    def place(point: complex) -> complex:
        off = point - base
        put = _point(entity) + turn * complex(off.real * scale_x, off.imag * scale_y)
        return complex(-put.real, put.imag) if below else put

    layer = _text(entity, 8, "0")
    return [
        Drawn(
            one.kind,
            layer if one.layer == "0" else one.layer,
            [place(point) for point in one.points],
        )
        for one in _draw(content, blocks)
    ]

"""Hostile drawings end within 10 s and 2 GB: in one line, or read."""

import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import MappingProxyType
from typing import Final

import pytest
from svg_texts import svg_text

SECONDS: Final = 10
MOST_BYTES: Final = 2 * 2**30
CODE: Final = """
import sys
from pathlib import Path
from edgefinder.errors import EdgefinderError
from edgefinder.importers.svg.reading import read_svg
try:
    print("read", len(read_svg(Path(sys.argv[1])).drawing.lines))
except EdgefinderError as error:
    print(*error.messages, sep="\\n")
"""


def path(data: str) -> bytes:
    return svg_text(f'<path d="M0 0{data}"/>')


def with_entity(value: str, body: str) -> bytes:
    return f'<!DOCTYPE svg [<!ENTITY a "{value}">]>'.encode() + svg_text(body)


def sheet(rules: str, body: str) -> bytes:
    return svg_text(f"<style>{rules}</style>{body}")


def use_bomb() -> str:
    groups = ['<g id="a0"><path d="M0 0H1"/></g>']
    for level in range(1, 20):
        copies = f'<use href="#a{level - 1}"/>' * 10
        groups.append(f'<g id="a{level}">{copies}</g>')
    return f'<defs>{"".join(groups)}</defs><use href="#a19"/>'


def named(count: int, body: str) -> str:
    names = " ".join(f'data-a{i}="{i}"' for i in range(count))
    return f"<g {names}>{body}</g>"


LINES: Final = '<path class="c" d="M0 0H1"/>'
MEGA: Final = 2**20

CASES: Final = MappingProxyType(
    {
        "depth": lambda: svg_text("<g>" * MEGA),
        "a million elements": lambda: svg_text("<g/>" * 1_000_000),
        "many outlines": lambda: svg_text(LINES * 40_000),
        "one attribute of 100 MB": lambda: path(" " * 100 * MEGA),
        "one comment of 100 MB": lambda: svg_text(f"<!--{'<a ' * 34 * MEGA}-->"),
        "nothing but spaces": lambda: path(" " * 15 * MEGA),
        "short steps": lambda: path("h1" * 8 * MEGA),
        "many points": lambda: path(f"L{'1 2 ' * 4 * MEGA}"),
        "a million vertices": lambda: path(f"L{'1 2 -1,-2 ' * 500_000}"),
        "smooth without end": lambda: path("t1 2" * 500_000),
        "short subpaths": lambda: path("m1 1h1z" * 80_000),
        "arcs": lambda: path("a1 1 0 0 1 1 1" * 400_000),
        "flags run together": lambda: path("a1 1 0 011 1" * 300_000),
        "a mistake at the end": lambda: path(f"L{'1 2 ' * 2 * MEGA}x"),
        "exponents": lambda: path(f"L{'1e1 2 ' * 2 * MEGA}"),
        "one number": lambda: path("L" + "1" * 15 * MEGA),
        "very long numbers": lambda: path(f"L{'1.00000000000000000001 ' * 100_000}"),
        "huge numbers": lambda: path("L1e308 1e400 1e-400 9e99"),
        "many long paths": lambda: svg_text(f'<path d="M0 0{"h1" * 400_000}"/>' * 20),
        "many transforms": lambda: svg_text(
            f'<path transform="{"scale(1)" * 200_000}" d="M0 0H1"/>'
        ),
        "a style without end": lambda: svg_text(
            f'<path style="{"a:b;" * MEGA}" d="M0 0H1"/>'
        ),
        "classes": lambda: svg_text(
            f'<g class="{" ".join(map(str, range(5000)))}">{LINES * 20_000}</g>'
        ),
        "names": lambda: svg_text(named(9999, LINES * 9999)),
        "copies of copies": lambda: svg_text(use_bomb()),
        "copies of a long path": lambda: svg_text(
            f'<defs><path id="a" d="M0 0{"h1" * 400_000}"/></defs>'
            + '<use href="#a"/>' * 300
        ),
        "many copies": lambda: svg_text(
            '<defs><path id="a" d="M0 0H1"/></defs>' + '<use href="#a"/>' * 20_000
        ),
        "an entity used without end": lambda: with_entity(
            "x" * 250, f"<title>{'&a;' * 10 * MEGA}</title>"
        ),
        "an entity in an attribute": lambda: with_entity(
            "1 " * 120, f'<path d="M0 0L{"&a;" * 10 * MEGA}"/>'
        ),
        "many rules": lambda: sheet("*[x]{fill:none}" * 3000, LINES * 20_000),
        "rules about brothers": lambda: sheet(
            ".x ~ path ~ path{fill:none}", LINES * 20_000
        ),
        "rules about forebears": lambda: sheet(
            f".x {'g ' * 20}path{{fill:none}}", "<g>" * 150 + LINES * 99 + "</g>" * 150
        ),
        "a sheet of brackets": lambda: sheet("{" * 500_000, LINES),
        "a sheet of 10 MB": lambda: sheet("path{fill:none}" * 700_000, LINES),
    }
)


def limited() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


@pytest.mark.parametrize("name", CASES)
def test_a_hostile_drawing_is_read_or_refused_in_time_and_memory(
    name: str, tmp_path: Path
) -> None:
    make: Callable[[], bytes] = CASES[name]
    drawing = tmp_path / "hostile.svg"
    drawing.write_bytes(make())

    ended = subprocess.run(  # noqa: S603 - this interpreter, our own code
        [sys.executable, "-c", CODE, drawing],
        capture_output=True,
        text=True,
        timeout=10 * SECONDS,  # other tests may take the processor
        check=False,
        preexec_fn=limited,
    )

    assert ended.stderr == ""
    (line,) = ended.stdout.splitlines()
    assert line.startswith(("read ", "hostile.svg: "))
